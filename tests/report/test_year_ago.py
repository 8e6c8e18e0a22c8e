"""The same week a year ago, gathered from a journal; this season's dates by the markers themselves."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from season_engine.note import Details, Note
from season_engine.report.year_ago import WITHIN, StageThen, Whose, year_ago
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree
from season_engine.windows.yard import Yard
from tests.yards import NAGANO, SOUTH, view

ON = dt.date(2022, 4, 11)
DAY = dt.date(2021, 4, 11)
MAPLE, LARCH, PINE = "Acer palmatum", "Larix kaempferi", "Pinus thunbergii"
TREES = (
    Tree("m1", "nagano", MAPLE, name="Lantern"),
    Tree("m2", "nagano", MAPLE, name="Gatepost"),
    Tree("p1", "nagano", PINE),
)


def days(number: int) -> dt.timedelta:
    return dt.timedelta(days=number)


def a_note(on: dt.date = DAY, **said) -> Note:
    species = {"m1": MAPLE, "m2": MAPLE, "p1": PINE}.get(said.get("tree", "m1"))
    return Note(on, **{"site": "nagano", "tree": "m1", "species": species, **said})


def found(*notes: Note, on: dt.date = ON, trees: Sequence[Tree] = TREES, site: Site = NAGANO):
    return year_ago(Yard(view(site, on), load_catalogue(), trees, notes))


def test_nothing_noted_is_nothing_told() -> None:
    assert found() is None
    assert found(a_note(DAY - days(8), bbch=1), a_note(DAY + days(8), job="feeding")) is None
    assert found(a_note(ON, bbch=1), a_note(DAY.replace(year=2020), bbch=1)) is None, "another year"


@given(st.integers(-30, 30))
@example(-7)
@example(7)
def test_a_week_either_way(apart: int) -> None:
    told = found(a_note(DAY + days(apart), job="feeding"))
    assert (told is not None) == (abs(apart) <= WITHIN.days)


def test_what_is_alike_of_a_day_is_one_and_the_oldest_comes_first() -> None:
    told = found(
        a_note(DAY + days(2), job="feeding", tree="p1"),
        a_note(DAY, job="repotting", note="In akadama"),
        a_note(DAY, job="repotting", tree="m2"),
        a_note(DAY, bbch=1),
        a_note(DAY, bbch=1, tree="m2"),
        a_note(DAY + days(1), tree=None, species="Japanese larch", job="feeding"),
        a_note(DAY, note="Ties off", details=Details(off=frozenset({"ties"}))),
        a_note(DAY, note="Dry east wind", tree=None, species=None),
    )
    assert told is not None
    assert (told.first, told.last) == (DAY - WITHIN, DAY + WITHIN)
    assert [(one.date, one.job, one.whose.trees, one.whose.species) for one in told.works] == [
        (DAY, "repotting", ("m1", "m2"), MAPLE),
        (DAY + days(1), "feeding", (), LARCH),
        (DAY + days(2), "feeding", ("p1",), PINE),
    ]
    (stage,) = told.stages
    assert (stage.date, stage.bbch, stage.whose.trees) == (DAY, 1, ("m1", "m2"))
    assert [(one.words, one.whose) for one in told.remarks] == [
        ("Ties off", Whose(("m1",), MAPLE, "Japanese maple")),
        ("Dry east wind", Whose()),
    ]


def test_only_of_this_yard_and_of_trees_that_still_stand_there() -> None:
    gone = Tree("g1", "nagano", MAPLE, dead=dt.date(2021, 9, 1))
    elsewhere = Tree("e1", "kagoshima", MAPLE)
    notes = a_note(tree="g1", bbch=1), a_note(tree="e1", bbch=1), a_note(site="kagoshima", tree=None, bbch=1)
    assert found(*notes, trees=(*TREES, gone, elsewhere)) is None
    assert found(a_note(tree="g1", bbch=1), trees=(Tree("g1", "nagano", MAPLE),)) is not None


def test_what_was_not_there_to_be_read_or_was_taken_back_is_not_told() -> None:
    """Nothing entered after the day has a part in it."""
    assert found(a_note(bbch=1, entered=ON + days(1))) is None
    assert found(a_note(bbch=1, entered=ON)) is not None
    assert found(a_note(bbch=1), a_note(bbch=1, entered=ON, withdraws=True)) is None
    assert found(a_note(bbch=1), a_note(bbch=1, entered=ON + days(1), withdraws=True)) is not None


def test_this_season_is_the_middle_date_of_the_same_marker() -> None:
    noted = a_note(bbch=1)
    (stage,) = found(noted).stages
    prospect = Yard(view(NAGANO, ON), load_catalogue(), TREES, [noted]).prospect(
        load_catalogue().find(MAPLE), "medium", None, "m1"
    )
    name = next(name for name, one in prospect.species.markers.items() if one.bbch == 1)
    assert stage.this_season == prospect.marker_date(name, 0)
    assert stage.later_days == (stage.this_season - ON).days
    assert not stage.seen


def test_a_stage_seen_this_season_is_its_own_day() -> None:
    came = dt.date(2022, 3, 30)
    (stage,) = found(a_note(DAY, bbch=1), a_note(came, bbch=1)).stages
    assert (stage.this_season, stage.seen, stage.later_days) == (came, True, -12)


def test_a_stage_between_markers_is_held_against_its_own_day_and_not_the_markers() -> None:
    """Swollen buds come some nine days after the first swelling (`tests/phenology/test_stages.py`)."""
    first, swollen = (found(a_note(bbch=bbch)).stages[0].this_season for bbch in (1, 3))
    assert 5 <= (swollen - first).days <= 20


@pytest.mark.parametrize("sighting", ["not-yet", "already"])
def test_what_tells_no_day_is_held_against_none(sighting) -> None:
    (stage,) = found(a_note(bbch=1, sighting=sighting)).stages
    assert (stage.sighting, stage.this_season, stage.later_days) == (sighting, None, None)


def test_a_kind_or_a_stage_that_nothing_stands_for() -> None:
    told = found(a_note(tree=None, species="Quercus unheard", bbch=11), a_note(bbch=45))
    assert [(one.whose.species, one.this_season) for one in told.stages] == [
        ("Quercus unheard", None), (MAPLE, None),
    ]  # fmt: skip


def test_autumn_belongs_to_the_season_it_leads_into() -> None:
    """On 25 September this season's leaf fall is a month or two ahead, not that of last autumn."""
    on, then = dt.date(2022, 9, 25), dt.date(2021, 9, 28)
    for bbch in (92, 97):
        for stage in found(a_note(then, bbch=bbch), on=on).stages:
            if stage.this_season is not None:
                assert dt.date(2022, 9, 1) <= stage.this_season <= dt.date(2022, 12, 31)
    assert found(a_note(then, bbch=97), on=on).stages[0].this_season is not None


def test_south_of_the_equator_across_the_turn_of_the_season() -> None:
    on, then = dt.date(2022, 9, 5), dt.date(2021, 9, 8)
    trees = (Tree("m1", "south", MAPLE),)
    (stage,) = found(a_note(then, site="south", bbch=1), on=on, trees=trees, site=SOUTH).stages
    assert dt.date(2022, 7, 1) <= stage.this_season <= dt.date(2022, 11, 1)


def test_the_leap_day() -> None:
    """29 February has no day a year before; the one before it stands in."""
    assert found(a_note(dt.date(2023, 2, 21), bbch=1), on=dt.date(2024, 2, 29)) is not None
    assert found(a_note(dt.date(2023, 2, 20), bbch=1), on=dt.date(2024, 2, 29)) is None
    noted = StageThen(dt.date(2024, 2, 29), Whose(), 1, "seen", dt.date(2025, 3, 1))
    assert noted.later_days == 1


@given(st.dates(dt.date(1990, 1, 1), dt.date(2090, 1, 1)), st.integers(-150, 150))
def test_days_later_are_counted_from_the_same_day_of_this_year(then: dt.date, later: int) -> None:
    same_day = then.replace(year=then.year + 1, day=min(then.day, 28))
    moved = same_day + days(then.day - same_day.day if (then.month, then.day) != (2, 29) else 0)
    stage = StageThen(then, Whose(), 1, "seen", moved + days(later))
    assert stage.later_days == later
