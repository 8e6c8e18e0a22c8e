"""One trace of days without a night's fall, to date markers on by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from season_engine.markers.scene import Scene
from season_engine.phenology.dating import MEDIUM_POT
from season_engine.traces import CaseTraces


def scene(daily_c: Sequence[float], dates: Mapping[str, float]) -> Scene:
    """A case of one trace, twelve hours of light each day, with markers dated before."""
    level = np.array(daily_c)[None, None]
    light = np.full((1, len(daily_c)), 12.0)
    traces = CaseTraces(level, level, np.ones((1, 1)), np.zeros(1, np.int64), light)
    return Scene(traces, {name: np.array([[date]]) for name, date in dates.items()}, pot=MEDIUM_POT)
