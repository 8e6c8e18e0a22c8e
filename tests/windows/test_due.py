"""A tree repotted lately isn't due, by the years its kind stands in a pot: common practice, no source."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.advice.choice import to_work_first
from season_engine.documents.calendar_feed import season_calendar
from season_engine.prints.answer import answer_text
from season_engine.report.contents import due
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Size, Tree
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Assessment
from season_engine.windows.judge import Judge, prospects_of
from season_engine.windows.today import tree_state
from season_engine.windows.tree_notes import Due, InSections, NotDue
from season_engine.words.window_lines import resting_trees_sentence
from tests.factories import a_report, a_site_report
from tests.yards import NAGANO, view

ON = dt.date(2025, 4, 16)  # in the middle of the pines' repotting there, as the engine dates it (a pin)
PINE = load_catalogue().find("Pinus thunbergii")
WINDOW = next(one for one in PINE.windows if one.job == "repotting" and one.severity in (None, "full"))


def state_of(last: dt.date | None, size: Size = "medium"):
    tree = Tree("p1", "nagano", PINE.name, size=size, last_repotted=last)
    return tree_state(tree, (), NAGANO.season_on(ON), ON)


def judged(last: dt.date | None, size: Size = "medium") -> Assessment:
    return answer_about(Prospect(view(NAGANO, ON), PINE, size), [WINDOW], state_of(last, size))


@pytest.mark.parametrize(
    ("last", "size", "note"),
    [
        (None, "medium", None),
        (dt.date(2021, 4, 10), "medium", Due(dt.date(2021, 4, 10), 3, 5)),
        (dt.date(2022, 4, 28), "medium", Due(dt.date(2022, 4, 28), 3, 5)),  # three years, but for some days
        (dt.date(2023, 4, 10), "medium", NotDue(dt.date(2023, 4, 10), 3, 5)),
        (dt.date(2024, 4, 10), "large", NotDue(dt.date(2024, 4, 10), 3, 5)),
        (dt.date(2023, 4, 10), "small", Due(dt.date(2023, 4, 10), 2, 4)),
        (dt.date(2024, 4, 10), "small", NotDue(dt.date(2024, 4, 10), 2, 4)),
    ],
)
def test_a_pine_is_due_after_three_years_and_a_small_one_after_two(last, size: Size, note) -> None:
    found, usual = judged(last, size), judged(None, size)
    assert found.of_tree == (() if note is None else (note,))
    assert usual.today in ("do", "only-with-shelter")
    held = isinstance(note, NotDue)
    assert (found.verdict, found.today) == (usual.verdict, "hold" if held else usual.today)
    assert (found.due, found.today_why == note) == (isinstance(note, Due), held)


def test_the_answer_says_when_it_was_repotted_and_how_often_it_is_due() -> None:
    told = " ".join(answer_text(judged(dt.date(2023, 4, 10))).split())
    assert "Its roots were last worked in April 2023, and such a tree is repotted every three to five" in told
    due_now = " ".join(answer_text(judged(dt.date(2021, 4, 10))).split())
    assert "repotted every three to five years: it is due." in due_now and "not due" not in due_now


def test_trees_that_share_a_judgement_are_due_each_by_its_own_date() -> None:
    judge = Judge(prospects_of(view(NAGANO, ON), ()))
    lately, long_ago = (
        judge(PINE, "medium", WINDOW, state_of(dt.date(year, 4, 10))) for year in (2023, 2020)
    )
    assert (bool(lately.not_due), long_ago.not_due) == (True, None)


def test_a_report_invites_nobody_to_repot_a_tree_that_is_not_due() -> None:
    lately = judged(dt.date(2023, 4, 10))
    site = a_site_report(trees=(lately,), tree_names={"p1": "Kuro"}, weak=())
    assert due(site) == [] and to_work_first((lately,)) == ()
    told = "Not due for repotting yet: Kuro (last in April 2023; every three to five years)."
    assert told in resting_trees_sentence(site)
    assert b"epotting" not in season_calendar(a_report(sites=(site,)))


@pytest.mark.parametrize("kind", load_catalogue().species.values(), ids=lambda kind: kind.name)
def test_every_kind_that_is_repotted_says_how_often(kind) -> None:
    least, most = kind.repotted_every.years
    assert 1 <= least <= most <= 10


def test_the_whole_of_a_collected_trees_roots_is_not_offered_but_a_section_of_them_is() -> None:
    """Renewed in parts over years: common practice, no source."""
    tree = Tree("p1", "nagano", PINE.name, origin="collected")
    state = tree_state(tree, (), NAGANO.season_on(ON), ON)
    section = next(one for one in PINE.windows if one.job == "sectional-repotting")
    prospect = Prospect(view(NAGANO, ON), PINE)
    whole, part = (answer_about(prospect, [one], state) for one in (WINDOW, section))
    whole_told, part_told = (one.now if hasattr(one, "now") else one for one in (whole, part))
    assert whole_told.of_tree == (InSections(),) and whole_told.left_alone
    assert part_told.of_tree == () and not part_told.left_alone
