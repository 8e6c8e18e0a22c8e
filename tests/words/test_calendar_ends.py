"""An end that the calendar sets is told by the part of its month: no weekday, no odds, no "as usual"."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import pytest

from season_engine.advice.first_screen import FirstScreen
from season_engine.documents.calendar_feed import season_calendar, season_windows
from season_engine.documents.check import assessment_document
from season_engine.prints.answer import answer_text
from season_engine.prints.report import report_text
from season_engine.report.contents import SiteReport
from season_engine.windows.assessment import Assessment, NextWindow, Quantiles, Standing, Usual
from season_engine.windows.care import Care
from season_engine.windows.why_today import LightTrimOnly, NotOpen
from season_engine.words import timing, verdicts
from season_engine.words.care import care_lines
from season_engine.words.speech import speaking
from season_engine.words.today import today_why
from season_engine.words.window_lines import resting_sentence, window_lines
from tests.factories import AS_OF, a_report, a_site_report, an_assessment, days

NOT_SO = re.compile(r"(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d|\d in 10|as usual|than usual|give or take|[Ff]orecast")


def opening(after_days: int) -> Quantiles:
    date = AS_OF + days(after_days)
    return Quantiles(date, date, date, "opens")


def closing(after_days: int) -> Quantiles:
    date = AS_OF + days(after_days)
    return Quantiles(date, date, date, "closes")


def fixed(opens: int, closes: int, verdict: str, **changes) -> Assessment:
    """A window of the calendar, so many days from Tue 11 Aug 2026."""
    first, last = opening(opens), closing(closes)
    told = {
        "opens": first,
        "closes": last,
        "verdict": verdict,
        "usual": Usual(first.p50, last.p50, 30),
        "standing": Standing(first.p50, last.p50, unsure=False),
        "next": NextWindow(
            *("2027/28", opening(opens + 365), closing(closes + 365)),
            Standing(AS_OF + days(opens + 365), AS_OF + days(closes + 365), unsure=False),
        ),
        **changes,
    }
    return replace(an_assessment(), **told)


OPEN = fixed(-8, 50, "open", chance_open_now=1.0)
WAIT = fixed(30, 80, "wait", today="no", today_why=NotOpen("wait"))
SHUT = fixed(-80, -5, "closed", today="no", today_why=NotOpen("closed"))


def site(*windows: Assessment) -> SiteReport:
    return a_site_report(windows=windows, trees=(), first=FirstScreen())


@pytest.mark.parametrize(
    ("date", "words"),
    [
        (dt.date(2026, 4, 1), "early April"),
        (dt.date(2026, 4, 10), "early April"),
        (dt.date(2026, 4, 11), "mid-April"),
        (dt.date(2026, 4, 20), "mid-April"),
        (dt.date(2026, 4, 21), "late April"),
        (dt.date(2027, 4, 30), "late April 2027"),
    ],
)
def test_a_third_of_a_month(date: dt.date, words: str) -> None:
    assert timing.part_of_month(date, AS_OF) == words


def test_it_is_told_in_the_language_spoken() -> None:
    with speaking("de"):
        assert timing.about(opening(0), AS_OF) == "nach dem Kalender, ab Mitte August"
        assert timing.about(closing(365), AS_OF) == "nach dem Kalender, Mitte August 2027"


def test_what_each_verdict_says() -> None:
    assert verdicts.verdict_sentence(OPEN) == (
        "Opened by the calendar, from early August. Closes by the calendar, in late September."
    )
    assert verdicts.verdict_sentence(WAIT) == (
        "Opens by the calendar, from early September. Closes by the calendar, in late October."
    )
    assert verdicts.verdict_sentence(SHUT) == (
        "Closed by the calendar, in early August. Opens again by the calendar, from late May 2027."
    )
    assert verdicts.until(OPEN) == " until late September, by the calendar"
    assert verdicts.usual_sentence(OPEN) == verdicts.floor_sentence(OPEN) == ""


def test_of_one_end_alone_the_other_keeps_its_odds() -> None:
    by_weather = an_assessment()
    a = replace(by_weather, closes=closing(50))
    assert verdicts.verdict_sentence(a) == (
        "Opened about Mon 3 Aug (give or take nine days), nine days earlier than usual; 8 in 10 that it is "
        "open today. Closes by the calendar, in late September."
    )
    assert verdicts.usual_sentence(a) == "Over 30 past seasons it opens about 12 Aug."
    a = replace(by_weather, opens=opening(-8))
    assert verdicts.verdict_sentence(a) == (
        "Opened by the calendar, from early August. Closes between 26 Aug and 17 Sep, most likely about "
        "6 Sep."
    )
    assert verdicts.usual_sentence(a) == "Over 30 past seasons it closes about 12 Sep."


def test_lines_of_a_report() -> None:
    (line,) = window_lines(site(OPEN), [OPEN])
    assert line.text == "Closes by the calendar, in late September."
    assert resting_sentence(site(WAIT), AS_OF) == (
        "One other window rests. Next to open: Japanese maple, repotting (spring), by the calendar, from "
        "early September."
    )


@pytest.mark.parametrize("a", [OPEN, WAIT, SHUT])
def test_no_day_of_the_week_no_odds_and_nothing_of_the_usual(a: Assessment) -> None:
    quiet = replace(a, hazards=(), reasons=())
    answer = answer_text(quiet).split("\n", 1)[1]  # below the day asked about
    assert not NOT_SO.search(answer), answer
    told_of = a_report(sites=(replace(site(quiet), look_at=()),))
    feed = (season_calendar(told_of) + season_windows(told_of)).decode().replace("\r\n ", "")
    descriptions = [line for line in feed.splitlines() if line.startswith("DESCRIPTION") and "\\n" in line]
    assert descriptions
    for told in descriptions:
        assert "the same every year" in told
        assert not NOT_SO.search(told.replace("On Tue 11 Aug", "Today")), told
    report = report_text(a_report(sites=(site(quiet),)))
    assert "by the calendar" in " ".join(report.split())


def test_small_care() -> None:
    dates = AS_OF + days(3), AS_OF + days(90)
    one = Care("Larix decidua", "larch", "feeding", "spring", "soon", *dates, (), "calendar", "calendar")
    assert one.by == "calendar"
    assert care_lines([one], AS_OF) == (("Feeding", "Starts by the calendar, in mid-August, on larch."),)


def test_a_light_trim_until_a_day_of_the_calendar() -> None:
    assert today_why(LightTrimOnly(dt.date(2026, 10, 24), by_calendar=True)).endswith("until late October.")


def test_programs_are_told_by_a_key() -> None:
    for a, by in ((OPEN, "calendar"), (an_assessment(), "weather")):
        found = assessment_document(a)
        assert (found.by, found.opens_by, found.closes_by) == (by, by, by)
    mixed = assessment_document(replace(an_assessment(), closes=closing(50)))
    assert (mixed.by, mixed.opens_by, mixed.closes_by) == ("weather", "weather", "calendar")
