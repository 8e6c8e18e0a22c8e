"""Mondays through a year of the demo: what stands first is true of what follows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from season_engine.advice.choice import work_first
from season_engine.advice.first_screen import FirstScreen
from season_engine.pipeline import yard_on
from season_engine.report.contents import Report, SiteReport, told_of, under
from season_engine.windows.assessment import Assessment
from season_engine.words import naming
from season_engine.words.first_screen import first_lines
from season_engine.words.headline import headline
from season_engine.words.line import Line
from season_engine.words.window_lines import waiting_to_open, window_lines
from season_engine.words.work_list import may_be_done
from season_engine.workspace.workspace import load_workspace
from tests.once import once_a_run

FIRST = dt.date(2025, 7, 7)
TEA_TREE = "Leptospermum scoparium"
# All 104 take over a minute: yard, week, and a kind it is told without. In the first three there is nothing
# to work first (in the third but for its tea tree, which is next), in the last something may be done.
MONDAYS = (
    *(("north", 27, ""), ("south", 14, ""), ("south", 15, TEA_TREE)),
    *(("south", 15, ""), ("south", 48, "")),
)
WHY_HELD = (
    *("Wait for safer weather.", "Better not now.", "go by the tree itself.", "too old to work by."),
    *("Needs cover afterwards.", "Needs shade at midday afterwards."),
)
LEFT = "What is in window is better left this week; the page says why."
FREE = "Nothing presses this week; what may be worked stands on the page."
NOTHING = "Nothing for the bench this week."


def reports() -> list[tuple[dt.date, SiteReport]]:
    """The parts of each week's report that speak of today's work."""
    workspace = load_workspace(Path(__file__).parent)  # without a season.toml: the demo
    entries = {entry.site.hemisphere: entry for entry in workspace.sites}
    found = []
    for hemisphere, week, without in MONDAYS:
        on = FIRST + dt.timedelta(weeks=week)
        yard = yard_on(workspace, entries[hemisphere], on)
        judged = tuple(one for one in yard.judged if one.species != without)
        part = SiteReport(
            yard.view.site,
            None,
            windows=tuple(one.now for one in yard.watched if one.now.species != without),
            trees=judged,
            first=FirstScreen(work=work_first(judged, yard.trees)),
            weak=yard.marked("weak"),
            tree_names={tree.id: tree.name for tree in yard.trees},
        )
        found.append((on, part))
    return found


@cache
def year() -> list[tuple[dt.date, SiteReport]]:
    return once_a_run("year_of_mondays", reports)


def idle() -> Iterator[tuple[SiteReport, str, list[Line]]]:
    """The weeks without work to do first: what is said of them, and the windows told as open below."""
    for on, site in year():
        if said := first_lines(site, on).idle:
            yield site, said, lines(site, under("now", told_of(site)))


def lines(site: SiteReport, windows: tuple[Assessment, ...]) -> list[Line]:
    return [line for one in windows for line in window_lines(site, [one])]


def test_each_sentence_is_said_in_some_week_and_no_other_is():
    said = {NOTHING if text.startswith(NOTHING) else text for _, text, _ in idle()}
    assert said == {LEFT, FREE, NOTHING}


def test_what_is_better_left_stands_below_and_each_with_its_reason():
    told = [lines for _, text, lines in idle() if text == LEFT]
    assert all(lines and all(any(why in one.text for why in WHY_HELD) for one in lines) for lines in told)


def test_what_may_be_worked_and_presses_on_no_tree_stands_below():
    for site, text, told in idle():
        if text == FREE:
            assert [one for one in told if not any(why in one.text for why in WHY_HELD)]
            assert not [one for one in site.trees if one.today == "do" and one.due]


def test_whatever_a_tree_is_due_for_and_may_have_today_is_to_be_worked_first():
    """The week's answer is of the first that may be done, or says what is next."""
    asked = set()
    for on, site in year():
        first = {(a.tree, a.job) for choice in site.first.work for a in choice.assessments}
        assert {(one.tree, one.job) for one in site.trees if one.today == "do" and one.due} <= first
        if first:
            may = may_be_done(site.first.work)
            named = (may or site.first.work)[0].assessments
            told = headline(Report(on, demo=True, sites=(site,)))
            names = [site.tree_names[a.tree] if may else naming.species_name(a) for a in named]
            assert any(name in told for name in names)
            assert told.startswith(("Nothing yet; ", "Hold until ", "Hold for now: ")) == (not may)
            asked.add(bool(may))
    assert asked == {True, False}


def test_where_there_is_nothing_for_the_bench_no_window_stands_open_below_and_the_next_is_the_next():
    for site, text, told in idle():
        if text.startswith(NOTHING):
            assert told == []
            dates = {
                title: opens.p50 for title, opens in waiting_to_open(told_of(site), site.windows[0].as_of)
            }
            (named,) = (title for title in dates if f"Next to open: {title}, " in text)
            assert dates[named] == min(dates.values())
