"""What lines above the readings say of columns by their names: "TA_200: air temperature, 2 m"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from season_engine.weather.logger.vocabulary import LONGEST_NAME, plain

_BEFORE = re.compile(r"^[#*%;/'\"\s]+")
_BETWEEN = r"\s*(?:[:=]|\s[-\u2013\u2014]+\s|\s{2,}|\t|[,;])\s*"
_NEXT_MARK = re.compile(r"\s(?:\d+\s*[=:\-\u2013]|[^\W\d_]{1,3}\s*=)")
_QUOTES = "\"'\u00ab\u00bb\u2018-\u201f\u300c-\u300f"
_SHORTEST = 2  # letters of a name that is looked for


def meanings(lines: Iterable[str], names: Sequence[str]) -> dict[str, str]:
    """What lines that begin with a column's name say of it, by that name."""
    found: dict[str, str] = {}
    wanted = [name for name in dict.fromkeys(names) if len(name) >= _SHORTEST]
    for line in lines:
        said = _BEFORE.sub("", line)
        for name in wanted:
            if said.startswith(name) and (
                told := re.match(_BETWEEN + r"(?=[^\W\d_])(.*)", said[len(name) :])
            ):
                found.setdefault(name, told[1][:LONGEST_NAME])
    return found


def legend(lines: Sequence[str], column: str, marks: Iterable[str], words: Sequence[str]) -> dict[str, str]:
    """What lines say of marks, "0 = good, 1 = entered by hand", on or below one that names their column.

    `words` are other names for such a column.
    """
    found: dict[str, str] = {}
    naming = [plain(column), *words]
    under = False
    for line in lines:
        whole = " ".join(plain(line).split())
        begins = any(mark and whole.startswith(plain(mark)) for mark in marks)
        said = whole if begins else _BEFORE.sub("", whole)
        names = any(re.search(rf"(?<!\w){re.escape(word)}(?!\w)", said) for word in naming if word)
        for mark in marks:
            if (names or under) and mark and (told := _said_of(plain(mark), said, begins=not names)):
                found.setdefault(mark, told)
        under = names or (
            under and any(re.match(rf"{re.escape(plain(mark))}\W", said) for mark in marks if mark)
        )
    return found


def _said_of(mark: str, said: str, *, begins: bool) -> str:
    """What stands behind a mark, up to the next comma; where it must, the line begins with it."""
    start = r"^\W*" if begins else r"(?<![\w.,+/-])"
    alone = r"(?![^\W\d_])" if mark[-1].isalpha() and mark.isascii() else ""
    told = re.search(
        rf"{start}[{_QUOTES}(\[]?{re.escape(mark)}{alone}[{_QUOTES})\]]?\s*(?:[=:\-\u2013\u2014>)]+|\bis\b)?\s*([^\W\d_][^,;/|]*)",
        said,
    )
    if told is None:
        return ""
    return _NEXT_MARK.split(told[1])[0].strip()
