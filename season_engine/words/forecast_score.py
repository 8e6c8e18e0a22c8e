"""How far off kept forecasts of the days ahead were, in words; as all that `backtest` prints, in English."""

from __future__ import annotations

from season_engine.facts import Degrees
from season_engine.verify.forecast_score import DaysAhead, ForecastScore
from season_engine.words import prose, timing
from season_engine.words.speech import quantity

TOLD_AHEAD = 5  # days, beside the nearest


def forecast_score_sentence(score: ForecastScore) -> str:
    """How far off one site's were a day ahead and at five days, and what is usual instead."""
    near, *farther = score.ahead
    far = min(farther, key=lambda one: abs(one.lead_days - TOLD_AHEAD), default=None)
    told = f"{_off(near.rmse_c)} {prose.counted(near.lead_days, 'day')} ahead"
    if far is not None:
        told += f" and {_off(far.rmse_c)} {prose.counted(far.lead_days, 'day')} ahead"
    usual = _usual(far or near)
    kept = f"{prose.counted(score.issues, 'day')} of issue from {timing.full_day(score.first)}"
    return f"{prose.plain(score.site)}: the forecasts kept, on {kept}, were off by {told}{usual}."


def _usual(one: DaysAhead) -> str:
    if one.usual_rmse_c is None:
        return ""
    return f", past years' middle by {_off(one.usual_rmse_c)}"


def _off(value_c: float) -> str:
    return quantity(Degrees(value_c, 1, apart=True))
