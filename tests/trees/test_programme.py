"""A root ball renewed in parts: what is done, what comes next, what stops it. Common practice, no source."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from season_engine.note import Details, Note
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.species.spacing import Rule, spacing
from season_engine.tree import Tree
from season_engine.trees.growth import GrowthDates
from season_engine.trees.history import history_of
from season_engine.trees.need import need_of, tree_case
from season_engine.trees.need_why import Part
from season_engine.trees.programme import Programme, programme_of
from season_engine.trees.spacing import Rules

YARD = Site("yard", 50.0, 0.0)
ON = dt.date(2026, 3, 20)
FIRST = dt.date(2024, 3, 25)


def section(on: dt.date, share: float | None = 1 / 3, **details: Any) -> Note:
    return Note(on, "yard", "t1", job="sectional-repotting", details=Details(share=share, **details))


def case_of(*notes: Note, on: dt.date = ON, species: str = "Larix decidua", **tree: Any):
    kind = load_catalogue().find(species)
    own = Tree("t1", "yard", species, **{"origin": "collected", "root_parts": 3, **tree})
    history = history_of(own, notes, on)
    return tree_case(
        history, Rules(kind, history.tree, spacing().rule, spacing().most), GrowthDates(YARD), on
    )


def programme(*notes: Note, **told: Any) -> Programme:
    found = case_of(*notes, **told).programme
    assert found is not None
    return found


def test_thirds_and_then_what_lies_under_the_trunk() -> None:
    found = programme(section(FIRST, side="north"))
    assert (found.parts, found.left) == (3, 3)
    assert [(part.on, part.side) for part in found.done] == [(FIRST, "north")]
    assert [(part.on, part.core) for part in found.ahead] == [
        (dt.date(2026, 3, 25), False),
        (dt.date(2028, 3, 25), False),
        (dt.date(2030, 3, 25), True),
    ]


def test_the_parts_ahead_keep_to_a_growers_own_rule_in_weeks() -> None:
    case = case_of(section(FIRST))
    told = dict(name="mine", after=("section",), before=("section",), weeks=60, certainty=60)
    rules = replace(case.rules, rules=(Rule.model_validate(told), *case.rules.rules))
    found = programme_of(case.history, case.events, rules, case.growth, FIRST)
    assert found is not None
    assert [part.on for part in found.ahead] == [FIRST + dt.timedelta(weeks=60 * n) for n in (1, 2, 3)]


@pytest.mark.parametrize(("on", "state"), [(dt.date(2026, 3, 24), "leave"), (dt.date(2026, 3, 25), "due")])
def test_the_next_part_waits_two_years(on: dt.date, state: str) -> None:
    case = case_of(section(FIRST), on=on)
    window = next(one for one in case.rules.species.windows if one.job == "sectional-repotting")
    need = need_of(case, window, on)
    assert (need.state, need.last) == (state, FIRST)
    assert need.allowed == (dt.date(2026, 3, 25) if state == "leave" else None)


def test_it_stops_when_a_part_went_badly_until_a_good_season_is_noted() -> None:
    on, badly = dt.date(2026, 5, 1), Note(dt.date(2025, 6, 1), "yard", "t1", details=Details(went="badly"))
    good = Note(dt.date(2026, 4, 1), "yard", "t1", details=Details(season="good"))
    stopped, again = (case_of(section(FIRST), *notes, on=on) for notes in ((badly,), (badly, good)))
    window = next(one for one in stopped.rules.species.windows if one.job == "sectional-repotting")
    assert stopped.programme.stopped == dt.date(2025, 6, 1) and again.programme.stopped is None
    assert (need_of(stopped, window, on).state, need_of(again, window, on).state) == ("leave", "due")
    assert isinstance(need_of(stopped, window, on).why, Part)


def test_of_slow_trees_two_good_seasons_are_wanted_and_asked_about() -> None:
    scots = programme(section(FIRST), species="Pinus sylvestris")
    assert scots.asks_good_season and not programme(section(FIRST)).asks_good_season
    bad = Note(dt.date(2025, 10, 1), "yard", "t1", details=Details(season="bad"))
    case = case_of(section(FIRST), bad, on=dt.date(2026, 5, 1), species="Pinus sylvestris")
    (bar, *_) = case.bars("section", dt.date(2026, 5, 1))
    assert (bar.until, bar.good_seasons) == (None, 2)


def test_after_the_core_it_is_repotted_like_any_other() -> None:
    days = [FIRST.replace(year=year) for year in (2016, 2018, 2020, 2022)]
    found = case_of(*(section(day) for day in days))
    assert (found.programme.left, found.programme.done[-1].core) == (0, True)
    whole = next(one for one in found.rules.species.full_windows if one.job == "repotting")
    assert need_of(found, whole, ON).state == "due"  # four years, of a larch in training two to three


@pytest.mark.parametrize(
    ("told", "parts", "said"),
    [
        ({"root_parts": 4}, 4, True),
        ({"root_parts": None}, 3, False),  # as the third that was noted
        ({"root_parts": None, "notes": ()}, 3, False),
        ({"root_parts": None, "notes": (), "vigour": "strong"}, 2, False),
        ({"root_parts": None, "notes": (), "stage": "old"}, 4, False),
    ],
)
def test_in_how_many_parts(told: dict[str, Any], parts: int, said: bool) -> None:
    """Said, else by what was done, else by its kind: from memory."""
    notes = told.pop("notes", (section(FIRST),))
    found = programme(*notes, **told)
    assert (found.parts, found.parts_said) == (parts, said)


def test_a_tree_from_a_nursery_has_none() -> None:
    assert case_of(origin="nursery", root_parts=None).programme is None
