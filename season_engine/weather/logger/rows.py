"""Which rows of a logger's table are of the one sensor and quantity that is meant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from season_engine.errors import GrowerError
from season_engine.files.text import listed, shortened
from season_engine.weather.logger.cells import Slip, cell
from season_engine.weather.logger.columns import names_temperature
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.sensors import outdoor_among
from season_engine.weather.logger.stamp_rows import UNREAD, IntArray
from season_engine.weather.logger.vocabulary import plain, says
from season_engine.weather.series import BoolArray, FloatArray

_MOST_ROWS = 20_000  # that are looked at
_FEWEST_ROWS = 10
_LEAP_C = 0.5
_SLOWER = 1.5  # a sensor of several reports less often than all do
_EVEN, _MOSTLY = 0.2, 0.8


def chosen_rows(table: LoggerTable, how: ReadAs) -> tuple[LoggerTable, str | None, tuple[str, ...]]:
    """The rows of the temperature of the one sensor that is meant, its name, and the other sensors'."""
    if how.sensor is not None and "sensor" not in table.texts:
        wanted = plain(how.sensor.strip())
        roles = [role for role in table.texts if role.startswith("suspect")]
        named = [
            role for role in roles if any(plain(text.strip()) == wanted for text in set(table.texts[role]))
        ]
        table = told_apart(table, named[0]) if named else table
    keep: BoolArray | None = None
    if "quantity" in table.texts:
        keep = _rows_with(
            table.texts["quantity"],
            {text for text in set(table.texts["quantity"]) if names_temperature(text)},
        )
        if not keep.any():
            keep = None
    sensor: str | None = None
    others: tuple[str, ...] = ()
    if "sensor" in table.texts:
        sensor, others = _sensor(table, keep, how)
        if sensor is not None:
            here = _rows_with(
                table.texts["sensor"], {text for text in set(table.texts["sensor"]) if text.strip() == sensor}
            )
            keep = here if keep is None else keep & here
    elif (
        how.sensor is not None
        and "temp" in table.plan.temps
        and plain(how.sensor) not in plain(table.name("temp"))
    ):
        problem = f'there is no sensor "{shortened(how.sensor)}": no column holds names of sensors.'
        hint = 'Mend sensor under [site.weather], or name the column: columns = { sensor = "..." }.'
        raise GrowerError(problem, hint=hint, file=table.file, line=table.head.line)
    if keep is None or keep.all():
        return table, sensor, others
    rows = np.flatnonzero(keep).tolist()
    texts = {role: [texts[row] for row in rows] for role, texts in table.texts.items()}
    return replace(table, texts=texts, lines=[table.lines[row] for row in rows]), sensor, others


def told_apart(table: LoggerTable, role: str) -> LoggerTable:
    """The table with a column that tells sensors apart taken for what it is."""
    texts = {one: texts for one, texts in table.texts.items() if not one.startswith("suspect")}
    plan = replace(table.plan, sensor=table.plan.needed[role], suspects=())
    return replace(table, texts=texts | {"sensor": table.texts[role]}, plan=plan)


def hidden_sensor(table: LoggerTable, seconds: IntArray, temp_c: FloatArray) -> str | None:
    """The role of a column that tells sensors apart though nothing says so; None where there is none.

    In order of time their rows take turns, each evenly, or leap from one sensor's warmth to another's.
    """
    suspects = [role for role in table.texts if role.startswith("suspect")]
    if not suspects:
        return None
    read = np.flatnonzero((seconds != UNREAD) & ~np.isnan(temp_c))
    read = read[np.argsort(seconds[read], kind="stable")][:_MOST_ROWS]
    for role in suspects:
        if read.size > _FEWEST_ROWS:
            texts = table.texts[role]
            _, group = np.unique([texts[row].strip() for row in read], return_inverse=True)
            if _take_turns(seconds[read], temp_c[read], group):
                return role
    return None


def _take_turns(seconds: IntArray, temp_c: FloatArray, group: IntArray) -> bool:
    """Whether groups of readings, in order of time, look like as many sensors; all of shape (readings,)."""
    members = [np.flatnonzero(group == one) for one in range(int(group.max()) + 1)]
    members = [one for one in members if one.size >= _FEWEST_ROWS]
    if len(members) < 2:
        return False
    step = max(float(np.median(np.diff(seconds))), 1.0)
    leap = float(np.median(np.abs(np.diff(temp_c))))
    own_leap = float(np.median(np.concatenate([np.abs(np.diff(temp_c[one])) for one in members])))
    if leap > _LEAP_C and own_leap < leap / 2:
        return True
    whole = seconds[-1] - seconds[0]
    for one in members:
        steps = np.diff(seconds[one])
        usual = float(np.median(steps))
        even = np.mean(np.abs(steps - usual) <= _EVEN * usual)
        if usual < _SLOWER * step or even < _MOSTLY or seconds[one[-1]] - seconds[one[0]] < whole / 2:
            return False
    return True


def _rows_with(texts: Sequence[str], wanted: set[str]) -> BoolArray:
    return np.fromiter((text in wanted for text in texts), bool, len(texts))


def _sensor(table: LoggerTable, keep: BoolArray | None, how: ReadAs) -> tuple[str | None, tuple[str, ...]]:
    """The sensor outdoors, by its name or as the settings say, and the others; raises where none is clear."""
    temps = table.texts["temp"] if "temp" in table.texts else table.texts["tmin"]
    counted: Counter[str] = Counter()
    for row, (name, text) in enumerate(zip(table.texts["sensor"], temps, strict=True)):
        if (keep is None or keep[row]) and has_number(text):
            counted[name.strip()] += 1
    named = [name for name in counted if name]
    names = [name for name in named if not says(name, "other")] or named
    if how.sensor is not None:
        wanted = next((name for name in named if plain(name) == plain(how.sensor.strip())), None)
        if wanted is None:
            problem = f'there is no sensor "{shortened(how.sensor)}".'
            hint = f"There are {listed(names[:20], 'and')}. Mend sensor under [site.weather]."
            raise GrowerError(problem, hint=hint, file=table.file, field=table.name("sensor"))
        return wanted, tuple(name for name in named if name != wanted)
    if not names:
        return None, ()
    at = outdoor_among(names, named_places=True)
    if at is None:
        several = (
            f"there are several sensors, {listed(names[:20], 'and')}, and none is clearly the one outdoors."
        )
        only = f"the only sensor is {listed(names)}, which doesn't sound like the air outdoors."
        hint = f'Write which one hangs outdoors under [site.weather], such as sensor = "{names[0]}".'
        raise GrowerError(
            several if len(names) > 1 else only,
            hint=hint,
            file=table.file,
            line=table.head.line,
            field=table.name("sensor"),
        )
    return names[at], tuple(name for name in named if name != names[at])


def has_number(text: str) -> bool:
    """Whether a cell holds a number."""
    try:
        return cell(text).number is not None
    except Slip:
        return False
