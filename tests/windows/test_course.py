"""A winter's work on a large pine by a mild sea: thinned, then repotted. Common practice, no source."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.note import Details, Note
from season_engine.prints.answer import answer_text
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree, Vigour
from season_engine.trees.history import history_of
from season_engine.trees.need_why import Barred
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Assessment
from tests.yards import SOUTH, view

JULY, AUGUST, LATER = dt.date(2024, 7, 8), dt.date(2024, 8, 12), dt.date(2024, 8, 26)
LAST = dt.date(2019, 8, 3)
THINNED = Note(dt.date(2024, 7, 13), "south", "p1", job="structural-pruning")


def pine(species: str, vigour: Vigour = "strong", last: dt.date = LAST) -> Tree:
    return Tree("p1", "south", species, size="large", vigour=vigour, last_repotted=last)


def asked(tree: Tree, job: str, on: dt.date, *notes: Note) -> Assessment:
    kind = load_catalogue().find(tree.species)
    windows = [one for one in kind.full_windows if one.job == job and one.size in (None, tree.size)]
    return answer_about(Prospect(view(SOUTH, on), kind, "large"), windows, history_of(tree, notes, on))


@pytest.mark.parametrize("species", ["Pinus radiata", "Pinus thunbergii"])
def test_in_july_a_large_pine_is_thinned_first_and_repotted_after_as_one_winters_work(species: str) -> None:
    found = asked(pine(species), "structural-pruning", JULY)
    assert (found.need.state, found.today) == ("due", "do")
    course = found.course
    assert {part.job for part in course.before} == {"needle-work", "structural-pruning"}
    assert course.roots.job == "repotting" and course.large
    for part in course.before:
        assert JULY <= part.first <= part.last <= course.roots.last
    told = " ".join(answer_text(found).split())
    assert "Structural pruning, from 8 Jul to" in told and "under three tenths of its foliage" in told
    assert "its pot, mix and ties made ready" in told
    assert "on a day by itself, as each of these on a large tree" in told


@pytest.mark.parametrize("vigour", ["strong", "normal"])
@pytest.mark.parametrize(("species", "on"), [("Pinus radiata", AUGUST), ("Pinus thunbergii", LATER)])
def test_thinned_in_july_it_is_repotted_in_august(species: str, on: dt.date, vigour: Vigour) -> None:
    found = asked(pine(species, vigour), "repotting", on, THINNED)
    assert (found.need.state, found.today, found.verdict) == ("due", "do", "open")


def test_thinned_lightly_it_is_not_asked_to_be_thinned_again_that_winter() -> None:
    """A light round keeps no other from the tree, so that only this says that it was done."""
    light = [
        Note(THINNED.date, "south", "p1", job=job, details=Details(amount="light"))
        for job in ("structural-pruning", "needle-work")
    ]
    pruning = asked(pine("Pinus radiata"), "structural-pruning", dt.date(2024, 7, 15), *light)
    assert (pruning.need.state, pruning.need.last, pruning.course) == ("may", THINNED.date, None)
    roots = asked(pine("Pinus radiata"), "repotting", AUGUST, *light)
    assert (roots.need.state, roots.today, roots.course) == ("due", "do", None)
    next_winter = asked(pine("Pinus radiata"), "structural-pruning", dt.date(2025, 7, 7), *light)
    assert next_winter.need.state == "due"


def test_thinned_heavily_it_waits_a_year_and_is_told_since_which_work_and_until_when() -> None:
    heavy = Note(THINNED.date, "south", "p1", job="structural-pruning", details=Details(amount="heavy"))
    found = asked(pine("Pinus radiata"), "repotting", AUGUST, heavy)
    assert (found.need.state, found.today) == ("leave", "no")
    assert isinstance(found.need.why, Barred) and found.need.rule == "roots-after-heavy-pruning"
    assert (found.need.last, found.need.allowed) == (THINNED.date, dt.date(2025, 7, 13))
    assert "It had structural pruning on 13 Jul 2024. Not before 13 Jul 2025." in " ".join(
        answer_text(found).split()
    )


def test_a_pine_that_is_not_due_for_its_roots_is_thinned_alone() -> None:
    assert asked(pine("Pinus radiata", last=dt.date(2023, 8, 5)), "structural-pruning", JULY).course is None


def test_a_weak_pine_is_left_in_peace() -> None:
    found = asked(pine("Pinus radiata", "weak"), "structural-pruning", JULY)
    assert (found.need.state, found.course) == ("leave", None)


def test_another_tree_has_no_such_winter() -> None:
    maple = Tree("p1", "south", "Acer palmatum", size="large", last_repotted=LAST)
    assert asked(maple, "structural-pruning", dt.date(2024, 6, 10)).course is None
