"""The criteria of a window, each with what was measured so far and what is needed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from season_engine.markers.base import Marker
from season_engine.markers.so_far import NotBefore, SoFar
from season_engine.phenology.dating import SeasonDating
from season_engine.species.catalogue import Species
from season_engine.species.schema import Window
from season_engine.windows.assessment import End, Reason
from season_engine.windows.calendar_ends import of_calendar
from season_engine.windows.opening import Opening


def reasons_of(
    window: Window, species: Species, dating: SeasonDating, opening: Opening, on: dt.date
) -> tuple[Reason, ...]:
    """A window's criteria on a day; none that mostly came before it opens, since that can't close it."""
    closes = [name for name in window.closes if not opening.mostly_after(dating.dates[name])]
    where_open = _where_it_opens(dating, opening, closes)
    return (
        *(reason_for(name, species, "opens", dating, on) for name in window.opens),
        *(reason_for(name, species, "closes", where_open, on) for name in closes),
    )


def reason_for(name: str, species: Species, role: End, dating: SeasonDating, on: dt.date) -> Reason:
    """One of a species' markers as it stands on a day, as a criterion of a window."""
    traces, marker = dating.traces, species.markers[name]
    middle = _middle(name, dating)
    have, need = _measured(name, dating)
    met = middle <= traces.column(on)
    return Reason(
        marker=name,
        label=marker.label,
        so_far=None if met else _so_far(name, species.markers, dating, on),
        have=have,
        need=need,
        unit=marker.measured_in,
        met=met,
        date_p50=traces.date_of(middle),
        provenance=marker.provenance,
        source=marker.source,
        role=role,
        by="calendar" if of_calendar(name, species.markers) else "weather",
        reach=marker.reach,
        stretched=marker.stretched_to(species.name),
        from_the_start=met and _from_the_start(name, species.markers, dating),
    )


def _where_it_opens(dating: SeasonDating, opening: Opening, closes: Iterable[str]) -> SeasonDating:
    """With dates of what closes a window as its own closing counts them: never, in a chance without it."""
    if opening.chance_given <= 0.5:
        return dating
    given = np.isfinite(opening.opens)
    dates = {name: np.where(given, dating.dates[name], np.inf) for name in closes}
    return replace(dating, dates={**dating.dates, **dates})


def _from_the_start(name: str, markers: Mapping[str, Marker], dating: SeasonDating) -> bool:
    """Whether it came on the day of the marker it is counted from, as what held all along does."""
    marker, start = markers[name], markers[name].never_before
    if start is None or _middle(name, dating) != _middle(start, dating):
        return False
    return marker.decided_by is not None or _from_the_start(start, markers, dating)


def _middle(name: str, dating: SeasonDating) -> float:
    return float(dating.odds(name).by(0.5))


def _so_far(name: str, markers: Mapping[str, Marker], dating: SeasonDating, on: dt.date) -> SoFar | None:
    """How far it is; a value that would do already is none that lacks, so what it waits for is told."""
    marker, (have, need) = markers[name], _measured(name, dating)
    if have is None or need is None:
        return None
    if not np.median(dating.reached[name].holds):
        return marker.so_far(have, need)
    if (start := marker.never_before) and _middle(start, dating) > dating.traces.column(on):
        return NotBefore(markers[start].label)
    return None  # by the catalogue's count; its error or the grower's notes put it later


def _measured(name: str, dating: SeasonDating) -> tuple[float | None, float | None]:
    """Middle value over the traces on the last day observed, and the need on that day."""
    reached, traces = dating.reached[name], dating.traces
    if not traces.observed_days:
        return None, None
    have = float(np.median(reached.have)) if reached.have.size and np.isfinite(reached.have).all() else None
    need = round(float(np.median(reached.need)), 2) if reached.need.size else None
    return None if have is None else round(have, 2), need
