"""Which trees are refused for the season judged, and which for good."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.today import TreeState
from season_engine.windows.why_today import DoneBefore, HeavyBefore, Weak
from season_engine.words.today import refused
from tests.yards import NAGANO, SOUTH, view

SPRING = dt.date(2025, 4, 16)  # in the middle of the pines' repotting there, as the engine dates it (a pin)
AUTUMN = dt.date(2025, 9, 1)


def judged(on: dt.date, tree: Tree, *worked: tuple[dt.date, str], job: str = "repotting"):
    pine = load_catalogue().find("Pinus thunbergii")
    window = next(one for one in pine.windows if one.job == job)
    return assess(Prospect(view(NAGANO, on), pine), window, TreeState(tree, worked))


def a_tree(**changes) -> Tree:
    return Tree("p1", "nagano", "Pinus thunbergii", **changes)


def test_a_sound_tree_is_not_refused() -> None:
    found = judged(SPRING, a_tree())
    assert (found.refused, found.verdict in ("open", "last-call", "soon")) == (None, True)
    assert found.standing.given


@pytest.mark.parametrize("on", [SPRING, AUTUMN])
def test_a_weak_tree_is_refused_heavy_work_in_every_season(on: dt.date) -> None:
    found = judged(on, a_tree(vigour="weak"))
    assert found.refused == Weak()
    assert found.next is None or found.next.refused == Weak()
    assert judged(on, a_tree(vigour="weak"), job="needle-work").refused is None


def test_work_of_this_season_refuses_this_season_only() -> None:
    repotted = (dt.date(2025, 3, 28), "repotting")
    now, later = judged(SPRING, a_tree(), repotted), judged(AUTUMN, a_tree(), repotted)
    assert now.refused == now.today_why == DoneBefore(dt.date(2025, 3, 28))
    assert "28 Mar 2025" in refused(now.refused)
    assert later.season != now.season or later.next is not None
    ahead = later.next.refused if later.next else later.refused
    assert ahead is None


@pytest.mark.parametrize(("vigour", "may"), [("strong", True), ("normal", False)])
def test_a_strong_pine_thinned_in_winter_is_repotted_after(vigour, may: bool) -> None:
    """By a mild sea large pines are thinned in July, then repotted: common practice, no source."""
    thinned = (dt.date(2024, 7, 12), "structural-pruning")
    tree = Tree("p1", "south", "Pinus radiata", vigour=vigour, size="large")
    kind, seen = load_catalogue().find("Pinus radiata"), view(SOUTH, dt.date(2024, 8, 10))
    window = next(one for one in kind.windows if (one.job, one.name) == ("repotting", "spring"))
    found = assess(Prospect(seen, kind, "large"), window, TreeState(tree, (thinned,)))
    assert found.verdict == "open"
    assert found.refused == (None if may else HeavyBefore("structural-pruning", thinned[0]))
    assert found.today == ("do" if may else "no")


def test_the_dates_behind_the_verdict_keep_to_it() -> None:
    found = judged(AUTUMN, a_tree())
    if found.verdict == "closed":
        assert found.standing.closes <= AUTUMN < found.next.standing.opens
    else:
        assert AUTUMN < found.standing.opens
