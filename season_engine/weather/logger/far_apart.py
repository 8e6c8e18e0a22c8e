"""What readings two or three hours apart miss of the days' extremes."""

from __future__ import annotations

import math

from season_engine.weather.logger.form import LoggerForm
from season_engine.weather.notices import ReadingsApart

# By hours apart: the mean of both extremes, and what one day in twenty exceeds [degC], by
# `python -m tests.benchmarks.thinned` on exports whose weather is invented: that of a yard may leap more.
_MISSED_C = {2: (0.2, 0.8), 3: (0.3, 1.1)}


def missed(form: LoggerForm) -> tuple[ReadingsApart, ...]:
    """What is to be told of readings far apart; nothing where they are not."""
    if form.step_minutes is None or form.on_change:
        return ()
    hours = math.ceil(form.step_minutes / 60)
    return (ReadingsApart(hours, *_MISSED_C[hours]),) if hours in _MISSED_C else ()
