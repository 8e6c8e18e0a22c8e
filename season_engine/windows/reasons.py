"""The criteria of a window, each with what was measured so far and what is needed."""

from __future__ import annotations

import datetime as dt
from typing import Literal

import numpy as np

from season_engine.messages import Degrees, Message, Sum
from season_engine.phenology.dating import Dating
from season_engine.species.heat_units import unit_words
from season_engine.species.schema import (
    DayLengthAbove,
    DayLengthBelow,
    DaysAfter,
    FirstFrost,
    HeatLeftBelow,
    HotDayOdds,
    LastFrost,
    LastHotDay,
    Marker,
    MeanAbove,
    MeanBelow,
    SeasonDay,
)
from season_engine.windows.assessment import Reason
from season_engine.windows.opening import quantile


def reason_for(
    name: str, marker: Marker, role: Literal["opens", "closes"], dating: Dating, on: dt.date
) -> Reason:
    """One criterion as it stands on a day."""
    traces = dating.traces
    middle = quantile(dating.dates[name], dating.weights, 0.5)
    have, need = _measured(name, dating)
    unit = _unit(marker)
    met = bool(middle <= traces.column(on))
    return Reason(
        marker=name,
        text=_label(marker) if met else _sentence(marker, have, need, unit),
        have=have,
        need=need,
        unit=unit,
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


def _unit(marker: Marker) -> str:
    if isinstance(marker, DaysAfter | SeasonDay):
        return "days"
    if isinstance(marker, MeanAbove | MeanBelow):
        return "degC"
    if isinstance(marker, DayLengthAbove | DayLengthBelow):
        return "hours"
    if isinstance(marker, HotDayOdds | LastHotDay | FirstFrost | LastFrost):
        return "share of years"
    return marker.unit


def _label(marker: Marker) -> Message:
    return marker.label.capitalised()


def _sentence(marker: Marker, have: float | None, need: float | None, unit: str) -> Message:
    label = _label(marker)
    if (
        have is None
        or need is None
        or isinstance(marker, SeasonDay | DaysAfter | HotDayOdds | LastHotDay | FirstFrost | LastFrost)
    ):
        return label
    if isinstance(marker, MeanAbove | MeanBelow):
        root = Message("{label}: the root zone averaged {mean} over the last {days} days")
        air = Message("{label}: the air averaged {mean} over the last {days} days")
        where = root if marker.zone == "root" else air
        return Message(where, label=label, mean=Degrees(have, 1), days=marker.days)
    if isinstance(marker, DayLengthAbove | DayLengthBelow):
        return Message("{label}: it is {have:.1f} hours long", label=label, have=have)
    words = unit_words(unit)
    if isinstance(marker, HeatLeftBelow):
        left = Message("{label}: {have:.0f} {unit} still to come, {need:.0f} is the mark")
        return Message(left, label=label, have=Sum(have, unit), unit=words, need=Sum(need, unit))
    if have >= need:  # by the catalogue's count; the grower's notes put it later
        return label
    so_far = Message("{label}: {have:.0f} of {need:.0f} {unit} so far")
    return Message(so_far, label=label, have=Sum(have, unit), need=Sum(need, unit), unit=words)
