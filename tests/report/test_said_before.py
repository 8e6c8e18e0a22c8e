"""The dates of the report before: taken from the record where it holds them, else a week ago without any."""

from __future__ import annotations

from season_engine.report.said_before import said_before
from season_engine.verify.own_record import Statement, said_of
from tests.factories import AS_OF, an_assessment, days


def statement(ago: int) -> Statement:
    day = AS_OF - days(ago)
    return Statement(day, day, "ridge", (said_of(an_assessment()), said_of(an_assessment(tree="M1"))))


def test_what_was_said_of_the_same_window_in_the_same_season():
    since, said = said_before(statement(8), AS_OF)
    a = an_assessment(opens=AS_OF + days(20))
    assert since == AS_OF - days(8)
    assert said(a, "opens") == an_assessment().opens.p50
    assert said(a, "closes") == an_assessment().closes.p50
    assert said(an_assessment(season="2025/26"), "opens") is None
    assert said(an_assessment(job="decandling"), "opens") is None


def test_without_a_report_or_after_a_long_silence_it_is_a_week_ago():
    for previous in (None, statement(36)):
        since, said = said_before(previous, AS_OF)
        assert since == AS_OF - days(7)
        assert said(an_assessment(), "opens") is None
    assert said_before(statement(35), AS_OF)[0] == AS_OF - days(35)
