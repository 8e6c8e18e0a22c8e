"""The criteria of a window, each with what was measured so far and what is needed."""

from __future__ import annotations

import datetime as dt
from typing import Literal

import numpy as np

from season_engine.markers.base import Marker
from season_engine.phenology.dating import SeasonDating
from season_engine.windows.assessment import Reason


def reason_for(
    name: str, marker: Marker, role: Literal["opens", "closes"], dating: SeasonDating, on: dt.date
) -> Reason:
    """One criterion as it stands on a day."""
    traces = dating.traces
    middle = float(dating.odds(name).by(0.5))
    have, need = _measured(name, dating)
    met = bool(middle <= traces.column(on))
    return Reason(
        marker=name,
        label=marker.label,
        so_far=None if met or have is None or need is None else marker.so_far(have, need),
        have=have,
        need=need,
        unit=marker.measured_in,
        met=met,
        date_p50=traces.date_of(middle),
        provenance=marker.provenance,
        source=marker.source,
        role=role,
    )


def _measured(name: str, dating: SeasonDating) -> tuple[float | None, float | None]:
    """Middle value over the traces on the last day observed, and the need on that day."""
    reached, traces = dating.reached[name], dating.traces
    if not traces.observed_days:
        return None, None
    have = float(np.median(reached.have)) if reached.have.size and np.isfinite(reached.have).all() else None
    need = round(float(np.median(reached.need)), 2) if reached.need.size else None
    return None if have is None else round(have, 2), need
