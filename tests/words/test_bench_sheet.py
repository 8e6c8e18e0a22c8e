"""The week's work by bench, as it is printed and hung up."""

from __future__ import annotations

from season_engine.advice.choice import Choice
from season_engine.advice.first_screen import FirstScreen
from season_engine.words.bench_sheet import bench_sheet
from tests.factories import AS_OF, a_harm, a_site_report, an_assessment


def sheet(**changes: object) -> dict[str, tuple[str, ...]]:
    site = a_site_report(**{"look_at": (), **changes})
    return {bench.name: bench.tasks for bench in bench_sheet(site, AS_OF)}


def work(*trees: str | None, **changes: object) -> FirstScreen:
    return FirstScreen(work=(Choice(tuple(an_assessment(tree=tree, **changes) for tree in trees), 0.3),))


def test_each_bench_has_its_trees_and_what_has_none_stands_in_the_yard():
    told = sheet(first=work("M1", "E1", "P1"), benches={"M1": "3", "P1": "3"})
    assert told == {
        "Bench 3": ("Repot Lantern and Harbour pine by Tue 1 Sep.",),
        "Yard": ("Repot Gatepost by Tue 1 Sep.",),
    }


def test_what_to_shelter_stands_before_all_benches_and_what_goes_on_is_not_said_anew():
    begins, lasts = a_harm(), a_harm(stage="lasts", trees=("M2",))
    (told,) = sheet(first=FirstScreen(protect=(begins, lasts)))[""]
    assert "move P2" in told
    assert sheet(first=FirstScreen(protect=(lasts,))) == {}


def test_only_what_may_be_done_this_week_is_on_it():
    assert sheet(first=work("M1", today="hold")) == {}
    assert sheet(first=work("M1", verdict="soon", today="no")) == {}
    assert sheet(first=work("M1", today="only-with-shelter")) != {}


def test_a_yard_without_trees_has_its_kinds_on_it():
    assert sheet(first=work(None), trees=(), tree_names={}) == {"": ("Repot Japanese maple by Tue 1 Sep.",)}


def test_what_to_look_for_stands_before_all_benches():
    told = sheet(look_at=a_site_report().look_at, first=FirstScreen())
    assert told == {"": ("See whether: Gatepost (Chinese elm). Buds swell (4 in 10).",)}
