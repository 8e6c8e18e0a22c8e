"""Dates as people and programs write them, and which of their numbers is day, month and year.

Nothing is guessed: what one date leaves open the others of the file settle, or the grower is asked.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR, year_served
from season_engine.files.text import shortened
from season_engine.weather.logger.vocabulary import is_month, months_of, plain, weekdays

DAY_SECONDS = 86_400
LONGEST_STAMP = 60  # characters of a date or a time
FORMAT_HINT = 'Set date_format under [site.weather], such as "%d/%m/%Y" (day first) or "%m/%d/%Y".'
ORDERS = ("ymd", "dmy", "mdy")
_EPOCH = dt.date(1970, 1, 1).toordinal()
_CENTURY_TURNS = 80  # two-digit years from here on are of the last century
_EVEN, _UNEVEN = 0.8, 0.3  # shares of steps of a day from one date to the next: clearly many, clearly few

# Years before the first of an era, from memory; years of three digits are the Republic of China's
_ERAS = {"令和": 2018, "平成": 1988, "昭和": 1925, "民國": 1911, "民国": 1911, "中華民國": 1911, "": 1911}
_CJK = re.compile(r"(\d{2,4})\s?[年년]\s?(\d{1,2})\s?[月월]\s?(\d{1,2})\s?[日일]?")
_ERA = re.compile(
    rf"^({'|'.join(filter(None, _ERAS))})\s?(\d{{1,3}}|元)(?=\s?[年./-])"
    r"|^()(1\d\d)(?=[年/-]\s?\d\d?\s?[月/-]\s?\d\d?(?!\d))"
)
_NUMBERS = re.compile(
    r"(\d{4}|\d{1,2})(\s?[-/.]\s?|(?<=\d{4}) )(\d{1,2})(?:\s?[-/.]\s?| )(\d{4}|\d{1,2})(?!\d)\.?"
)
_DAY_FIRST = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|º|er)?[\s\-/.,]*(?:(?:de|of|den) )?([^\W\d_]+)[\s\-/.,]*(?:(?:de|del) )?'?"
    r"(\d{4}|\d{2})(?![\d:])"
)
_MONTH_FIRST = re.compile(r"([^\W\d_]+)\.?[\s\-/]*(\d{1,2})(?:st|nd|rd|th)?[\s,\-/]+'?(\d{4}|\d{2})(?![\d:])")
_YEAR_FIRST = re.compile(r"(\d{4})[\s\-/.]*([^\W\d_]+)[\s\-/.]*(\d{1,2})(?!\d)\.?")
_COMPACT = re.compile(r"(\d{4})(\d\d)(\d\d)(?!\d)")
_WEEKDAY = re.compile(r"\(?([^\W\d_]+)\.?\)?[,.\s]\s*")
_IN_BRACKETS = re.compile(r"\s*\([^\W\d_]+\.?\)")
_PATTERN = re.compile(
    r"\b(d{1,2}|t{1,2}|j{2}|g{2}|m{1,2}|y{2,4}|j{4}|a{2,4})([-/. ])([dtjgm]{1,2}|m{1,2})\2([dytjag]{1,4})\b"
)


@dataclass(frozen=True, slots=True)
class Parts:
    """A date's three parts as they stand, the month perhaps by its name, and what follows."""

    parts: tuple[str, str, str]
    rest: str = ""

    @property
    def name(self) -> str | None:
        """The month's name, where it is written out."""
        return next((part for part in self.parts if not part.isdigit()), None)

    @property
    def orders(self) -> tuple[str, ...]:
        """Orders in which these parts may stand, whatever their numbers are."""
        first, second, third = self.parts
        if len(first) == 4:
            return ("ymd",)
        if len(third) == 1:  # no year has a single digit
            return ("ymd",) if len(first) == 2 else ()
        if not first.isdigit():
            return ("mdy",)
        if not second.isdigit():
            return ("dmy",) if len(third) == 4 else ("dmy", "ymd")
        if len(third) == 4 or len(first) == 1:
            return ("dmy", "mdy")
        return ORDERS


class Ambiguous(ValueError):
    """Dates that may be read in several ways; the arguments are an example, the problem and what to do."""


@lru_cache(maxsize=1 << 15)
def parts_of(text: str) -> Parts | None:
    """The date a text begins with; None where it begins with none."""
    said = _ERA.sub(_of_our_era, _IN_BRACKETS.sub("", plain(text.strip())))
    if found := _parts(said):
        return found
    weekday = _WEEKDAY.match(said)
    return _parts(said[weekday.end() :]) if weekday and weekday[1] in weekdays() else None


def _of_our_era(found: re.Match[str]) -> str:
    era, year = (found[1], found[2]) if found[1] else (found[3], found[4])
    return f"{_ERAS[era] + (1 if year == '元' else int(year)):04d}"


def _parts(said: str) -> Parts | None:
    for pattern in (_CJK, _NUMBERS, _DAY_FIRST, _MONTH_FIRST, _YEAR_FIRST, _COMPACT):
        found = pattern.match(said)
        if found is None:
            continue
        groups = found.groups()
        three = (groups[0], groups[2], groups[3]) if pattern is _NUMBERS else groups
        if pattern is _NUMBERS and not _alike(found, said):
            continue
        if pattern is _CJK and len(three[0]) == 2:
            three = (f"20{three[0]}", *three[1:])
        names = [part for part in three if not part.isdigit()]
        parts = Parts((three[0], three[1], three[2]), said[found.end() :].lstrip(" ,;t-_").rstrip())
        if all(map(is_month, names)) and parts.orders:
            return parts
    return None


def _alike(found: re.Match[str], said: str) -> bool:
    """Both separators the same, so that "12.30/4" or "1.5 2024" is no date."""
    between = said[found.end(3) : found.start(4)].strip()
    first = found[2].strip()
    if not first:
        return not between and len(found[1]) == 4
    return first == between and not (len(found[1]) == 4 and len(found[4]) == 4)


def date_of(parts: Parts, order: str, months: dict[str, int]) -> int:
    """Seconds since 1970 at the date's midnight; ValueError where there is no such day."""
    said = dict(zip(order, parts.parts, strict=True))
    shown = " ".join(parts.parts) if parts.name else "-".join(parts.parts)
    month = months[said["m"]] if said["m"] in months else int(said["m"])
    return midnight(_year(said["y"]), month, int(said["d"]), shown)


def _year(text: str) -> int:
    year = int(text)
    if len(text) > 2:
        return year
    return year + (2000 if year < _CENTURY_TURNS else 1900)


def midnight(year: int, month: int, day: int, text: str) -> int:
    """Seconds since 1970 at the start of a day; ValueError where there is none."""
    try:
        date = dt.date(year, month, day)
    except (ValueError, OverflowError) as error:
        raise ValueError(f'"{shortened(text)}" is not a date in the calendar.') from error
    if not year_served(year):
        raise ValueError(f'"{shortened(text)}" lies outside the years {FIRST_YEAR} to {LAST_YEAR}.')
    return (date.toordinal() - _EPOCH) * DAY_SECONDS


@dataclass(frozen=True)
class DateOrder:
    """How the dates of a file are written."""

    order: str  # "ymd", "dmy" or "mdy"
    months: dict[str, int]  # what its names of months mean

    def seconds(self, text: str) -> int:
        """Seconds since 1970 at midnight; ValueError, with what to do, for what is no date."""
        if not text.strip():
            raise ValueError("no date.", FORMAT_HINT)
        if len(text) > LONGEST_STAMP:
            raise ValueError(f'"{shortened(text)}" is too long for a date or a time.')
        parts = parts_of(text)
        if parts is None or self.order not in parts.orders:
            raise ValueError(f'"{shortened(text)}" is not a date I can read.', FORMAT_HINT)
        return self.of(parts, text)

    def of(self, parts: Parts, text: str) -> int:
        """The same of parts; `text` is what they stand for in an error."""
        try:
            return date_of(parts, self.order, self.months)
        except KeyError:
            raise ValueError(f'"{shortened(text)}" is not a date I can read.', FORMAT_HINT) from None
        except ValueError as error:
            raise ValueError(str(error).replace("-".join(parts.parts), text.strip(), 1)) from None


def order_of(
    texts: Sequence[str], *, told: str = "", within_day: bool = False, order: str | None = None
) -> DateOrder:
    """How these dates, different ones in the order of the file, are written; raises Ambiguous.

    `told` is the header, which may say "dd/mm/yyyy"; `within_day` whether there are several readings a day;
    `order` one that other files of the record are known to have.
    """
    found = [(text, parts) for text in texts if (parts := parts_of(text)) is not None]
    ways = _ways([parts for _, parts in found])
    if not ways:
        return DateOrder("ymd", {})
    if len(ways) > 1:
        ways = _named_by(told, ways) or [way for way in ways if way.order == order] or ways
    if len(ways) > 1:
        ways = _evenly(found, ways, within_day)
    if len(ways) > 1 and "dmy" in {way.order for way in ways} and _dotted(found) and within_day:
        ways = [way for way in ways if way.order == "dmy"]
    if len(ways) > 1:
        text = found[0][0].strip()
        raise Ambiguous(text, _either(text, ways), FORMAT_HINT)
    return ways[0]


def _ways(parts: list[Parts]) -> list[DateOrder]:
    """All ways in which every date is one of the calendar; else that in which most are."""
    tables = months_of(one.name for one in parts if one.name) or [{}]
    counted = []
    for order in ORDERS:
        for months in tables:
            fitting = [one for one in parts if order in one.orders and _exists(one, order, months)]
            counted.append((len(fitting), DateOrder(order, months)))
    most = max((count for count, _ in counted), default=0)
    if not most:
        return [way for _, way in counted if any(way.order in one.orders for one in parts)][:1]
    best = [way for count, way in counted if count == most]
    return best if most == len(parts) else best[:1]


def _exists(parts: Parts, order: str, months: dict[str, int]) -> bool:
    try:
        date_of(parts, order, months)
    except (ValueError, KeyError):
        return False
    return True


def mixed(texts: Sequence[str], way: DateOrder) -> tuple[str, str] | None:
    """Two dates that can't be of one order: one that `way` reads, and one that it can't but another could."""
    fits = misfit = None
    for text in texts:
        parts = parts_of(text)
        if parts is None:
            continue
        if way.order in parts.orders and _exists(parts, way.order, way.months):
            only = all(not _exists(parts, other, way.months) for other in parts.orders if other != way.order)
            fits = fits or (text if only else None)
        elif any(_exists(parts, other, way.months) for other in parts.orders):
            misfit = misfit or text
    return (fits, misfit) if fits and misfit else None


def _named_by(told: str, ways: list[DateOrder]) -> list[DateOrder]:
    """The way a header tells by "dd/mm/yyyy" or the like, in several languages."""
    pattern = _PATTERN.search(plain(told))
    if pattern is None:
        return []
    letters = [pattern[1], pattern[3], pattern[4]]
    if "m" not in "".join(letters):
        return []
    order = "".join(
        "m" if set(one) == {"m"} else "y" if len(one) > 2 or one[0] in "ya" else "d" for one in letters
    )
    return [way for way in ways if way.order == order]


def _evenly(found: list[tuple[str, Parts]], ways: list[DateOrder], within_day: bool) -> list[DateOrder]:
    """The way in which one date follows the other day by day, where no other way comes near it."""
    shares = []
    for way in ways:
        days = np.array(
            [way.of(parts, text) for text, parts in found if _exists(parts, way.order, way.months)]
        )
        steps = np.abs(np.diff(days // DAY_SECONDS))
        enough = steps.size >= (2 if within_day else 12)
        shares.append(float(np.mean(steps == 1)) if enough else 0.0)
    best = int(np.argmax(shares))
    others = [share for place, share in enumerate(shares) if place != best]
    return [ways[best]] if shares[best] >= _EVEN and max(others) <= _UNEVEN else ways


def _dotted(found: list[tuple[str, Parts]]) -> bool:
    """Dates with full stops and four-digit years have the day first wherever they are written so."""
    return all(re.fullmatch(r"\D*\d{1,2}\.\s?\d{1,2}\.\s?\d{4}\.?.*", text.strip()) for text, _ in found)


def _either(text: str, ways: list[DateOrder]) -> str:
    if {way.order for way in ways} == {"dmy", "mdy"}:
        return (
            f'"{shortened(text)}" may have the day or the month first, and no date in the file settles which.'
        )
    if len({way.order for way in ways}) == 1:
        return (
            f'"{shortened(text)}" names a month that has two meanings, and no date in the file settles which.'
        )
    problem = "may have the day, the month or the year first, and no date in the file settles which."
    return f'"{shortened(text)}" {problem}'
