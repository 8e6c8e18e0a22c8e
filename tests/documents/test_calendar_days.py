"""The calendar of days to act on: openings, last calls, buds to look at, harm; short, moved, not doubled."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import replace

import pytest
from season_engine.advice.protect import Threat

from season_engine.advice.alarms import Spell
from season_engine.advice.first_screen import FirstScreen
from season_engine.documents.calendar_feed import season_calendar
from season_engine.trees.need import Need
from season_engine.trees.need_why import ByStage, Weak
from season_engine.windows.assessment import NextWindow, Quantiles, Standing
from season_engine.windows.hazard import ColdNight, HotDays
from tests.documents.test_calendar_feed import CLOSES, STANDING, a_bench, events, feed_of, only, tree
from tests.factories import AS_OF, a_first_screen, a_harm, a_report, a_site_report, days, some_weather
from tests.workspaces import demo_report

LONGEST_DAYS = 3
AHEAD = Standing(AS_OF + days(20), AS_OF + days(60), unsure=False)
SOON = {"verdict": "wait", "today": "no", "standing": AHEAD}


def titles(feed: bytes) -> list[str]:
    return [event.summary.value for event in events(feed).values()]


def shelter(*, as_of: dt.date = AS_OF, **changes) -> bytes:
    """What is to be done against one harm to a maple repotted nine days ago."""
    harm = a_harm(**{"trees": ("M1",), **changes})
    return feed_of(as_of=as_of, windows=(), first=FirstScreen(protect=(harm,)))


def a_night(ahead: int) -> dict[str, object]:
    """Frost forecast for one night; what is to be done against it is done the evening before."""
    night = AS_OF + days(ahead)
    return {"spell": Spell(night, night, -3.2), "by": night - days(1)}


def test_a_window_ahead_is_the_day_it_opens_and_its_last_days() -> None:
    opens, last = events(feed_of(replace(tree(), **SOON))).values()
    assert opens.summary.value == "Opens: repotting (spring) of Japanese maple — Lantern"
    assert (opens.dtstart.value, opens.dtend.value) == (AHEAD.opens, AHEAD.opens + days(1))
    assert last.summary.value == "Last call: repotting (spring) of Japanese maple — Lantern"
    assert (last.dtstart.value, last.dtend.value) == (AHEAD.closes - days(LONGEST_DAYS), AHEAD.closes)
    assert opens.uid.value != last.uid.value
    assert {opens.status.value, last.status.value} == {"TENTATIVE"}
    assert "From this day on the window is open with the odds this job wants" in opens.description.value
    assert "After these days the odds that the window is still open" in last.description.value
    for event in (opens, last):
        assert event.description.value.startswith("Trees: Lantern.")
        assert "which each week's report moves." in event.description.value


def test_a_last_call_reminds_at_nine_a_week_before_the_window_closes() -> None:
    """RFC 5545, 3.8.6.3: a trigger counts from the day's beginning, by the reader's clock (from memory)."""
    (alarm,) = only(feed_of(tree())).valarm_list
    assert (alarm.action.value, alarm.description.value) == ("DISPLAY", only(feed_of(tree())).summary.value)
    first = dt.datetime.combine(only(feed_of(tree())).dtstart.value, dt.time())
    assert first + alarm.trigger.value == dt.datetime.combine(CLOSES - days(7), dt.time(9))


def test_nothing_else_reminds() -> None:
    feed = season_calendar(a_report(sites=(a_site_report(),)))
    reminding = {
        event.summary.value.split(":")[0] for event in events(feed).values() if "valarm" in event.contents
    }
    assert reminding == {"Last call"}
    kinds = {title.split(":")[0] for title in titles(feed)}
    assert kinds == {"Last call", "Opens", "Look at", "Cover P2 by Wed 12 Aug"}


def test_a_window_that_is_open_has_its_last_call_alone_and_a_closed_one_none() -> None:
    assert titles(feed_of(tree())) == ["Last call: repotting (spring) of Japanese maple — Lantern"]
    assert only(feed_of(tree())).status.value == "CONFIRMED"
    opening = replace(STANDING, opens=AS_OF)
    assert len(events(feed_of(replace(tree(), standing=opening)))) == 2
    assert events(feed_of(replace(tree(), verdict="closed", next=None))) == {}


def test_a_window_shorter_than_its_last_days() -> None:
    short = Standing(AS_OF + days(9), AS_OF + days(10), unsure=False)
    for event in events(feed_of(replace(tree(), verdict="soon", standing=short))).values():
        assert (event.dtstart.value, event.dtend.value) == (short.opens, short.closes)


def test_due_and_may_are_told_and_what_is_left_is_not() -> None:
    for state, count in (("due", 1), ("may", 1), ("leave", 0)):
        need = Need(state, Weak() if state == "leave" else ByStage("refined", state), "by-stage")
        assert len(events(feed_of(replace(tree(), need=need)))) == count
    left = replace(tree("M2"), need=Need("leave", Weak(), "weak"))
    assert "Old split maple" not in only(feed_of(tree(), left)).description.value


def test_next_season_is_told_once_it_is_near() -> None:
    closed = replace(tree(), verdict="closed", today="no")
    near, far = (Standing(AS_OF + days(n), AS_OF + days(n + 40), unsure=False) for n in (60, 121))
    none = Quantiles(None, None, None)
    assert len(events(feed_of(replace(closed, next=NextWindow("2027/28", none, none, near))))) == 2
    assert events(feed_of(replace(closed, next=NextWindow("2027/28", none, none, far)))) == {}
    assert events(feed_of(replace(closed, next=NextWindow("2027/28", none, none, near, left=True)))) == {}


def test_next_week_the_same_days_move_and_no_second_ones_come() -> None:
    before = events(feed_of(replace(tree(), **SOON)))
    later = Standing(AHEAD.opens + days(3), AHEAD.closes + days(4), unsure=False)
    moved = replace(tree(), verdict="soon", today="no", standing=later, as_of=AS_OF + days(7))
    after = events(feed_of(moved, as_of=AS_OF + days(7)))
    assert before.keys() == after.keys()
    apart = {
        (after[uid].dtstart.value - event.dtstart.value).days: event.summary.value.split(":")[0]
        for uid, event in before.items()
    }
    assert apart == {3: "Opens", 4: "Last call"}
    assert all(int(after[uid].sequence.value) > int(before[uid].sequence.value) for uid in before)


def test_an_end_of_the_calendar_is_told_as_one() -> None:
    a = replace(tree(), **SOON)
    fixed = replace(a.opens, calendar="opens")
    opens, last = events(feed_of(replace(a, opens=fixed))).values()
    assert "the same every year" in opens.description.value
    assert "the same every year" not in last.description.value


def test_buds_to_look_at_in_the_days_of_the_report() -> None:
    site = a_site_report(trees=(), windows=(), first=FirstScreen())
    (event,) = events(season_calendar(a_report(sites=(site,)))).values()
    assert event.summary.value == "Look at: Gatepost (Chinese elm)"
    assert (event.dtstart.value, event.dtend.value) == (AS_OF, AS_OF + days(LONGEST_DAYS))
    assert event.description.value.startswith('See whether buds swell (4 in 10).\nAnswer "not yet"')
    later = season_calendar(a_report(as_of=AS_OF + days(7), sites=(site,)))
    assert events(later).keys() == {event.uid.value}
    assert only(later).dtstart.value == AS_OF + days(7)


def test_cover_is_wanted_on_the_eve_of_a_forecast_night() -> None:
    event = only(shelter(**a_night(4)))
    assert event.summary.value == "Cover Lantern by Fri 14 Aug"
    assert (event.dtstart.value, event.dtend.value) == (AS_OF + days(3), AS_OF + days(4))
    assert event.description.value == (
        "-3 °C forecast for the night to Sat 15 Aug: move Lantern (repotting on 2 Aug) under cover by the "
        "evening of Fri 14 Aug."
    )
    tonight = shelter(**{**a_night(1), "by": AS_OF})
    assert only(tonight).dtstart.value == AS_OF
    assert only(shelter(**a_night(4))).uid.value == only(tonight).uid.value
    missed = shelter(as_of=AS_OF + days(5), **a_night(4))
    assert only(missed).dtstart.value == AS_OF + days(5), "no event in the past"


def test_shade_is_wanted_on_the_eve_of_forecast_heat() -> None:
    spell = Spell(AS_OF + days(4), AS_OF + days(5), 36.0)
    hot = {"face": "heat", "event": HotDays(35.0), "spell": spell, "by": AS_OF + days(3)}
    event = only(shelter(**hot, job="", worked_on=None))
    assert (event.summary.value, event.dtstart.value) == ("Shade Lantern by Fri 14 Aug", AS_OF + days(3))


def test_odds_of_frost_are_told_on_the_day_by_which_to_act() -> None:
    event = only(shelter(by=AS_OF + days(2)))
    assert event.summary.value == "Cover Lantern by Thu 13 Aug"
    assert (event.dtstart.value, event.dtend.value) == (AS_OF + days(2), AS_OF + days(3))
    assert event.description.value == (
        "22 in 100 for a night of -2 °C or colder within ten days: move Lantern (repotting on 2 Aug) under "
        "cover by the evening of Thu 13 Aug."
    )


def test_what_goes_on_is_no_day_and_what_is_over_is_one_of_its_own() -> None:
    winter = {"face": "cold night", "event": ColdNight(-8.0), "job": "", "worked_on": None}
    assert events(shelter(**winter, stage="lasts")) == {}
    begins, ends = only(shelter(**winter)), only(shelter(**winter, stage="ends", by=AS_OF))
    assert (ends.summary.value, ends.dtstart.value) == ("Lantern out again", AS_OF)
    assert begins.uid.value != ends.uid.value, "nothing moves the day it went in"


def test_invented_weather_is_marked_on_every_day() -> None:
    site = a_site_report(weather=some_weather(invented=True), first=a_first_screen())
    found = events(season_calendar(a_report(sites=(site,)))).values()
    assert len(found) > 5
    for event in found:
        assert event.summary.value.endswith("(invented weather)")
        assert event.description.value.startswith("The weather is invented.")


@pytest.mark.parametrize("site", ["ridge", "dune"])
def test_sites_and_kinds_tell_days_apart(site: str) -> None:
    report = a_bench(replace(tree(), **SOON), replace(tree(), **SOON, site=site, species="Acer buergerianum"))
    assert len(events(season_calendar(report))) == 4


def demo_days(name: str) -> Counter[dt.date]:
    """How many events of the demo's calendar lie on each day."""
    held: Counter[dt.date] = Counter()
    for event in events(demo_report().files[name].encode()).values():
        length = (event.dtend.value - event.dtstart.value).days
        held.update(event.dtstart.value + days(n) for n in range(length))
    return held


def test_the_demos_days_are_few_short_and_near() -> None:
    """A bench of 27 trees in two yards; the windows as spans show what the days spare a reader."""
    on = dt.date(2026, 3, 30)
    for event in events(demo_report().files["season-calendar.ics"].encode()).values():
        assert 1 <= (event.dtend.value - event.dtstart.value).days <= LONGEST_DAYS
        assert on - days(LONGEST_DAYS) < event.dtstart.value <= on + days(120)
    held, spans = demo_days("season-calendar.ics"), demo_days("season-windows.ics")
    year = [on + days(n) for n in range(120)]
    assert 0.5 < sum(held[day] for day in year) / 120 < 2 < 8 < sum(spans[day] for day in year) / 120
    assert max(held.values()) <= 10
