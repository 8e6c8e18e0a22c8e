"""Lines of a grid: a header of months, days or hours, and under each a reading."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence

from season_engine.files.foreign_csv import BrokenCsv
from season_engine.weather.logger.layout import SEPARATORS, Layout
from season_engine.weather.logger.vocabulary import is_month, months_of, plain

_ROMAN = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii")
_YEAR = r"(?:19|20)\d\d"
_WITH_YEAR = re.compile(
    rf"(?:([^\W\d_]+)\.?|(\d{{1,2}}))[\s\-/.']*({_YEAR}|\d\d)|({_YEAR})[\s\-/.]*(?:([^\W\d_]+)|(\d{{1,2}}))"
)
_HOUR = re.compile(
    r"(?:temp|t|air)?[\s_]*(?:hour|hr|h|std|stunde|ora|hora|heure|klo|kl)?[\s_.]*(\d{1,2})"
    r"(?:(?:[:.h]|(?<=\d\d)(?=[0-5]\d))([0-5]\d))?(?::00)?"
    r"\s*(?:h|hrs?|uhr|z|:|[\u6642\u65f6\u70b9\uc2dc]|([ap])\.?(?:m\.?)?)?"
)
_DAY = re.compile(r"(?:(?:day|d|tag|value|val|wert|jour|dia|giorno|dag)[\s_.]*)?(\d{1,2})\.?")
_SPAN = re.compile(r"(\d{1,2}(?:[:.]?[0-5]\d)?)\s*-\s*\d{1,2}(?:[:.]?[0-5]\d)?\s*(?:h|uhr)?")
_EASTERN = re.compile(r"(?:(\d{4})\s?[\u5e74\ub144]\s?)?(1[0-2]|0?[1-9])\s?[\u6708\uc6d4]")
_STEPS = (15, 20, 30, 60)  # minutes
_DAY_MINUTES, _HOURS = 1440, 24
_FEWEST_MONTHS, _FEWEST_DAYS = 3, 28
_MONTHS = 12
Month = tuple[int | None, int]  # year, where it stands beside, and month


def layouts(line: str) -> list[Layout]:
    """Layouts that a header may have: by a separator that is in it, or by the places of its words."""
    found = [Layout(mark) for mark in SEPARATORS if mark in line]
    words = list(re.finditer(r"\S+", line))
    if not found and len(words) > 1:
        found.append(Layout(None, tuple((word.start(), word.end()) for word in words), by_place=True))
    return found


def cells_of(line: str, layout: Layout) -> list[str]:
    """The cells of a line, each under the header over which it stands."""
    try:
        cells = layout.cells(line) if layout.separator is not None else layout.header_cells(line)
    except BrokenCsv:
        return []
    return [cell.strip().strip("\"'") for cell in cells]


def month_of(text: str) -> Month | None:
    """The month, and perhaps the year, that a cell names in letters or as 2024-03; None for anything else."""
    said = plain(text).strip(" .:")
    if named := month_named(said):
        return None, named
    if eastern := _EASTERN.fullmatch(said):
        return (int(eastern[1]) if eastern[1] else None), int(eastern[2])
    if said in _ROMAN:
        return None, _ROMAN.index(said) + 1
    if (found := _WITH_YEAR.fullmatch(said)) is None:
        return None
    name, number, year = found[1] or found[5], found[2] or found[6], found[3] or found[4]
    month = month_named(name) if name else int(number)
    if not month or not 1 <= month <= _MONTHS or (len(year) == 2 and not name):
        return None
    return int(year) + (2000 if len(year) == 2 else 0), month


def month_named(name: str) -> int | None:
    """The number of a month that is written out; None where it is none, or may be several."""
    if not is_month(name):
        return None
    meant = {table[name] for table in months_of([name])}
    return meant.pop() if len(meant) == 1 else None


def months_across(cells: Sequence[str]) -> dict[int, Month]:
    """The months that a header names, by column, in the calendar's order; empty where it isn't one."""
    names = {at: plain(cell).strip(" .:") for at, cell in enumerate(cells) if cell}
    found: dict[int, Month] = {}
    words = [name for name in names.values() if is_month(name)]
    for table in months_of(words) if len(words) >= _FEWEST_MONTHS else []:
        found = {at: (None, table[name]) for at, name in names.items() if name in table}
        if _in_order(found):
            break
    if len(found) < _FEWEST_MONTHS:
        found = {at: month for at, cell in enumerate(cells) if cell and (month := month_of(cell)) is not None}
    if len(found) < _FEWEST_MONTHS and len(names) > _MONTHS:
        found = {at: (None, int(name)) for at, name in names.items() if re.fullmatch(r"0?[1-9]|1[0-2]", name)}
        found = found if [month for _, month in found.values()] == list(range(1, _MONTHS + 1)) else {}
    enough = len(found) >= _FEWEST_MONTHS and len(found) * 2 >= len(names)
    return found if enough and _in_order(found) else {}


def _in_order(months: dict[int, Month]) -> bool:
    numbers = [month for _, month in months.values()]
    steps = [(later - month) % _MONTHS for month, later in itertools.pairwise(numbers)]
    return all(step in (0, 1) for step in steps) and 1 in steps


def days_across(cells: Sequence[str]) -> dict[int, int]:
    """The days of the month that a header counts, by column; empty where it doesn't."""
    found = {at: int(day[1]) for at, cell in enumerate(cells) if (day := _DAY.fullmatch(plain(cell)))}
    numbers = list(found.values())
    return (
        found
        if len(numbers) >= _FEWEST_DAYS and numbers == list(range(1, len(numbers) + 1)) and len(numbers) <= 31
        else {}
    )


def hours_across(names: Sequence[str]) -> dict[int, int]:
    """Minutes since midnight that a header counts through a whole day, by column; empty where it doesn't."""
    found: dict[int, int] = {}
    for at, name in enumerate(names):
        if found and at == max(found) + 1 and _counts_on(names[at - 1], name):
            return {}  # T1 to T27: sensors
        minutes = _minutes_of(name)
        if minutes is not None and (not found or (at == max(found) + 1 and minutes > found[max(found)])):
            found[at] = minutes
    steps = {later - one for one, later in itertools.pairwise(found.values())}
    if len(steps) != 1 or not found:
        return {}
    (step,) = steps
    return found if step in _STEPS and len(found) * step == _DAY_MINUTES else {}


def _counts_on(name: str, following: str) -> bool:
    """Whether a name goes on counting from another beyond the hours of a day."""
    one, other = (re.fullmatch(r"(\D*)(\d+)", plain(text).strip()) for text in (name, following))
    if one is None or other is None or one[1] != other[1]:
        return False
    return int(other[2]) == int(one[2]) + 1 == _HOURS + 1


def _minutes_of(name: str) -> int | None:
    text = plain(name).strip()
    span = _SPAN.fullmatch(text)
    said = _HOUR.fullmatch(span[1] if span else text)
    if said is None:
        return None
    hour, minute, half = int(said[1]), int(said[2] or 0), said[3]
    if half:
        hour = hour % 12 + (12 if half[0] == "p" else 0)
    return hour * 60 + minute if hour * 60 + minute <= _DAY_MINUTES and minute < 60 else None
