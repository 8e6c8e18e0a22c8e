"""What is printed as a window's criteria decides it: each kind of species, each window, in five yards.

Three days of the year in each yard, half of the kinds on each of them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import pytest

from season_engine.markers.base import Marker
from season_engine.markers.kinds.day_length import DayLengthBelow
from season_engine.markers.kinds.running_mean import MeanBelow
from season_engine.markers.so_far import DayLength, HeatLeft, MeanSoFar, NotBefore, SumSoFar, WarmthSoFar
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment, Reason
from season_engine.words.markers import reason_text
from tests.yards import KAGOSHIMA, NAGANO, NORTH, SOUTH, TAKAYAMA, view

SITES = (NORTH, SOUTH, NAGANO, TAKAYAMA, KAGOSHIMA)
FIRST, EVERY, APART = dt.date(2024, 6, 1), 122, 24  # three days of the year in each yard, no two on the same
ROUNDED = 0.05  # by so much a value as it is printed may be off
# Windows left to be mended, by job and name, and what is wrong with them.
EXCEPTIONS: dict[tuple[str, str], str] = {}


def kinds() -> list[Species]:
    """One species of all that have the same markers and windows."""
    alike = {
        repr((sorted(one.markers.items()), [(w.job, w.name, w.opens, w.closes) for w in one.windows])): one
        for one in load_catalogue().species.values()
    }
    return list(alike.values())


def days(site) -> list[dt.date]:
    """The grid, begun elsewhere in each yard."""
    return [FIRST + dt.timedelta(days=day) for day in range(APART * SITES.index(site), 365, EVERY)]


def faults(species: Species, a: Assessment) -> Iterator[str]:
    """What is printed and can't be what decides."""
    opens = [one for one in a.reasons if one.role == "opens"]
    closes = [one for one in a.reasons if one.role == "closes"]
    if a.verdict in ("wait", "soon", "open", "last-call"):
        yield from (f"not closed, but met: {one.marker}" for one in closes if one.met)
    ahead = a.opens.p50 is not None and a.opens.p50 > a.as_of
    if a.verdict in ("wait", "soon") and ahead and all(one.met for one in opens):
        yield "not yet open, but nothing lacks"
    if a.verdict in ("open", "last-call") and not ahead:
        yield from (f"open, but not met: {one.marker}" for one in opens if not one.met)
    over = a.verdict == "closed" and a.closes.p50 is not None and a.closes.p50 <= a.as_of
    if over and not any(one.met for one in closes):
        yield "closed, but by nothing that is told"
    for one in a.reasons:
        if not one.met and would_do(one, species.markers[one.marker]):
            yield f"would do by what is printed: {reason_text(one)}"


def would_do(reason: Reason, marker: Marker) -> bool:
    """Whether the value that is printed for what lacks is one that the label asks for."""
    match reason.so_far:
        case None | NotBefore():
            return False
        case SumSoFar(have, need):
            return have >= need
        case HeatLeft(left, mark):
            return left <= mark
        case WarmthSoFar(percent):
            return percent >= 100
        case DayLength(hours):
            beyond = hours - marker.hours
            return beyond < -ROUNDED if isinstance(marker, DayLengthBelow) else beyond > ROUNDED
        case MeanSoFar(mean_c):
            beyond = mean_c - marker.level_c
            return beyond < -ROUNDED if isinstance(marker, MeanBelow) else beyond > ROUNDED


@pytest.mark.parametrize("site", SITES, ids=lambda site: site.name)
def test_the_reason_printed_is_the_reason_that_decides(site) -> None:
    found = {}
    for turn, on in enumerate(days(site)):
        for species in kinds()[turn % 2 :: 2]:
            prospect = Prospect(view(site, on), species)
            for window in species.windows:
                told = list(faults(species, assess(prospect, window)))
                if told and (window.job, window.name) not in EXCEPTIONS:
                    found[species.name, window.job, window.name, str(on)] = told
    assert not found
