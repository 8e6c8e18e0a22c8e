"""What is to be done after jobs, in the calendar: a day each, moved by next week's feed and not doubled."""

from __future__ import annotations

from dataclasses import replace

from season_engine.facts import Text
from season_engine.trees.follow_ups import FollowUp
from tests.documents.test_calendar_feed import events, feed_of
from tests.factories import AS_OF, days

FEED = FollowUp(
    *("M1", "decandling", AS_OF - days(30), Text("Feed again after decandling"), 40),
    *(AS_OF + days(10), AS_OF + days(30)),
)
WIRE = FollowUp(
    *("M1", "wiring", AS_OF - days(50), Text("Take the wire off"), 30, AS_OF - days(20), AS_OF + days(40)),
    on_tree="wire",
    stays=True,
)


def feed(*found: FollowUp, as_of=AS_OF) -> bytes:
    return feed_of(as_of=as_of, windows=(), follow_ups=found)


def test_one_day_at_the_beginning_for_all_trees_that_want_it_after_the_same_job() -> None:
    (event,) = events(feed(FEED, replace(FEED, tree="M2"))).values()
    assert event.summary.value == "Feed again after decandling — Lantern and Old split maple"
    assert (event.dtstart.value, event.dtend.value) == (FEED.first, FEED.first + days(1))
    assert event.location.value == "ridge"
    assert event.status.value == "CONFIRMED"
    told = "Trees: Lantern and Old split maple.\nAfter decandling on 12 Jul: from 21 Aug to 10 Sep."
    assert event.description.value == told


def test_wire_has_the_day_by_which_it_is_off() -> None:
    (event,) = events(feed(WIRE)).values()
    assert (event.dtstart.value, event.dtend.value) == (WIRE.last, WIRE.last + days(1))
    assert event.description.value.endswith("After wiring on 22 Jun: by 20 Sep.")


def test_what_has_begun_or_lies_far_ahead_has_no_day() -> None:
    begun = replace(FEED, first=AS_OF - days(1))
    far = replace(WIRE, last=AS_OF + days(121))
    overdue = replace(WIRE, last=AS_OF - days(1), overdue=True)
    assert events(feed(begun, far, overdue)) == {}
    assert len(events(feed(replace(FEED, first=AS_OF), replace(WIRE, last=AS_OF + days(120))))) == 2


def test_next_week_the_same_day_moves_and_no_second_one_comes() -> None:
    before = events(feed(FEED))
    after = events(feed(replace(FEED, first=FEED.first + days(4)), as_of=AS_OF + days(7)))
    assert before.keys() == after.keys()


def test_jobs_days_and_trees_tell_events_apart() -> None:
    others = (
        replace(FEED, words=Text("Pull the old needles")),
        replace(FEED, since=FEED.since + days(1)),
        replace(FEED, planned_days=41),
        replace(FEED, tree="M2", first=FEED.first + days(1)),  # by its species' shoots
        replace(FEED, job="arrival"),
    )
    found = events(feed(FEED, *others))
    assert len(found) == 6
    assert any(
        event.description.value.endswith("After arrival on 12 Jul: from 21 Aug to 10 Sep.")
        for event in found.values()
    )
