"""Lines of several kinds in one file, each begun by its sign: readings, and others with other columns."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

from season_engine.errors import GrowerError
from season_engine.files.text import listed
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import stamp_kind

_MOST_KINDS = 6
_MOSTLY = 0.8  # share of the lines that makes a kind the readings
_FEWEST_ROWS, _FEWEST_OTHER = 5, 2
Rows = Sequence[Sequence[str]]


def kind_of(rows: Sequence[Sequence[str]], how: ReadAs, file: str) -> str | None:
    """The sign that the readings' lines begin with; None where all lines are of one kind.

    Raises GrowerError where several kinds may be the readings and `sensor` doesn't say which.
    """
    by_sign: dict[str, list[Sequence[str]]] = defaultdict(list)
    for row in rows:
        by_sign[row[0].strip() if row else ""].append(row)
    if not 2 <= len(by_sign) <= _MOST_KINDS or any(stamp_kind(sign) or not sign for sign in by_sign):
        return None
    signs = sorted(by_sign, key=lambda sign: -len(by_sign[sign]))
    if len(by_sign[signs[0]]) < _FEWEST_ROWS:
        return None
    if not all(_other_columns(by_sign[signs[0]], by_sign[sign]) for sign in signs[1:]):
        return None
    if how.sensor is not None and how.sensor.strip() in signs:
        return how.sensor.strip()
    if len(by_sign[signs[0]]) >= _MOSTLY * len(rows):
        return signs[0]
    problem = f"lines that begin with {listed(signs, 'and')} have other columns each."
    hint = f'Write which are the readings under [site.weather], such as sensor = "{signs[0]}".'
    raise GrowerError(problem, hint=hint, file=file)


def _other_columns(one: Rows, other: Rows) -> bool:
    """Whether rows have more or fewer cells, or other decimals in several columns."""
    width, usual = (Counter(map(len, rows)).most_common(1)[0][0] for rows in (one, other))
    if width != usual:
        return True
    return sum(_decimals(one, at) != _decimals(other, at) for at in range(1, width)) >= _FEWEST_OTHER


def _decimals(rows: Rows, at: int) -> int:
    """How many decimals most numbers of a column have."""
    counted = Counter(
        len(row[at].strip().partition(".")[2]) for row in rows if at < len(row) and is_number(row[at])
    )
    return counted.most_common(1)[0][0] if counted else -1
