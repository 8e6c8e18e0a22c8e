"""What is printed as a window's criteria decides it: each kind of species, each window, in five yards.

Two days of the year in each yard, a tenth of the kinds on each of them: each kind on one day.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

import pytest

from season_engine.markers.base import Marker
from season_engine.markers.kinds.day_length import DayLengthBelow
from season_engine.markers.kinds.running_mean import MeanBelow
from season_engine.markers.so_far import DayLength, HeatLeft, MeanSoFar, NotBefore, SumSoFar, WarmthSoFar
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment, Reason
from season_engine.words.criteria import opening_criteria, opens_once
from season_engine.words.markers import reason_text
from tests.factories import an_assessment
from tests.yards import KAGOSHIMA, NAGANO, NORTH, SOUTH, TAKAYAMA, late_view, view

SITES = (NORTH, SOUTH, NAGANO, TAKAYAMA, KAGOSHIMA)
FIRST, EVERY, APART = dt.date(2024, 6, 1), 183, 36  # two days of the year in each yard, no two on the same
SHARE = 2 * len(SITES)  # one in so many kinds on a day, others on the next
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
    for turn, on in enumerate(days(site), 2 * SITES.index(site)):
        for species in kinds()[turn % SHARE :: SHARE]:
            prospect = Prospect(late_view(site, on), species)
            for window in species.windows:
                told = list(faults(species, assess(prospect, window)))
                if told and (window.job, window.name) not in EXCEPTIONS:
                    found[species.name, window.job, window.name, str(on)] = told
    assert not found


def opening_of(site, name: str, job: str, on: dt.date, window: str = "") -> Assessment:
    kind = load_catalogue().find(name)
    wanted = (one for one in kind.windows if one.job == job and window in ("", one.name))
    return assess(Prospect(view(site, on), kind), next(wanted))


def test_what_held_on_the_day_it_was_first_looked_for_is_no_event() -> None:
    """In the southern yard ten days have long been below 18 degC by midwinter; candles move some day."""
    a = opening_of(SOUTH, "Pinus radiata", "repotting", dt.date(2025, 9, 8), "spring")
    opens = {one.marker: one for one in a.reasons if one.role == "opens"}
    assert opens["cool_season"].from_the_start and opens["cool_season"].date_p50 == dt.date(2025, 7, 2)
    assert not opens["candles_moving"].from_the_start
    told = opens_once(opening_criteria(a))
    assert "candles begin to move" in told and "the cool season has come" not in told


def test_what_came_later_is_told_and_so_is_what_is_still_to_come() -> None:
    """The root zone of Nagano is cold at midwinter: that it warms to 7 degC is an event of March."""
    for on in (dt.date(2025, 3, 20), dt.date(2025, 2, 20)):
        a = opening_of(NAGANO, "Pinus thunbergii", "repotting", on, "spring")
        roots = next(one for one in a.reasons if one.marker == "root_zone_warm")
        assert not roots.from_the_start and "the root zone reaches 7 °C" in opens_once(opening_criteria(a))


@pytest.mark.parametrize("site", SITES)
def test_nothing_that_is_left_out_is_dated_after_what_it_is_counted_from(site) -> None:
    on = days(site)[0]
    for kind in kinds()[SITES.index(site) :: 12]:
        prospect = Prospect(late_view(site, on), kind)
        for window in kind.windows:
            a = assess(prospect, window)
            left = [one for one in a.reasons if one.role == "opens" and one.from_the_start]
            assert all(one.met for one in left)
            told = opening_criteria(a)
            assert told, "a window opens with something"
            assert len(told) == len(window.opens) - len(left) or len(left) == len(window.opens)


def test_a_gate_that_stands_alone_is_told() -> None:
    alone = an_assessment()
    gate, other, *rest = alone.reasons
    both = replace(alone, reasons=(replace(gate, from_the_start=True), other, *rest))
    assert len(opening_criteria(both)) == 1 and len(opening_criteria(alone)) == 2
    assert len(opening_criteria(replace(both, reasons=(both.reasons[0], *rest)))) == 1
