"""How good forecasts were: scores, observations to score them on, and the backtest."""
