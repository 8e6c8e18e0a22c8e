"""Weather made up so that dates of markers can be found by hand."""

from __future__ import annotations

import datetime as dt

import numpy as np

from season_engine.markers.scene import Scene
from season_engine.phenology.dating import MEDIUM_POT
from season_engine.site import Site
from season_engine.traces import TraceSet
from season_engine.weather.series import DailySeries
from tests.yards import view_on

FIRST, ON = dt.date(2012, 1, 1), dt.date(2023, 10, 1)
MIDWINTER, MIDSUMMER = 92, 274  # days of the season


def past_of(latitude: float, hot: dict[int, tuple[int, int]] | None = None) -> TraceSet:
    """Past seasons of 22 to 29 degC by day, with 31 degC on one day (month, day) of the years named."""
    n_days = (ON - FIRST).days
    tmax_c = np.random.default_rng(7).uniform(22, 29, n_days)
    for year, (month, day) in (hot or {}).items():
        tmax_c[(dt.date(year, month, day) - FIRST).days] = 31
    series = DailySeries(FIRST, np.full(n_days, 10.0) + np.cos(np.arange(n_days)) / 2, tmax_c)
    return view_on(Site("made up", latitude, 120.0, 10), series, ON).past


def scene_of(traces: TraceSet) -> Scene:
    days = {"midwinter": MIDWINTER, "midsummer": MIDSUMMER, "autumn_end": MIDSUMMER + 150}
    columns = {name: np.full(len(traces), float(traces.season_start + day)) for name, day in days.items()}
    return Scene(traces, columns, pot=MEDIUM_POT)
