"""What a tree needs, beside how the window stands: common practice, no source."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import get_args

import pytest

from season_engine.advice.choice import work_first
from season_engine.advice.first_screen import FirstScreen
from season_engine.documents.calendar_feed import season_calendar, season_windows
from season_engine.note import Details, Note, Sign
from season_engine.prints.answer import answer_text
from season_engine.report.contents import due
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Stage, Tree, Vigour
from season_engine.trees.history import history_of
from season_engine.trees.need_why import (
    ByYears,
    InParts,
    NoDateKnown,
    OldAndUnknown,
    Part,
    ToRescue,
    Weak,
    WouldBar,
)
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Assessment
from season_engine.windows.judge import Judge, prospects_of
from season_engine.windows.why_today import LightTrimOnly, RescueNow
from season_engine.words.window_lines import resting_trees_sentence
from season_engine.workspace.journal_details import details_of
from tests.factories import a_report, a_site_report
from tests.yards import NAGANO, SOUTH, view

ON = dt.date(2025, 4, 16)  # in the middle of the pines' repotting there, as the engine dates it (a pin)
LATE = dt.date(2025, 4, 17)  # a full repotting of the maples is over there, a light trim is not (a pin)
PINE = "Pinus thunbergii"
THINNING = "structural-pruning"


def judged(tree: Tree, *notes: Note, job: str = "repotting", on: dt.date = ON, site=NAGANO) -> Assessment:
    kind = load_catalogue().find(tree.species)
    windows = [one for one in kind.full_windows if one.job == job and one.size in (None, tree.size)]
    return answer_about(Prospect(view(site, on), kind, tree.size), windows, history_of(tree, notes, on))


def a_tree(species: str = PINE, **told) -> Tree:
    return Tree("t1", "nagano", species, **told)


def noted(on: dt.date, job: str, **details) -> Note:
    return Note(on, "nagano", "t1", job=job, details=Details(**details))


@pytest.mark.parametrize(
    ("last", "size", "state"),
    [
        (dt.date(2019, 4, 10), "medium", "due"),
        (dt.date(2022, 4, 28), "medium", "due"),  # three years, but for some days
        (dt.date(2023, 4, 10), "medium", "leave"),
        (dt.date(2024, 4, 10), "large", "leave"),
        (dt.date(2023, 4, 10), "small", "due"),
        (dt.date(2024, 4, 10), "small", "leave"),
    ],
)
def test_a_pine_is_repotted_by_its_years_and_a_small_one_sooner(last: dt.date, size, state: str) -> None:
    found = judged(a_tree(last_repotted=last, size=size))
    assert found.need.state == state
    assert found.verdict in ("open", "last-call") and (found.today == "no") == (state == "leave")
    assert found.need.last == last


def test_a_tree_left_says_the_rule_the_work_and_the_date_in_facts_and_in_words() -> None:
    found = judged(a_tree(), noted(dt.date(2023, 4, 10), "collecting"))
    need = found.need
    assert (need.rule, need.last, need.allowed) == (
        "roots-after-collecting",
        dt.date(2023, 4, 10),
        dt.date(2026, 2, 23),
    )
    told = " ".join(answer_text(found).split())
    assert "It had collecting on 10 Apr 2023. Not before 23 Feb 2026." in told


def test_of_its_last_repotting_and_its_years_the_longer_is_told() -> None:
    need = judged(a_tree(), noted(dt.date(2024, 4, 10), "repotting")).need
    assert (need.rule, need.last, need.allowed) == ("years", dt.date(2024, 4, 10), dt.date(2027, 4, 10))


@pytest.mark.parametrize(
    ("last", "state", "told"),
    [
        (dt.date(2023, 4, 10), "leave", "April 2023, and such a tree is repotted every three years: not due"),
        (
            dt.date(2021, 4, 10),
            "due",
            "April 2021, and such a tree is repotted every three years: it is due.",
        ),
    ],
)
def test_the_answer_says_when_it_was_repotted_and_how_often_it_is_due(
    last: dt.date, state: str, told: str
) -> None:
    found = judged(a_tree(last_repotted=last))
    assert found.need.state == state
    assert f"Its roots were last worked in {told}" in " ".join(answer_text(found).split())


@pytest.mark.parametrize("noted_too", [False, True])
def test_a_tree_repotted_this_spring_is_left_now_and_next_spring_and_free_the_one_after(noted_too) -> None:
    done = dt.date(2025, 3, 28)
    tree = a_tree(last_repotted=None if noted_too else done, stage="young")
    notes = [noted(done, "repotting")] if noted_too else []
    now, autumn = judged(tree, *notes), judged(tree, *notes, on=dt.date(2025, 9, 1))
    assert now.verdict in ("open", "last-call") and now.today == "no"
    assert (now.need.last, now.need.allowed) == (done, dt.date(2027, 3, 28))
    assert autumn.verdict == "closed" and autumn.next.standing.opens.year == 2026 and autumn.next.left
    later = judged(tree, *notes, on=dt.date(2026, 12, 1))
    assert later.standing.opens.year == 2027 and later.need.state == "may"


def test_trees_that_share_a_judgement_are_each_judged_by_their_own_past() -> None:
    judge, kind = Judge(prospects_of(view(NAGANO, ON), (), load_catalogue().get)), load_catalogue().find(PINE)
    window = next(one for one in kind.full_windows if one.job == "repotting")
    lately, long_ago = (
        judge(kind, "medium", window, history_of(a_tree(last_repotted=dt.date(year, 4, 10)), [], ON))
        for year in (2023, 2020)
    )
    assert (lately.need.state, lately.today) == ("leave", "no")
    assert (long_ago.need.state, long_ago.today_why) == ("due", judge(kind, "medium", window).today_why)


@pytest.mark.parametrize("kind", load_catalogue().species.values(), ids=lambda kind: kind.name)
def test_every_kind_that_is_repotted_says_how_often_and_a_finished_tree_no_oftener(kind) -> None:
    every = [kind.repotted_every.years(stage, "medium") for stage in get_args(Stage)]
    assert all(1 <= years.least <= years.most <= 10 for years in every)
    assert every == sorted(every)
    for stage, years in zip(get_args(Stage), every, strict=True):
        small = kind.repotted_every.years(stage, "small")
        assert 1 <= small.least <= years.least and small.most <= years.most


def test_a_report_invites_nobody_to_repot_a_tree_that_is_left() -> None:
    lately = judged(a_tree(last_repotted=dt.date(2023, 4, 10)))
    assert isinstance(lately.need.why, ByYears)
    site = a_site_report(trees=(lately,), tree_names={"t1": "Kuro"}, weak=())
    assert due(site) == [] and work_first((lately,)) == ()
    assert "Not due for repotting yet: Kuro (last in April 2023;" in resting_trees_sentence(site)
    report = a_report(sites=(replace(site, look_at=(), first=FirstScreen()),))
    assert b"epotting" not in season_calendar(report) + season_windows(report)


def test_the_whole_of_a_collected_trees_roots_is_not_offered_but_a_part_of_them_is() -> None:
    tree = a_tree(origin="collected")
    whole, part = judged(tree), judged(tree, job="sectional-repotting")
    assert isinstance(whole.need.why, InParts) and whole.left_alone
    assert isinstance(part.need.why, Part) and part.due


def test_a_tree_a_year_after_the_first_part_is_left_until_two_years_are_over() -> None:
    tree = a_tree(origin="collected", root_parts=3)
    found = judged(tree, noted(dt.date(2024, 4, 10), "sectional-repotting"), job="sectional-repotting")
    assert (found.need.state, found.need.rule) == ("leave", "section-after-section")
    assert found.need.allowed == dt.date(2026, 4, 10)


@pytest.mark.parametrize("on", [ON, dt.date(2025, 9, 1)])
def test_a_weak_tree_is_left_in_every_season_but_fed(on: dt.date) -> None:
    weak = a_tree(vigour="weak")
    for job in ("repotting", "needle-work", "decandling"):
        found = judged(weak, job=job, on=on)
        assert (found.need.state, found.need.why, found.today) == ("leave", Weak(), "no")
        assert found.next is None or found.next.left
    assert not judged(weak, job="feeding", on=on).left_alone


def test_a_weak_tree_is_left_but_for_two_signs_at_its_roots() -> None:
    weak = a_tree(vigour="weak")
    signs: list[Sign] = ["drains slowly", "roots lift"]
    for count, state in ((1, "leave"), (2, "due")):
        seen = Note(ON, "nagano", "t1", details=Details(signs=frozenset(signs[:count])))
        assert judged(weak, seen).need.state == state


def test_dying_roots_are_rescued_out_of_window_in_whatever_year() -> None:
    on = dt.date(2025, 1, 10)
    seen = Note(on, "nagano", "t1", details=Details(signs=frozenset({"roots rotten"})))
    found = judged(a_tree(last_repotted=dt.date(2024, 4, 10)), seen, on=on)
    assert found.verdict not in ("open", "last-call")
    assert isinstance(found.need.why, ToRescue) and found.due
    assert (found.today, found.today_why) == ("no", RescueNow(frozenset({"roots rotten"})))


def test_a_rescue_stands_before_a_light_trim_once_the_window_is_closed() -> None:
    kind = load_catalogue().find("Acer palmatum")
    spring = next(one for one in kind.windows if (one.job, one.name) == ("repotting", "spring"))
    judge = Judge(prospects_of(view(NAGANO, LATE), [], load_catalogue().get))
    seen = Note(LATE, "nagano", "t1", details=Details(signs=frozenset({"roots rotten"})))
    well, dying = (
        judge(kind, "medium", spring, history_of(a_tree("Acer palmatum"), notes, LATE))
        for notes in ((), (seen,))
    )
    assert well.verdict == dying.verdict == "closed"
    assert isinstance(well.today_why, LightTrimOnly)
    assert dying.today_why == RescueNow(frozenset({"roots rotten"}))


def test_of_trees_without_a_date_an_old_conifer_is_left_and_a_maple_may() -> None:
    pine, maple = judged(a_tree(stage="old")), judged(a_tree("Acer palmatum", stage="old"))
    assert (pine.need.state, pine.need.why) == ("leave", OldAndUnknown())
    assert (maple.need.state, maple.need.why) == ("may", NoDateKnown())


def test_a_juniper_repotted_in_march_is_left_in_august() -> None:
    found = judged(
        a_tree("Juniperus chinensis"), noted(dt.date(2025, 3, 20), "repotting"), on=dt.date(2025, 8, 20)
    )
    assert found.left_alone and found.need.last == dt.date(2025, 3, 20)


@pytest.mark.parametrize("vigour", ["normal", "strong"])
@pytest.mark.parametrize(
    ("note", "left"),
    [("", False), ("light thinning", False), ("heavy, half of all branches taken off", True)],
)
def test_a_pine_thinned_lightly_in_winter_is_repotted_after(note: str, vigour: Vigour, left: bool) -> None:
    """By a mild sea large pines are thinned in June or July, then repotted."""
    tree = Tree(
        "t1", "south", "Pinus radiata", vigour=vigour, size="large", last_repotted=dt.date(2019, 8, 1)
    )
    for thinned in (dt.date(2024, 6, 12), dt.date(2024, 7, 12)):
        done = replace(noted(thinned, THINNING), note=note, details=details_of(THINNING, note))
        for on in (dt.date(2024, 7, 28), dt.date(2024, 8, 10)):
            found = judged(tree, done, on=on, site=SOUTH)
            assert found.left_alone == left
            if left:
                assert (found.need.rule, found.need.last) == ("roots-after-heavy-pruning", thinned)
                assert found.need.allowed == thinned.replace(year=2025)
            if found.verdict == "open":
                assert found.today == ("no" if left else "do")


def test_the_answer_says_which_thinning_keeps_the_repotting_away() -> None:
    tree = Tree("t1", "south", "Pinus radiata", size="large", last_repotted=dt.date(2019, 8, 1))
    done = noted(dt.date(2024, 7, 12), THINNING, amount="heavy")
    told = " ".join(answer_text(judged(tree, done, on=dt.date(2024, 8, 10), site=SOUTH)).split())
    assert "Today: leave. It had structural pruning on 12 Jul 2024. Not before 12 Jul 2025." in told


@pytest.mark.parametrize("job", ["repotting", "sectional-repotting"])
@pytest.mark.parametrize(
    ("species", "days_ago", "fed"),
    [
        ("Acer palmatum", 0, False),
        ("Acer palmatum", 29, False),
        ("Acer palmatum", 30, True),
        (PINE, 30, False),
        (PINE, 44, False),
        (PINE, 45, True),
        (PINE, 400, True),
    ],
)
def test_a_tree_is_fed_a_month_after_work_on_its_roots_and_a_conifer_later(
    species: str, days_ago: int, fed: bool, job: str
) -> None:
    """In whatever season the work was done, noted or told in trees.csv; wire is no matter."""
    on = dt.date(2025, 10, 5)
    worked = on - dt.timedelta(days=days_ago)
    pasts = [(a_tree(species), noted(worked, job))]
    if job == "repotting":
        pasts.append((a_tree(species, last_repotted=worked),))
    for past in pasts:
        need = judged(*past, job="feeding", on=on).need
        assert need.state == ("may" if fed else "leave")
        assert (need.rule, need.last) == (("stage", None) if fed else ("feeding-after-roots", worked))
        assert judged(*past, job="wiring", on=on).need.state == "may"


def test_an_advised_repotting_of_a_black_pine_says_that_decandling_is_off() -> None:
    found = judged(a_tree(last_repotted=dt.date(2018, 4, 10)))
    assert found.due and "decandling" in [one.job for one in found.of_tree]
    assert "Once it is done, decandling is off when its window opens" in " ".join(answer_text(found).split())


def test_a_refined_tree_keeps_its_leaves_where_their_loss_would_cost_it_the_repotting_it_is_due_for() -> None:
    """One heavy job a cycle on a refined tree, two on one in training."""
    on, kind = dt.date(2024, 7, 10), "Wrightia religiosa"
    long_ago, lately = dt.date(2014, 7, 1), dt.date(2023, 4, 1)
    found = judged(a_tree(kind, stage="refined", last_repotted=long_ago), job="defoliation", on=on)
    assert isinstance(found.need.why, WouldBar) and found.left_alone
    assert found.need.why.job == "repotting" and found.need.why.opens > on
    assert work_first((found,)) == ()
    for stage, last in (("training", long_ago), ("refined", lately)):
        other = judged(a_tree(kind, stage=stage, last_repotted=last), job="defoliation", on=on)
        assert not other.left_alone
