"""Days in a grower's words: "yesterday", "on Sunday", "three days ago", "last week"."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from season_engine.workspace.diary.phrases import Phrases
from season_engine.workspace.diary.tokens import Day, Token
from season_engine.workspace.diary.tongue import folded_set

NO_DAY = Day()
WEEK = 7


@dataclass(frozen=True)
class _Words:
    """How a language tells days."""

    weekdays: tuple[frozenset[str], ...]
    numbers: Mapping[str, int]
    days: frozenset[str]
    vague: Phrases
    days_ago: Mapping[str, int]  # phrases of one or more words
    before_number: str  # "vor" drei Tagen
    after_number: str  # three days "ago"
    about: frozenset[str]
    no_day: frozenset[str]  # before a day it is no day of what was done
    to_come: frozenset[str]
    lead: frozenset[str]  # may stand before a weekday
    parts: frozenset[str]  # of a day
    last: frozenset[str]


_MONTHS_EN = "january|february|march|april|june|july|august|september|october|november|december|jan|feb|apr|jun|jul|aug|sep|sept|oct|nov|dec"
_MONTHS_DE = "januar|februar|märz|april|mai|juni|juli|august|september|oktober|november|dezember"
_EN = _Words(
    weekdays=tuple(
        frozenset(one.split())
        for one in (
            "monday mon mondays", "tuesday tues tue tuesdays", "wednesday weds wednesdays", "thursday thurs thur thursdays",
            "friday fri fridays", "saturday saturdays", "sunday sundays",
        )
    ),
    numbers={
        one: number
        for number, names in enumerate(["one 1", "two 2", "three 3", "four 4", "five 5", "six 6", "seven 7", "eight 8", "nine 9", "ten 10"], 1)
        for one in names.split()
    },
    days=frozenset({"day", "days"}),
    vague=Phrases(
        [{"vague": (
            "last week|month|year|spring|summer|autumn|winter|season|weekend", "other day|week|month", "recently", "lately", "earlier this week|month|year|season|in", "ages|weeks|months|years ago|back",
            "few|couple|several days|weeks|months|years ago|back", "while ago|back", "week|fortnight|month|year ago|back", "long ago", "some time ago|back", "at|over weekend", "previously", "before christmas|xmas|easter",
            f"in|back|end|early|late|mid {_MONTHS_EN}|may", f"1|2|3|4|5|6|7|8|9|10|11|12|13|14|15|16|17|18|19|20|21|22|23|24|25|26|27|28|29|30|31 {_MONTHS_EN}|may", "in spring|summer|autumn|winter", "in 2019|2020|2021|2022|2023|2024|2025|2026", "earlier this", "this week|month", "once",
            "days ago", "weeks|months ago", "back in", "just before", "in past",
        )}], {}, {"the", "a", "an", "of", "this-past"},
    ),
    days_ago={"day before yesterday": 2, "yesterday": 1, "last night": 1, "yest": 1, "yday": 1},
    before_number="", after_number="ago",
    about=frozenset(["about", "around", "roughly", "some", "maybe", "like", "nearly", "almost", "approximately", "over", "circa", "ca", "say"]),
    no_day=frozenset(["since", "from", "until", "till", "by", "it's", "its", "for", "as", "than", "every", "is", "before", "after"]),
    to_come=frozenset(["next", "this", "coming", "by"]),
    lead=frozenset(["on", "last"]),
    parts=frozenset(["morning", "afternoon", "evening", "night", "nite", "lunchtime", "just", "gone"]),
    last=frozenset({"last"}),
)  # fmt: skip
_DE = _Words(
    weekdays=tuple(
        folded_set(one)
        for one in (
            "Montag montags Montagabend", "Dienstag dienstags Dienstagabend", "Mittwoch mittwochs Mittwochabend", "Donnerstag donnerstags Donnerstagabend",
            "Freitag freitags Freitagabend", "Samstag samstags Sonnabend Samstagabend", "Sonntag sonntags Sonntagabend",
        )
    ),
    numbers={
        one: number
        for number, names in enumerate(
            ["einem ein 1", "zwei 2", "drei 3", "vier 4", "fuenf 5", "sechs 6", "sieben 7", "acht 8", "neun 9", "zehn 10"], 1
        )
        for one in names.split()
    },
    days=frozenset({"tag", "tagen", "tage"}),
    vague=Phrases(
        [{"vague": (
            "letzte|letzten|letztes|letzter|vorige|vorigen|voriges|vergangene|vergangenen|vergangenes Woche|Monat|Jahr|Frühjahr|Sommer|Herbst|Winter|Saison|Wochenende|Tage", "neulich", "kürzlich", "vor Kurzem", "vor paar Tagen|Wochen", "vor einer Woche|Weile", "vor einem|zwei|drei|vier Monat|Monaten|Jahr|Jahren|Wochen", "vor|schon längerem|länger|langem", "damals", "die Tage", "am Wochenende",
            f"im {_MONTHS_DE}", f"anfang|mitte|ende {_MONTHS_DE}", "im Frühjahr|Frühling|Sommer|Herbst|Winter", "diese Woche", "vor Tagen|Wochen|Monaten", "irgendwann", "vorher",
        )}], {}, folded_set("ein der die das den dem"),
    ),
    days_ago={"vorgestern": 2, "gestern": 1},
    before_number="vor", after_number="",
    about=folded_set("etwa ungefähr ca circa rund so knapp gut fast"),
    no_day=folded_set("seit von bis ab als wie jeden nach es ist vom"),
    to_come=folded_set("nächsten nächster kommenden kommender diesen bis"),
    lead=folded_set("am letzten vorigen vergangenen"),
    parts=folded_set("morgen vormittag nachmittag abend nacht mittag früh"),
    last=folded_set("letzten vorigen vergangenen"),
)  # fmt: skip
_WORDS = {"en": _EN, "de": _DE}


def with_days(tokens: Sequence[str], on: dt.date, language: str) -> list[Token]:
    """The words of a line with each telling of a day as one token."""
    words = _WORDS[language]
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        read = (
            _counted(tokens, at, on, words) or _ago(tokens, at, on, words) or _weekday(tokens, at, on, words)
        )
        if read is None:
            found.append(tokens[at])
            at += 1
            continue
        day, size = read
        before = found[-1] if found else ""
        found.append(NO_DAY if isinstance(before, str) and before in words.no_day else day)
        at += size
    return _with_vague(found, words)


def _counted(tokens: Sequence[str], at: int, on: dt.date, words: _Words) -> tuple[Day, int] | None:
    for phrase, ago in words.days_ago.items():
        parts = phrase.split()
        if list(tokens[at : at + len(parts)]) == parts:
            size = len(parts)
            if at + size < len(tokens) and tokens[at + size] in words.parts:
                size += 1
            return Day(on - dt.timedelta(days=ago)), size
    return None


def _ago(tokens: Sequence[str], at: int, on: dt.date, words: _Words) -> tuple[Day, int] | None:
    """A number of days ago; vague where "about" stands before it."""
    start = at
    if words.before_number:
        if tokens[at] != words.before_number:
            return None
        at += 1
    about = at < len(tokens) and tokens[at] in words.about
    at += about
    if at + 1 >= len(tokens) or tokens[at] not in words.numbers or tokens[at + 1] not in words.days:
        return None
    end = at + 2
    if words.after_number:
        if end >= len(tokens) or tokens[end] != words.after_number:
            return None
        end += 1
    ago = words.numbers[tokens[at]]
    return Day(vague=True) if about else Day(on - dt.timedelta(days=ago)), end - start


def _weekday(tokens: Sequence[str], at: int, on: dt.date, words: _Words) -> tuple[Day, int] | None:
    start = at
    last = tokens[at] in words.last
    if tokens[at] in words.lead:
        at += 1
    if at >= len(tokens):
        return None
    number = next((day for day, names in enumerate(words.weekdays) if tokens[at] in names), None)
    before = tokens[start - 1] if start else ""
    if number is None or before in words.to_come:
        return None
    size = at + 1 - start
    if at + 1 < len(tokens) and tokens[at + 1] in words.parts:
        size += 1
    if tokens[at].endswith("days"):
        return NO_DAY, size
    ago = (on.weekday() - number) % WEEK
    if ago == 0 or (last and ago <= 2):  # today, or a week before?
        return Day(vague=True), size
    return Day(on - dt.timedelta(days=ago)), size


def _with_vague(tokens: list[Token], words: _Words) -> list[Token]:
    for one in reversed(words.vague.found_in(tokens)):
        first, last = one.places[0], one.places[-1]
        if any(not isinstance(token, str) for token in tokens[first : last + 1]):
            continue
        before = {token for token in tokens[max(0, first - 2) : first] if isinstance(token, str)}
        tokens[first : last + 1] = [NO_DAY if before & words.no_day else Day(vague=True)]
    return tokens
