"""Parts of a file, or files, that lie over one another in time: several sensors, one after the other."""

from __future__ import annotations

import bisect
import itertools
import re
from collections.abc import Sequence

import numpy as np

from season_engine.errors import GrowerError
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.order import SAME_C, IntArray
from season_engine.weather.logger.stamp_rows import UNREAD
from season_engine.weather.logger.vocabulary import tokens
from season_engine.weather.series import FloatArray

_LEAP_BACK_SECONDS = 6 * 3600  # clocks are put back an hour, and messages come late
_MOST_SECTIONS = 40
_FEWEST_ROWS = 10
_MUCH, _SAME = 0.25, 0.5  # shares: of the shorter run that lies over the other, and that both have there
Seconds = IntArray | FloatArray


def sections_of(seconds: IntArray, temp_c: FloatArray) -> list[slice] | None:
    """Runs of rows, each in order of time, of which some lie over one another and say other things.

    None where there is no such run. `seconds` (UNREAD where there is none) and `temp_c` are of shape (rows,).
    """
    if seconds[0] != UNREAD and bool((np.diff(seconds) >= -_LEAP_BACK_SECONDS).all()):
        return None
    read = np.flatnonzero((seconds != UNREAD) & ~np.isnan(temp_c))
    steps = np.diff(seconds[read])
    falling = np.count_nonzero(steps < 0) > np.count_nonzero(steps > 0)
    leaps = steps > _LEAP_BACK_SECONDS if falling else steps < -_LEAP_BACK_SECONDS
    starts = [0, *(np.flatnonzero(leaps) + 1).tolist(), read.size]
    if not 2 < len(starts) <= _MOST_SECTIONS:
        return None
    parts = [read[first:last] for first, last in itertools.pairwise(starts)]
    parts = [part for part in parts if part.size >= _FEWEST_ROWS]
    over = any(
        lie_over(seconds[one], temp_c[one], seconds[other], temp_c[other])
        for at, one in enumerate(parts)
        for other in parts[:at]
    )
    return [slice(int(part[0]), int(part[-1]) + 1) for part in parts] if over else None


def lie_over(one_s: Seconds, one_c: FloatArray, other_s: Seconds, other_c: FloatArray) -> bool:
    """Whether two runs of readings cover the same time, and aren't the same readings."""
    first, last = max(one_s.min(), other_s.min()), min(one_s.max(), other_s.max())
    inside = (one_s >= first) & (one_s <= last)
    there = (other_s >= first) & (other_s <= last)
    least = max(_FEWEST_ROWS, _MUCH * min(one_s.size, other_s.size))
    if min(np.count_nonzero(inside), np.count_nonzero(there)) < least:
        return False
    order = np.argsort(other_s, kind="stable")
    at = np.minimum(np.searchsorted(other_s[order], one_s[inside]), other_s.size - 1)
    both = other_s[order][at] == one_s[inside]
    same = both & (np.abs(other_c[order][at] - one_c[inside]) <= SAME_C)
    return bool(np.mean(same) < _SAME)


def named_sections(table: LoggerTable, sections: Sequence[slice]) -> list[str]:
    """The name of the sensor of each row, by a column that has one a section or the line above each.

    Raises GrowerError where a section has none of its own.
    """
    for role in [role for role in table.texts if role.startswith("suspect")]:
        own = [set(map(str.strip, table.texts[role][section])) for section in sections]
        if all(len(names) == 1 for names in own) and len(set.union(*own)) > 1:
            return [text.strip() for text in table.texts[role]]
    above = sorted(
        [
            *table.head.about,
            *((line, text) for kind, line, text in table.left if kind in ("remark", "summary")),
        ]
    )
    lines = [line for line, _ in above]
    starts = [table.lines[section.start] for section in sections]
    names = []
    for start, before in zip(starts, [0, *starts], strict=False):
        at = bisect.bisect_left(lines, start) - 1
        named = at >= 0 and lines[at] > before and any(not token.isdigit() for token in tokens(above[at][1]))
        names.append(" ".join(re.split(r"[\s;,|]+", above[at][1])).strip() if named else "")
    if len(set(names)) < 2 or "" in names:
        problem = "from this line on the times begin anew, with other temperatures, as of another sensor."
        hint = "Save the lines of the sensor outdoors as a file of their own."
        raise GrowerError(problem, hint=hint, file=table.file, line=starts[1], field=table.when_name)
    of_rows = [names[0]] * len(table.lines)
    for name, section in zip(names, sections, strict=True):
        of_rows[section.start :] = [name] * (len(of_rows) - section.start)
    return of_rows
