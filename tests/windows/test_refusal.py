"""Which trees are refused for the season judged, and which for good."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.note import Note
from season_engine.prints.answer import answer_text
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree, Vigour
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.today import TreeState, refusal_of, tree_state
from season_engine.windows.tree_notes import AfterHeavy
from season_engine.windows.why_today import DoneBefore, HeavilyBefore, HeavyBefore, RootsBefore, Weak
from season_engine.words.today import refused
from season_engine.workspace.journal_details import details_of
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
    assert judged(on, a_tree(vigour="weak"), job="needle-work").refused == Weak(), (
        "common practice, no source"
    )
    assert judged(on, a_tree(vigour="weak"), job="feeding").refused is None


def test_work_of_this_season_refuses_this_season_only() -> None:
    repotted = (dt.date(2025, 3, 28), "repotting")
    now, later = judged(SPRING, a_tree(), repotted), judged(AUTUMN, a_tree(), repotted)
    assert now.refused == now.today_why == DoneBefore(dt.date(2025, 3, 28))
    assert "28 Mar 2025" in refused(now.refused)
    assert later.season != now.season or later.next is not None
    ahead = later.next.refused if later.next else later.refused
    assert ahead is None


THINNED = dt.date(2024, 7, 12)


def thinned_then_repotted(note: str, vigour: Vigour) -> Assessment:
    """By a mild sea large pines are thinned in July, then repotted: common practice, no source."""
    on, job = dt.date(2024, 8, 10), "structural-pruning"
    tree = Tree(
        "p1", "south", "Pinus radiata", vigour=vigour, size="large", last_repotted=dt.date(2020, 8, 1)
    )
    kind = load_catalogue().find("Pinus radiata")
    thinned = Note(THINNED, "south", "p1", job=job, note=note, details=details_of(job, note))
    state = tree_state(tree, [thinned], SOUTH.season_on(on), on)
    window = next(one for one in kind.windows if (one.job, one.name) == ("repotting", "spring"))
    found = answer_about(Prospect(view(SOUTH, on), kind, "large"), [window], state)
    assert found.verdict == "open"
    return found


@pytest.mark.parametrize(
    ("note", "vigour", "refused"),
    [
        ("", "strong", None),
        ("light thinning", "strong", None),
        ("heavy, half of all branches taken off", "strong", HeavilyBefore("structural-pruning", THINNED)),
        ("light thinning", "normal", HeavyBefore("structural-pruning", THINNED)),
    ],
)
def test_a_strong_pine_thinned_lightly_in_winter_is_repotted_after(note: str, vigour, refused) -> None:
    found = thinned_then_repotted(note, vigour)
    assert found.refused == refused
    assert found.today == ("no" if refused else "do")
    noted = [one for one in found.of_tree if isinstance(one, AfterHeavy)]
    assert noted == ([] if refused else [AfterHeavy("structural-pruning", THINNED)])


def test_the_answer_says_that_it_was_thinned_and_what_to_look_for() -> None:
    told = " ".join(answer_text(thinned_then_repotted("", "strong")).split())
    assert "It had structural pruning on 12 Jul 2024, this season, and may be repotted after it only" in told
    assert "noted as strong. Do it where it has kept its vigour and water drains slowly" in told
    left = " ".join(answer_text(thinned_then_repotted("half of the crown", "strong")).split())
    assert "Today: leave. It had structural pruning on 12 Jul 2024, a heavy one by your note" in left


def test_the_dates_behind_the_verdict_keep_to_it() -> None:
    found = judged(AUTUMN, a_tree())
    if found.verdict == "closed":
        assert found.standing.closes <= AUTUMN < found.next.standing.opens
    else:
        assert AUTUMN < found.standing.opens


@pytest.mark.parametrize(("days_ago", "fed"), [(0, False), (29, False), (30, True), (400, True)])
def test_a_tree_is_not_fed_for_a_month_after_work_on_its_roots(days_ago: int, fed: bool) -> None:
    """Common practice, no source; whatever season the work was done in."""
    on = dt.date(2025, 10, 5)
    repotted = on - dt.timedelta(days=days_ago)
    noted = [Note(repotted, "nagano", "p1", job="sectional-repotting")]
    states = (
        tree_state(a_tree(last_repotted=repotted), [], NAGANO.season_on(on), on),
        tree_state(a_tree(), noted, NAGANO.season_on(on), on),
    )
    for state in states:
        assert refusal_of("feeding", state) == (None if fed else RootsBefore(repotted, 30))
        assert refusal_of("wiring", state) is None
