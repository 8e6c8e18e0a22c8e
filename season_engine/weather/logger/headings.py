"""Dates written once for a block of lines: a day over its times, a month over its days, a year over all.

The text is written anew with a whole date on each line, line by line, so that it reads like any other.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.clocks import clock_time
from season_engine.weather.logger.dates import parts_of
from season_engine.weather.logger.layout import SEPARATORS, is_rule
from season_engine.weather.logger.named_files import Told, dates_other_things
from season_engine.weather.logger.vocabulary import (
    cell_words,
    is_month,
    months_of,
    plain,
    says,
    tokens,
    weekdays,
)

_FEWEST_ROWS = 3
_NAMES = ("day", "date", "time", "minimum", "maximum", "temperature")
_NOTHING_TOLD = Told()
_YEAR = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")
_DAY = re.compile(r"(\d{1,2})\.?")
_DAY_MONTH = re.compile(
    r"(\d{1,2})([./-])(\d{1,2})\2?\.?|(\d{1,2})[.\s-]+([^\W\d_]{3,})\.?|([^\W\d_]{3,})\.?[\s-]+(\d{1,2})"
)
_MONTH_NUMBER = re.compile(
    r"(?<![\d./-])(?:(\d{1,2})[/.-]((?:19|20)\d\d)|((?:19|20)\d\d)[/.-](\d{1,2}))(?![\d./-])"
)
_DATE_WIDTH = 24
_MONTH_WORDS = 2  # "Month: April"
_MOST_WORDS = 7  # of a heading
_TURN_MONTHS = 6  # from December to January, where one year is told for all


@dataclass
class _State:
    """What the headings so far say."""

    date: str | None = None
    month: tuple[int, int] | None = None  # year, month
    year: int | None = None
    last_month: int | None = None
    rows: int = 0
    prefixed: int = 0  # rows that got a cell more
    undated: int = 0
    turned: bool = False
    told_within: bool = False
    lines: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Dated:
    """A text with a date on each line of readings."""

    text: str
    column_more: bool  # the date stands in a column of its own, before the others
    told_within: bool  # a line names the year
    turned: bool  # it goes on into a year that nothing in it names


def with_dates(text: str, told: Told = _NOTHING_TOLD) -> Dated | None:
    """The text with a date on each line of readings; None where its dates don't stand in headings.

    `told` is what is known of its year and month beside.
    """
    lines = text.splitlines()
    separator = _separator(lines)
    month = (told.year, told.month) if told.year is not None and told.month is not None else None
    state = _State(year=told.year, month=month)
    wide = _usual_width(lines, separator)
    for line in lines:
        rows = state.prefixed
        state.lines.append(_line(line, separator, wide, state))
        if rows == 0 and state.prefixed == 1:
            _name_date(state.lines, separator, wide)
    if state.rows < _FEWEST_ROWS or state.undated * 5 > state.rows:
        return None
    whole = "\n".join(state.lines) + ("\n" if text.endswith(("\n", "\r")) else "")
    return Dated(whole, state.prefixed > 0, state.told_within, state.turned)


def _name_date(lines: list[str], separator: str | None, wide: int) -> None:
    """Put a name for the date before those of a header that stands above the first heading."""
    for at in range(len(lines) - 2, -1, -1):
        cells = _cells(lines[at], separator)
        if lines[at].startswith(_behind("Date", "", separator)):
            return
        if _are_names(lines[at], cells, separator, wide):
            lines[at] = _behind("Date", lines[at], separator)
        if any(says(cell, *_NAMES) for cell in cells):
            return


def _are_names(line: str, cells: Sequence[str], separator: str | None, wide: int) -> bool:
    """Whether a line names as many columns as the rows have; parted by blanks, names may hold some."""
    if len(cells) != wide and separator is None:
        cells = re.split(r"\s{2,}", line.strip())
    elif len(cells) != wide:
        return False
    return sum(says(cell, *_NAMES) for cell in cells) > 1


def _behind(date: str, line: str, separator: str | None) -> str:
    """A line behind a date, in a column of its own; where blanks part the columns, all keep their places."""
    return f"{date}{separator}{line.lstrip()}" if separator else f"{date:<{_DATE_WIDTH}}{line}"


def _separator(lines: Sequence[str]) -> str | None:
    counts = {mark: sum(mark in line for line in lines[:400]) for mark in SEPARATORS}
    best = max(SEPARATORS, key=lambda mark: counts[mark])
    return best if counts[best] * 2 > min(len(lines), 400) else None


def _cells(line: str, separator: str | None) -> list[str]:
    if separator is None:
        wide = re.split(r"\s{2,}|\t", line.strip())
        named = _DAY_MONTH.fullmatch(wide[0]) if len(wide) > 1 else None
        return wide if named and not wide[0].isdigit() else line.split()
    return [cell.strip().strip('"') for cell in line.split(separator)]


def _usual_width(lines: Sequence[str], separator: str | None) -> int:
    widths = [len(_cells(line, separator)) for line in lines[:400] if line.strip()]
    return max(set(widths), key=widths.count) if widths else 0


def _line(line: str, separator: str | None, wide: int, state: _State) -> str:
    """The line with its date, or as it is; what it says as a heading is kept in `state`."""
    cells = _cells(line, separator)
    filled = [cell for cell in cells if cell]
    if not filled or is_rule(line):
        return line
    row = len(filled) > 1 and _begins_like_row(cells[0]) and _holds_numbers(cells[1:])
    if row or (state.month is not None and len(cells) == wide and _is_bare_day(cells)):
        dated = _dated(cells, line, separator, state)
        if dated is not None:
            state.rows += 1
            return dated
        state.undated += len(cells) == wide
        return line
    if _is_heading(filled, state):
        return line
    if state.date is None and state.month is None:
        return line
    if len(cells) != wide and not _are_names(line, cells, separator, wide):
        return line
    return _behind("" if _holds_numbers(cells[1:]) else "Date", line, separator)  # a mean, or a header


def _holds_numbers(cells: Sequence[str]) -> bool:
    missing = cell_words("missing")
    return any(is_number(cell) or plain(cell) in missing for cell in cells) or all(
        cell in ("", "-", "--", "---") for cell in cells
    )


def _is_bare_day(cells: Sequence[str]) -> bool:
    """Whether a row has a day and no reading beside it: "12,,,,away"."""
    beside = any(letter.isalnum() for cell in cells[1:2] for letter in cell)
    return len(cells) > 1 and not beside and _DAY.fullmatch(cells[0].strip()) is not None


def _day_part(cell: str) -> str:
    """A cell without the time of day that stands behind a blank: "03.04. 00:30" is "03.04."."""
    first, _, rest = cell.strip().partition(" ")
    if rest and plain(first).strip(".,") in weekdays():
        cell = rest
    day, _, time = cell.strip().rpartition(" ")
    return day if day and _is_clock(time) and ":" in time else cell.strip()


def _begins_like_row(cell: str) -> bool:
    said = plain(_day_part(cell))
    return _DAY.fullmatch(said) is not None or _DAY_MONTH.fullmatch(said) is not None or _is_clock(cell)


def _dated(cells: Sequence[str], line: str, separator: str | None, state: _State) -> str | None:
    """A row with the date that its headings give it; None where it needs none or none is known."""
    first = cells[0].strip()
    if state.date is not None and _is_clock(first):
        state.prefixed += 1
        return _behind(state.date, line, separator)
    if state.month is not None and (day := _DAY.fullmatch(first)) and 1 <= int(day[1]) <= 31:
        state.prefixed += 1
        return _behind(f"{state.month[0]}-{state.month[1]:02d}-{int(day[1]):02d}", line, separator)
    day_part = _day_part(first)
    by_day = state.month is not None and state.prefixed > 0  # then "24.7" is a mean, and no day of July
    if state.year is not None and not by_day and (found := _DAY_MONTH.fullmatch(plain(day_part))):
        return _with_year(found, day_part, line, state)
    return None


def _with_year(found: re.Match[str], first: str, line: str, state: _State) -> str | None:
    """A row whose date lacks its year; from December to January the year is the next."""
    name = found[5] or found[6]
    if name and not is_month(name):
        return None
    month = min(table[name] for table in months_of([name])) if name else int(found[3])
    if state.last_month is not None and state.last_month - month > _TURN_MONTHS and state.year is not None:
        state.year += 1
        state.turned = True
    state.last_month = month
    mark = " " if name else found[2]
    whole = f"{first.rstrip('.')}{mark}{state.year}"
    return line.replace(first, whole, 1)


def _is_clock(cell: str) -> bool:
    try:
        clock_time(cell)
    except ValueError:
        return False
    return ":" in cell or not is_number(cell)


def _is_heading(filled: Sequence[str], state: _State) -> bool:
    """Whether a line is a heading with a date, a month or a year, which is then kept."""
    said = " ".join(filled)
    words = tokens(said)
    if len(words) > _MOST_WORDS:
        return _year_above(said, state)
    for start in range(len(said.split())):
        tail = " ".join(said.split()[start:])
        if (parts := parts_of(tail)) is not None:
            rest = len(parts.rest)
            state.date, state.month = (tail[:-rest] if rest else tail).strip(" ,;"), None
            return True
    years = [] if dates_other_things(said) else _YEAR.findall(said)
    if not years and _is_month_alone(words, state):
        return True
    if len(set(years)) != 1:
        return False
    if number := _MONTH_NUMBER.search(said):
        year, month = (number[2], number[1]) if number[1] else (number[3], number[4])
        if 1 <= int(month) <= 12:
            state.month, state.date = (int(year), int(month)), None
            return True
    names = [word for word in words if not word.isdigit() and is_month(word)]
    meanings = {table[names[0]] for table in months_of(names[:1])} if len(names) == 1 else set()
    if len(meanings) == 1:
        state.month, state.date = (int(years[0]), meanings.pop()), None
    state.told_within = True
    state.year, state.last_month = int(years[0]), None
    return True


def _is_month_alone(words: Sequence[str], state: _State) -> bool:
    """Whether a line names a month, and the year stands above; after December the next year begins."""
    names = [word for word in words if not word.isdigit() and is_month(word)]
    meanings = {table[names[0]] for table in months_of(names)} if len(names) == 1 else set()
    if len(meanings) != 1 or len(words) > _MONTH_WORDS or state.year is None:
        return False
    month = meanings.pop()
    if state.month is not None and state.month[1] - month > _TURN_MONTHS:
        state.year += 1
        state.turned = True
    state.month, state.date = (state.year, month), None
    return True


def _year_above(said: str, state: _State) -> bool:
    years = set() if dates_other_things(said) else set(_YEAR.findall(said))
    if len(years) == 1 and state.rows == 0:
        state.year, state.told_within = int(years.pop()), True
    return False
