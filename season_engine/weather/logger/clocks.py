"""Times of day and time zones as they are written."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from season_engine.files.text import shortened
from season_engine.weather.logger.dates import LONGEST_STAMP
from season_engine.weather.logger.vocabulary import cell_words, plain, words

MINUTES_PER_DEGREE = 4.0  # the sun crosses 15 degrees of longitude an hour
FARTHEST_FROM_SUN_MINUTES = 210  # no country's clocks are farther off, summer time included

_CLOCK = re.compile(
    r"(?P<pre>[^\d+-]*?)\s?(?P<hour>\d{1,2})(?P<mark>\s?(?:uhr|[:.h時时点시u])\s?)?"
    r"(?:(?<=[^\d])(?P<minute>\d\d|(?<=:)\d(?!\d))"
    r"(?:\s?(?:min|[:.m分분'])\s?(?P<second>\d\d|(?<=:)\d(?!\d))(?:[.,]\d+)?(?:\s?(?:秒|초|s\b|''))?|\s?[분分'])?)?"
    r"(?P<post>(?![0-9]).*)?"
)
_ZONE = re.compile(r"(?P<name>[a-z]{1,5})?\s*(?P<ahead>[+-]\d{1,2}(?::?\d\d)?)?")
_SAID_ZONE = re.compile(
    r"(?<![A-Za-z])(?P<name>UTC|GMT)(?![A-Za-z]| (?:Standard|Daylight))"
    r"(?:\s*(?P<ahead>[+\-\N{MINUS SIGN}]\s?\d{1,2}(?::?\d\d)?))?",
    re.IGNORECASE,
)
_OFFSET_SAID = re.compile(
    r"(?:(?:UTC|GMT|time ?zone)[- ]?(?:offset|difference|versatz)|zeitverschiebung|décalage)"
    r"\W*?(?P<ahead>[+-]?\d{1,2}(?::?\d\d)?)",
    re.IGNORECASE,
)
_NAMED_ZONE = re.compile(r"[(\[,\s_](?P<name>[A-Z]{3,4})[)\]]?\s*$")


@dataclass(frozen=True, slots=True)
class ClockTime:
    """A time of day, and how far its zone is ahead of Greenwich where it names one."""

    seconds: int  # since midnight; 86,400 is the next one
    zone: tuple[int, ...] = ()  # minutes ahead of Greenwich; several where a zone's name has several meanings
    zone_name: str = ""


@lru_cache(maxsize=1 << 17)
def clock_time(text: str) -> ClockTime:
    """A time of day; ValueError for what is none. A day without a time starts at midnight."""
    if len(text) > LONGEST_STAMP:
        raise ValueError(f'"{shortened(text)}" is too long for a date or a time.')
    said = plain(text.strip())
    if not said:
        return ClockTime(0)
    found = _CLOCK.fullmatch(said)
    wrong = f'"{shortened(text)}" is not a time of day I can read.'
    if found is None or (found["mark"] is None and found["minute"] is None):
        raise ValueError(wrong)
    if found["minute"] is None and not re.search(r"[uh時时点시]", found["mark"] or ""):
        raise ValueError(wrong)
    hour, minute, second = (int(found[name] or 0) for name in ("hour", "minute", "second"))
    half, rest = _half(found["pre"], found["post"] or "", wrong)
    if half:
        least = 0 if not half.isascii() or (hour == 0 and found["pre"].strip()) else 1
        if not least <= hour <= 12:
            raise ValueError(f'"{shortened(text)}" is not a time of day.')
        hour = hour % 12 + (12 if half in cell_words("afternoon") else 0)
    if minute > 59 or second > 59 or (hour, minute, second) > (24, 0, 0):
        raise ValueError(f'"{shortened(text)}" is not a time of day.')
    zone, name = _zone(rest, wrong)
    return ClockTime(hour * 3600 + minute * 60 + second, zone, name)


def _half(before: str, after: str, wrong: str) -> tuple[str, str]:
    """The word for morning or afternoon, if there is one, and what else stands behind the time."""
    before, after = before.strip(" .,("), after.strip(" ,)")
    halves = cell_words("afternoon") | cell_words("morning")
    if before and before not in cell_words("around_clock") and before not in halves:
        raise ValueError(wrong)
    if before in halves and before not in cell_words("around_clock"):
        return before, after
    word = re.match(r"[^\W\d_](?:\.?\s?[^\W\d_]\b\.?|[^\W\d_]*\.?)?", after)
    compact = re.sub(r"[.\s]", "", word[0]) if word else ""
    if word and compact in halves:
        return compact, after[word.end() :].strip(" .)(")
    if word and compact in cell_words("around_clock"):
        return "", after[word.end() :].strip(" .)(")
    return "", after.strip(" ()")


def _zone(rest: str, wrong: str) -> tuple[tuple[int, ...], str]:
    """How far ahead of Greenwich what stands behind a time is."""
    found = _ZONE.fullmatch(rest)
    if found is None:
        raise ValueError(wrong)
    name = (found["name"] or "").upper()
    if not rest:
        return (), ""
    if name in ("", "Z", "UTC", "GMT"):
        return (_minutes(found["ahead"] or ""),), rest.upper()
    ahead = words()["zones"]["names"].get(name)
    if ahead is None or found["ahead"]:
        raise ValueError(wrong)
    return tuple(ahead), name


def _minutes(ahead: str) -> int:
    """Minutes of "+05:30", "-3" or nothing."""
    digits = re.sub(r"[^\d]", "", ahead)
    if not digits:
        return 0
    minutes = int(digits) * 60 if len(digits) < 3 else int(digits[:-2]) * 60 + int(digits[-2:])
    return -minutes if ahead.lstrip()[0] in "-\N{MINUS SIGN}" else minutes


def zone_said(text: str) -> tuple[str, int] | None:
    """A zone that a header or a line about the logger names, and its minutes ahead of Greenwich."""
    if found := _OFFSET_SAID.search(text):
        return f"UTC{found['ahead']}", _minutes(found["ahead"])
    if found := _SAID_ZONE.search(text.replace("_", " ")):
        return found[0].upper().replace(" ", ""), _minutes(found["ahead"] or "")
    if (found := _NAMED_ZONE.search(text)) and len(words()["zones"]["names"].get(found["name"], ())) == 1:
        return found["name"], words()["zones"]["names"][found["name"]][0]
    return None


def zone_set(text: str) -> int | None:
    """Minutes ahead of Greenwich of a setting such as "UTC+2" or "GMT-3:30"; None for anything else."""
    found = re.fullmatch(
        r"\s*(?:UTC|GMT)?\s*([+\-\N{MINUS SIGN}]\s?\d{1,2}(?::?\d\d)?)?\s*|\s*Z\s*", text, re.IGNORECASE
    )
    if found is None or not text.strip():
        return None
    minutes = _minutes(found[1] or "")
    return minutes if -12 * 60 <= minutes <= 14 * 60 else None


def of_longitude(candidates: tuple[int, ...], longitude_deg: float) -> int | None:
    """The meaning of a zone's name that fits a place; None where none or several do."""
    if len(candidates) == 1:
        return candidates[0]
    sun = longitude_deg * MINUTES_PER_DEGREE
    near = [ahead for ahead in candidates if abs(ahead - sun) <= FARTHEST_FROM_SUN_MINUTES]
    return near[0] if len(near) == 1 else None


def solar_minutes(longitude_deg: float) -> int:
    """How far the sun's time at a place is ahead of Greenwich."""
    return round(longitude_deg * MINUTES_PER_DEGREE)
