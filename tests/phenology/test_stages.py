"""Stages of one tree come in order: no order of noting them contradicts it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.phenology.dating import SeasonDating, date_markers
from season_engine.phenology.learning import learn
from season_engine.phenology.stages import (
    DAYS_FROM_SWELLING,
    ROWS,
    STRAYS_A_DAY,
    StageNote,
    StandIn,
    stage_marker,
    stand_in,
)
from season_engine.species.catalogue import Species, load_catalogue
from tests.practice.forest_buds import buds
from tests.yards import NAGANO, view

ON = dt.date(2021, 4, 20)
NAMES = ("Acer palmatum", "Pinus thunbergii", "Prunus mume", "Malus halliana")
KINDS = [load_catalogue().find(name) for name in NAMES]
TRACES = view(NAGANO, ON).season(0)
SEASON = NAGANO.season_on(ON).year
CODES = (0, 1, 2, 3, 7, 9, 10, 11, 15)


def dated(kind: Species, notes: Sequence[StageNote]) -> SeasonDating:
    return date_markers(kind, TRACES, learnt=learn(kind, notes, {}, SEASON))


@st.composite
def springs(draw: st.DrawFn) -> list[StageNote]:
    """Some notes of one tree that comes to each stage in its order, in any order of noting."""
    first = draw(st.integers(TRACES.season_start + 90, TRACES.season_start + 290))
    gaps = draw(st.lists(st.integers(1, 12), min_size=len(CODES) - 1, max_size=len(CODES) - 1))
    came = [first, *(first + sum(gaps[: place + 1]) for place in range(len(gaps)))]
    notes = []
    for day in draw(st.lists(st.integers(first, came[-1] + 10), min_size=1, max_size=4, unique=True)):
        at = max(place for place, one in enumerate(came) if one <= day)
        kind = draw(st.sampled_from(("seen", "not yet", "already")))
        if kind == "not yet" and at + 1 < len(CODES):
            later = draw(st.integers(at + 1, len(CODES) - 1))
            notes.append(StageNote(SEASON, day, CODES[later], seen=False))
        elif CODES[at]:
            notes.append(StageNote(SEASON, day, CODES[at], earlier=kind == "already"))
    return draw(st.permutations(notes))


@pytest.mark.parametrize("species", NAMES)
@given(notes=springs())
def test_no_order_of_noting_contradicts_a_tree(species: str, notes: list[StageNote]) -> None:
    kind = load_catalogue().find(species)
    told = dated(kind, notes)
    for name, marker in kind.markers.items():
        if marker.bbch is not None and marker.bbch in ROWS[0]:
            odds = told.odds(name)
            possible = odds.days[odds.weights > 0]
            for note in notes:
                stands = stands_for(kind, note)
                hold(note, name, marker.bbch, possible, stands)
    in_order = dated(kind, sorted(notes, key=lambda one: one.column))
    for name in kind.markers:
        np.testing.assert_array_equal(told.dates[name], in_order.dates[name])
    np.testing.assert_array_equal(told.weights, in_order.weights)


def stands_for(kind: Species, note: StageNote) -> str | None:
    """The marker that is taken for a stage without one of its own, to the day."""
    timed = note.bbch in DAYS_FROM_SWELLING and not kind.name.startswith("Pinus")
    near = stage_marker(kind, note.bbch)
    return None if timed and near and kind.markers[near].bbch in DAYS_FROM_SWELLING else near


def hold(note: StageNote, name: str, stage: int, possible: np.ndarray, noted: str | None) -> None:
    """A marker's possible dates are none that the note rules out."""
    if note.seen and not note.earlier and name == noted and stage != note.bbch:
        assert np.ptp(possible) == 0  # it stands for the stage that was seen, give or take some days
    elif note.seen and stage <= note.bbch:
        assert possible.max() <= note.column
    elif not note.earlier and stage >= note.bbch:
        assert possible.min() > note.column


def test_a_later_stage_seen_is_not_too_early_for_the_earlier_ones() -> None:
    """Green tips on a pine of which the catalogue dates moving and long candles: they move no more."""
    column = TRACES.column(dt.date(2021, 3, 9))
    told = dated(KINDS[1], [StageNote(SEASON, column, 9)])
    assert float(told.odds("candles_moving").by(1.0)) <= column
    assert float(told.odds("candles_long").by(1.0)) <= column
    assert float(told.odds("needles_through").by(0.0)) >= column


@pytest.mark.parametrize(
    ("bbch", "marker", "later_days", "strays_days"),
    [(2, "buds_swelling", -8.6, 4.5), (7, "leaves_open", 3.5, 2.9)],
)
def test_a_stage_between_two_markers_dates_the_nearer_one(bbch, marker, later_days, strays_days) -> None:
    """Buds fairly swollen began to swell nine days ago, and those that break show green in three or four."""
    column = TRACES.column(dt.date(2021, 3, 25))
    told = dated(KINDS[0], [StageNote(SEASON, column, bbch)])
    odds = told.odds(marker)
    assert float(odds.by(0.5)) == pytest.approx(column + later_days, abs=1.5)
    assert float(odds.by(0.9) - odds.by(0.5)) == pytest.approx(1.28 * strays_days, abs=2.5)
    assert float(told.odds("buds_swelling").by(1.0)) <= column < float(told.odds("leaves_open").by(0.0))
    both = dated(KINDS[0], [StageNote(SEASON, column, bbch), StageNote(SEASON, column - 20, 1)])
    assert set(both.dates["buds_swelling"].ravel()) == {column - 20}, "what was seen itself counts first"


def test_of_two_trees_that_differ_the_first_counts() -> None:
    early, late = StageNote(SEASON, 260, 9), StageNote(SEASON, 270, 1, seen=False)
    told = dated(KINDS[0], [early, late])
    assert float(told.odds("leaves_open").by(0.5)) == 260
    assert float(told.odds("buds_swelling").by(1.0)) <= 260


def test_stages_lie_apart_as_on_the_trees_of_a_forest() -> None:
    """Means and spreads over trees and springs: Harvard Forest Data Archive, HF003 (O'Keefe)."""
    for first, last in ((1, 2), (1, 3), (1, 7)):
        apart = [bud.days[last] - bud.days[first] for bud in buds() if first in bud.days and last in bud.days]
        assert len(apart) > 200
        days = DAYS_FROM_SWELLING[last] - DAYS_FROM_SWELLING[first]
        assert days == pytest.approx(np.mean(apart), abs=0.5)
        assert (STRAYS_A_DAY * days) ** 0.5 == pytest.approx(np.std(apart), abs=0.7)


def test_bud_burst_teaches_whatever_has_a_marker_of_buds_or_leaves() -> None:
    kinds = [
        kind
        for kind in load_catalogue().species.values()
        if any(marker.bbch in DAYS_FROM_SWELLING for marker in kind.markers.values())
    ]
    others = [kind.name for kind in kinds if not stand_in(kind, 7)]
    assert len(kinds) > 100 and all(name.startswith("Pinus") for name in others)
    maple = stand_in(KINDS[0], 7)
    assert maple is not None and maple.marker == "leaves_open"
    assert maple.later_days == pytest.approx(3.5)


def test_a_stage_that_stands_in_for_another_counts_for_less_the_farther_it_is() -> None:
    rule = {name: {SEASON - 1: 260.0} for name in KINDS[0].markers}
    weights = {}
    for bbch in (9, 7, 2):
        note = StageNote(SEASON - 1, 270, bbch)
        (lesson,) = learn(KINDS[0], [note], rule, SEASON).lessons
        assert lesson.use == "moves"
        assert lesson.difference_days == pytest.approx(10 + lesson.later_days)
        weights[bbch] = lesson.weight
    assert weights[9] > weights[7] > weights[2] > 0.3


def test_a_pines_candles_keep_their_own_times() -> None:
    assert stand_in(KINDS[1], 3) is None
    assert stand_in(KINDS[1], 7) == StandIn("candles_long")
