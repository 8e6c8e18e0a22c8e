"""The criteria of a window, each with what was measured so far and what is needed."""

from __future__ import annotations

import datetime as dt
from typing import Literal

import numpy as np

from season_engine.markers.base import Marker
from season_engine.phenology.dating import Dating
from season_engine.windows.assessment import Reason
from season_engine.windows.opening import quantile


def reason_for(
    name: str, marker: Marker, role: Literal["opens", "closes"], dating: Dating, on: dt.date
) -> Reason:
    """One criterion as it stands on a day."""
    traces = dating.traces
    middle = quantile(dating.dates[name], dating.weights, 0.5)
    have, need = _measured(name, dating)
    met = bool(middle <= traces.column(on))
    return Reason(
        marker=name,
        text=marker.label.capitalised() if met or have is None or need is None else marker.reason(have, need),
        have=have,
        need=need,
        unit=marker.measured_in,
        met=met,
        date_p50=traces.date_of(middle),
        provenance=marker.origin,
        role=role,
    )


def _measured(name: str, dating: Dating) -> tuple[float | None, float | None]:
    """Middle value over the traces on the last day observed, and the need on that day."""
    reached, traces = dating.reached[name], dating.traces
    if not traces.observed_days:
        return None, None
    needs = np.broadcast_to(reached.need, traces.tmin_c.shape)[:, traces.observed_days - 1]
    values = reached.have
    have = float(np.median(values)) if values.size and np.isfinite(values).all() else None
    need = round(float(np.median(needs)), 2) if needs.size else None
    return None if have is None else round(have, 2), need
