"""The year or month that a file's name tells: "2024.csv", "Min Max March 2024.txt", "2024-03.csv"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from season_engine.weather.logger.vocabulary import is_month, months_of, plain, tokens

_YEAR = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")
_WITH_MONTH = re.compile(r"(?<!\d)((?:19|20)\d\d)[-_. ]?(0[1-9]|1[0-2])(?!\d)(?![-_. ]?\d)")
_MONTH_BEFORE = re.compile(r"(?<!\d)(?<!\d[-_. ])(0?[1-9]|1[0-2])[-_. ]((?:19|20)\d\d)(?!\d)(?![-_. ]?\d)")
_MONTH_BEHIND = 1
# What else a line may date: not the readings below it
_OTHER_YEARS = re.compile(
    r"install|since|seit|depuis|desde|sinds|sedan|siden|calib|kalib|firmware|version|copyright|\xa9|print|export"
    r"|erstellt|gedruckt|created|saved|built|model|serial|founded|established|gegr"
)


@dataclass(frozen=True)
class Told:
    """A year, and perhaps a month, that is told for a whole file."""

    year: int | None = None
    month: int | None = None


def told_by(file: str) -> Told:
    """What a file's name tells; nothing where it holds a whole date, as of the day on which it was saved."""
    stem = Path(file).stem
    for pattern, year, month in ((_WITH_MONTH, 1, 2), (_MONTH_BEFORE, 2, 1)):
        if len(found := list(pattern.finditer(stem))) == 1 and len(_YEAR.findall(stem)) <= 1:
            return Told(int(found[0][year]), int(found[0][month]))
    years = _YEAR.findall(stem)
    numbers = [word for word in tokens(stem) if word.isdigit() and len(word) <= 2]
    if len(years) != 1 or len(numbers) > _MONTH_BEHIND:
        return Told()
    names = [word for word in tokens(stem) if not word.isdigit() and len(word) >= 3 and is_month(word)]
    meant = {table[names[0]] for table in months_of(names)} if len(names) == 1 else set()
    if numbers and names:  # "3 March 2024": a day
        return Told()
    return Told(int(years[0]), meant.pop() if len(meant) == 1 else None)


def dates_other_things(line: str) -> bool:
    """Whether a line's year is that of something else, "installed 2019", than of the readings below it."""
    return _OTHER_YEARS.search(plain(line)) is not None
