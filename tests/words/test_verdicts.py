"""Dates, odds and counts in words: how a grower would say them, so the wording is ours and pinned here."""

from __future__ import annotations

import datetime as dt
import locale
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures.chill import chill_portions
from season_engine.windows.assessment import Quantiles, Usual
from season_engine.words import naming, prose, timing, verdicts
from tests.factories import AS_OF, an_assessment, days, quantiles

APR_11 = dt.date(2026, 4, 11)
MARCH = dt.date(2026, 3, 1)


def test_a_date_carries_its_year_only_where_it_is_another_year():
    assert timing.day(dt.date(2026, 8, 11), AS_OF) == "Tue 11 Aug"
    assert timing.day(dt.date(2027, 4, 3), AS_OF) == "Sat 3 Apr 2027"


@given(st.dates())
def test_day_names_agree_with_the_c_library(date):
    assert locale.setlocale(locale.LC_TIME) in ("C", "POSIX", "C.UTF-8")
    assert timing.full_day(date) == f"{date:%a} {date.day} {date:%b} {date.year}"


@given(st.dates(min_value=dt.date(1000, 1, 10)))
def test_the_week_agrees_with_the_c_library(date):
    assert timing.iso_week(date) == date.strftime("%G-W%V")


@pytest.mark.parametrize(
    ("dates", "words"),
    [
        (Quantiles(dt.date(2026, 4, 3), APR_11, dt.date(2026, 4, 21)),
         "between 3 and 21 Apr, most likely about 11 Apr"),
        (Quantiles(dt.date(2026, 3, 28), APR_11, dt.date(2026, 4, 21)),
         "between 28 Mar and 21 Apr, most likely about 11 Apr"),
        (Quantiles(dt.date(2026, 12, 28), dt.date(2027, 1, 2), dt.date(2027, 1, 9)),
         "between 28 Dec and 9 Jan 2027, most likely about 2 Jan 2027"),
        (Quantiles(dt.date(2027, 3, 28), dt.date(2027, 4, 2), dt.date(2027, 4, 9)),
         "between 28 Mar and 9 Apr 2027, most likely about 2 Apr 2027"),
        (Quantiles(APR_11, APR_11, APR_11), "on Sat 11 Apr"),
        (Quantiles(dt.date(2026, 4, 3), APR_11, None),
         "from 3 Apr on, most likely about 11 Apr, and perhaps not at all this season"),
        (Quantiles(dt.date(2026, 4, 3), None, None),
         "not before 3 Apr, and more likely not at all this season"),
        (Quantiles(None, None, None), "not within the days looked at"),
    ],
)  # fmt: skip
def test_when(dates, words):
    assert timing.when(dates, MARCH) == words


@pytest.mark.parametrize(
    ("half", "words"),
    [
        (0, "to the day"),
        (1, "give or take a day"),
        (5, "give or take five days"),
        (16, "give or take 16 days"),
    ],
)
def test_give_or_take(half, words):
    assert timing.give_or_take(quantiles(APR_11, half)) == words


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "fewer than 1 in 100"),
        (0.004, "fewer than 1 in 100"),
        (0.01, "1 in 100"),
        (0.09, "9 in 100"),
        (0.1, "1 in 10"),
        (0.18, "2 in 10"),
        (0.25, "3 in 10"),
        (0.7, "7 in 10"),
        (0.9, "9 in 10"),
        (0.93, "93 in 100"),
        (0.99, "99 in 100"),
        (1.0, "more than 99 in 100"),
    ],
)
def test_odds(chance, words):
    assert prose.odds(chance) == words


@given(st.floats(0, 1), st.floats(0, 1))
def test_better_odds_never_read_as_worse(a, b):
    def share(words: str) -> float:
        part, of = (float(word) for word in words.split()[-3::2])
        return part / of

    low, high = sorted((a, b))
    assert share(prose.odds(low)) <= share(prose.odds(high)) + 1e-9


def test_counts_are_singular_and_plural():
    assert prose.counted(1, "tree") == "one tree"
    assert prose.counted(0, "tree") == "no trees"
    assert prose.counted(13, "tree") == "13 trees"
    assert prose.listing(["a", "b", "c"]) == "a, b and c"
    assert prose.some_of(list("abcdefgh"), 3) == "a, b, c and five more"
    assert prose.some_of(list("abcd"), 3) == "a, b, c and d", "one more is as short as its name"


@pytest.mark.parametrize(
    ("shift", "words"),
    [(0, "about as usual"), (3, "about as usual"), (4, "four days later than usual"),
     (-9, "nine days earlier than usual")],
)  # fmt: skip
def test_a_wobble_of_three_days_is_no_news(shift, words):
    assert timing.against_usual(quantiles(APR_11 + days(shift), 5), APR_11) == words


def test_what_each_verdict_says():
    assert verdicts.verdict_sentence(an_assessment()) == (
        "Opened about Mon 3 Aug (give or take nine days), nine days earlier than usual; 8 in 10 that it is "
        "open today. Closes between 26 Aug and 17 Sep, most likely about 6 Sep."
    )
    soon = an_assessment(
        AS_OF + days(6), AS_OF + days(34), half=5, verdict="soon", usual=Usual(None, None, 0)
    )
    assert verdicts.verdict_sentence(soon) == (
        "Opens between 12 and 22 Aug, most likely about 17 Aug. Closes about Mon 14 Sep."
    )
    closed = an_assessment(AS_OF - days(48), AS_OF - days(12), verdict="closed")
    assert verdicts.verdict_sentence(closed) == (
        "Closed about Thu 30 Jul (give or take eleven days). Opens again about Thu 24 Jun 2027 (give or take "
        "nine days)."
    )
    assert verdicts.verdict_sentence(an_assessment(verdict="not-here", chance_given=0.1)) == (
        "About 1 in 10 seasons here have this window at all."
    )
    assert verdicts.verdict_sentence(an_assessment(verdict="not-here", chance_given=0.0)) == (
        "Fewer than 1 in 100 seasons here have this window at all."
    )


def test_a_window_too_late_for_its_odds_has_not_closed_yet():
    late = an_assessment(AS_OF - days(30), AS_OF + days(2), verdict="closed", next=None)
    assert verdicts.verdict_sentence(late) == (
        "Too late to count on: it closes about Thu 13 Aug (give or take eleven days)."
    )


@pytest.mark.parametrize(
    ("job", "window", "title"),
    [
        ("repotting", "late-summer", "Japanese maple, repotting (late summer)"),
        ("after-bloom-pruning", "after-bloom", "Japanese maple, pruning after bloom"),
        ("decandling", "decandling", "Japanese maple, decandling"),
        ("wire-check", "", "Japanese maple, wire check"),
    ],
)
def test_a_windows_name_is_printed_only_where_it_adds_something(job, window, title):
    assert naming.title(an_assessment(job=job, window=window)) == title


def test_a_reason_says_whether_it_is_met_and_when():
    reason = an_assessment().reasons[0]
    assert verdicts.reason_state(reason, AS_OF) == "reached about 9 Jul"
    assert verdicts.reason_state(replace(reason, met=False), AS_OF) == "not yet: about 9 Jul"
    assert verdicts.reason_state(replace(reason, met=False, date_p50=None), AS_OF) == "not yet"


def test_an_open_window_whose_middle_date_is_ahead_opens_rather_than_opened():
    assert verdicts.verdict_sentence(an_assessment(AS_OF + days(2))).startswith("Opens about Thu 13 Aug")


def test_a_name_stays_on_one_line_without_control_characters():
    assert prose.plain(" Old\r\n\x1b[31mmaple\u2028\t") == "Old [31mmaple"
    assert prose.plain("above 5 degC") == "above 5 degC"  # as somebody wrote it


def test_a_day_or_so_at_six_degrees_banks_a_chill_portion():
    """What the report tells a grower of a chill portion, checked against the measure itself."""

    def portions(temp_c: float, hours: int) -> float:
        return float(chill_portions(np.full(hours, temp_c)).sum())

    assert 24 / 1.5 < 24 * 30 / portions(6.0, 24 * 30) < 24 * 1.5
    assert portions(-5.0, 24 * 30) < 0.1 * portions(6.0, 24 * 30), "frost banks little"
    assert portions(18.0, 24 * 30) < 0.1 * portions(6.0, 24 * 30), "warmth banks little"


def test_a_window_just_short_of_the_odds_it_wants_is_not_told_with_the_same_odds_twice() -> None:
    soon = an_assessment(AS_OF, AS_OF + days(34), verdict="soon", floor=0.8, chance_open_now=0.77)
    assert verdicts.maybe_open(soon) == "May be open already: just under the 8 in 10 that this job wants."
    unsure = replace(soon, chance_open_now=0.6)
    assert (
        verdicts.maybe_open(unsure) == "May be open already: 6 in 10 that it is, and this job wants 8 in 10."
    )
