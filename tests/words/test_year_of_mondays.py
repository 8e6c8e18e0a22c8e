"""Mondays through a year of the demo: what stands first is true of what follows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from season_engine.advice.choice import LATER_WEEKS, NEAR, SAME, to_work_first
from season_engine.advice.first_screen import FirstScreen
from season_engine.pipeline import yard_on
from season_engine.report.contents import SiteReport, told_of, under
from season_engine.windows.assessment import Assessment
from season_engine.words.first_screen import first_lines
from season_engine.words.line import Line
from season_engine.words.window_lines import waiting_to_open, window_lines
from season_engine.workspace.workspace import load_workspace
from tests.once import once_a_run

FIRST = dt.date(2025, 7, 7)
# All 104 take over a minute. In those named there is nothing to work first in that yard.
MONDAYS = {"north": [28], "south": [14, 16, 40]}
WHY_HELD = (
    *("Wait for safer weather.", "Better not now.", "go by the tree itself.", "too old to work by."),
    *("Only if it can stand under cover afterwards.", "Only if it stands out of the midday sun afterwards."),
)
LEFT = "What is in window is better left this week; the reasons stand below."
FREE = "Nothing presses this week; what may be worked stands below."
NOTHING = "Nothing for the bench this week."


def reports() -> list[tuple[dt.date, SiteReport]]:
    """The parts of each week's report that speak of today's work."""
    workspace = load_workspace(Path(__file__).parent)  # without a season.toml: the demo
    found = []
    for entry in workspace.sites:
        for week in MONDAYS[entry.site.hemisphere]:
            on = FIRST + dt.timedelta(weeks=week)
            yard = yard_on(workspace, entry, on)
            weak = yard.marked("weak")
            found.append(
                (
                    on,
                    SiteReport(
                        yard.view.site,
                        None,
                        windows=tuple(one.now for one in yard.watched),
                        trees=yard.judged,
                        first=FirstScreen(work=to_work_first(yard.judged)),
                        weak=weak,
                        tree_names={tree.id: tree.name for tree in yard.trees},
                    ),
                )
            )
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


def test_what_may_be_worked_and_does_not_press_stands_below():
    for site, text, told in idle():
        if text == FREE:
            assert [one for one in told if not any(why in one.text for why in WHY_HELD)]
            may = [one for one in site.trees if one.today == "do" and one.due]
            assert all(better_later(one) or far_off(one) for one in may)


def better_later(one: Assessment) -> bool:
    return one.ahead[LATER_WEEKS].chance_good > one.ahead[0].chance_good + SAME


def far_off(one: Assessment) -> bool:
    return one.closes.p50 is None or one.closes.p50 > one.as_of + NEAR


def test_where_there_is_nothing_for_the_bench_no_window_stands_open_below_and_the_next_is_the_next():
    for site, text, told in idle():
        if text.startswith(NOTHING):
            assert told == []
            dates = {
                title: opens.p50 for title, opens in waiting_to_open(told_of(site), site.windows[0].as_of)
            }
            (named,) = (title for title in dates if f"Next to open: {title}, " in text)
            assert dates[named] == min(dates.values())
