"""The days ahead: a grower's own log of forecasts, or a service's."""
