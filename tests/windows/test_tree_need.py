"""What a tree needs, beside how the window stands: common practice, no source."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.advice.choice import to_work_first
from season_engine.documents.calendar_feed import season_calendar
from season_engine.note import Details, Note, Sign
from season_engine.prints.answer import answer_text
from season_engine.report.contents import due
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree
from season_engine.trees.history import history_of
from season_engine.trees.need_why import ByYears, InParts, NoDateKnown, OldAndUnknown, Part, ToRescue, Weak
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Assessment
from season_engine.windows.why_today import RescueNow
from season_engine.words.window_lines import resting_trees_sentence
from tests.factories import a_report, a_site_report
from tests.yards import NAGANO, SOUTH, view

ON = dt.date(2025, 4, 16)  # in the middle of the pines' repotting there, as the engine dates it (a pin)
PINE = "Pinus thunbergii"


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
    dug = noted(dt.date(2023, 4, 10), "collecting")
    found = judged(a_tree(), dug)
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


def test_a_report_invites_nobody_to_repot_a_tree_that_is_left() -> None:
    lately = judged(a_tree(last_repotted=dt.date(2023, 4, 10)))
    assert isinstance(lately.need.why, ByYears)
    site = a_site_report(trees=(lately,), tree_names={"t1": "Kuro"}, weak=())
    assert due(site) == [] and to_work_first((lately,)) == ()
    assert "Not due for repotting yet: Kuro (last in April 2023;" in resting_trees_sentence(site)
    assert b"epotting" not in season_calendar(a_report(sites=(site,)))


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


def test_a_weak_tree_is_left_but_for_two_signs_at_its_roots() -> None:
    weak = a_tree(vigour="weak")
    assert judged(weak).need.why == judged(weak, job="needle-work").need.why == Weak()
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
def test_a_light_thinning_in_winter_keeps_no_repotting_away(vigour) -> None:
    tree = Tree(
        "t1", "south", "Pinus radiata", vigour=vigour, size="large", last_repotted=dt.date(2019, 8, 1)
    )
    thinned = noted(dt.date(2024, 6, 12), "structural-pruning", amount="light")
    heavy = noted(dt.date(2024, 6, 12), "structural-pruning", amount="heavy")
    for on in (dt.date(2024, 7, 28), dt.date(2024, 8, 10)):
        assert not judged(tree, thinned, on=on, site=SOUTH).left_alone
        assert judged(tree, heavy, on=on, site=SOUTH).left_alone


def test_an_advised_repotting_of_a_black_pine_says_that_decandling_is_off() -> None:
    found = judged(a_tree(last_repotted=dt.date(2018, 4, 10)))
    assert found.due and "decandling" in [one.job for one in found.of_tree]
    assert "Once it is done, decandling is off when its window opens" in " ".join(answer_text(found).split())
