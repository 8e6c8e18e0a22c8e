"""One file of a logger read: its readings in order of time, and what was passed over."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.site import Site
from season_engine.weather.logger.clocks import solar_minutes, zone_said, zone_set
from season_engine.weather.logger.dates import DAY_SECONDS, Ambiguous
from season_engine.weather.logger.faults import Faults
from season_engine.weather.logger.flags import drop_flagged
from season_engine.weather.logger.form import ClockFrom, Column, LinesLeft
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import NAMES
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.no_readings import Left, cut_short, judge, refuse_text, tell_empty
from season_engine.weather.logger.order import SAME_C, IntArray, in_order, lost_clock
from season_engine.weather.logger.rows import chosen_rows, hidden_sensor, told_apart
from season_engine.weather.logger.sections import Seconds, named_sections, sections_of
from season_engine.weather.logger.sense import refuse_other_unit
from season_engine.weather.logger.stamp_rows import UNREAD, Clock, Stamps
from season_engine.weather.logger.stamps import MixedOrders, read_stamps
from season_engine.weather.logger.tenths import refuse_tenths
from season_engine.weather.logger.values import Unit, Values, tell_faults, unit_of, values_of
from season_engine.weather.series import BoolArray, FloatArray

OWN_ZONE_MINUTES = 60  # a zone no farther from the sun is the yard's own, and its clock needs no change


@dataclass
class Part:
    """What one file says."""

    file: str
    seconds: IntArray  # since 1970 on the clock days go by, in order of time, shape (readings,)
    keys: Seconds  # the same in true order, through an hour that comes twice
    values_c: FloatArray  # temperatures, or days' lowest; NaN where there is none
    tmax_c: FloatArray | None  # days' highest; None: readings within the day
    lines: IntArray
    stamps: Stamps  # without its seconds
    unit: Unit
    clock_from: ClockFrom
    zone: str | None
    columns: tuple[Column, ...]
    head: Head
    alphabet: str
    separator: str
    field_name: str
    sensor: str | None = None
    sensors_left: tuple[str, ...] = ()
    left: list[LinesLeft] = field(default_factory=list)


def part_of(
    table: LoggerTable, alphabet: str, how: ReadAs, site: Site | None, *, order: str | None = None
) -> Part:
    """One table read; raises Ambiguous, GrowerError or InputErrors naming each line."""
    table, sensor, others = chosen_rows(table, how)
    left, faults = Left(table), Faults(table.file)
    units = {role: unit_of(table, role, how) for role in table.plan.temps}
    columns = _temperatures(table, units, how, left)
    clock, clock_from, zone = _clock(table, how, site, order)
    stamps = _stamps(table, clock, faults, columns, left)
    if (several := _several(table, stamps.seconds, columns[0].celsius, left)) is not None:
        return part_of(several, alphabet, how, site, order=order)
    refuse_text(table, left, faults)
    _check_values(table, columns, stamps.seconds, list(units.values()), site, faults, how)
    good = stamps.seconds != UNREAD
    rows, keys = _ordered(table, stamps, columns, good, left, faults)
    tell_empty(table, columns, good, left)
    if stamps.zoned and clock_from == "own":
        clock_from, zone = "stamps", stamps.zones[0] if len(stamps.zones) == 1 else None
    return Part(
        file=table.file,
        seconds=stamps.seconds[rows],
        keys=keys,
        values_c=columns[0].celsius[rows],
        tmax_c=columns[1].celsius[rows] if table.plan.daily else None,
        lines=np.asarray(table.lines)[rows],
        stamps=replace(stamps, seconds=np.empty(0, np.int64), wrong={}, form=table.dates or stamps.form),
        unit=next(iter(units.values())),
        clock_from=clock_from,
        zone=zone,
        columns=_columns(table),
        head=table.head,
        alphabet=alphabet,
        separator=NAMES[table.layout.separator],
        field_name=table.name(next(iter(units))),
        sensor=sensor,
        sensors_left=others,
        left=left.told(),
    )


def _temperatures(table: LoggerTable, units: dict[str, Unit], how: ReadAs, left: Left) -> list[Values]:
    """The columns of temperatures, without what is cut short or marked as bad."""
    columns = [values_of(table, role, unit, how) for role, unit in units.items()]
    cut_short(table, columns[-1], list(units)[-1], left)
    for role, values in zip(units, columns, strict=True):
        drop_flagged(table, role, values, how, left)
    return columns


def _several(table: LoggerTable, seconds: IntArray, temp_c: FloatArray, left: Left) -> LoggerTable | None:
    """The table with its sensors told apart, where it turns out to hold several; else None."""
    if role := hidden_sensor(table, seconds, temp_c):
        return told_apart(table, role)
    if "sensor" in table.texts or (sections := sections_of(seconds, temp_c)) is None:
        return None
    texts = {**table.texts, "sensor": named_sections(_with_left(table, left), sections)}
    return replace(table, texts=texts, plan=replace(table.plan, sensor=next(iter(table.plan.when.values()))))


def _with_left(table: LoggerTable, left: Left) -> LoggerTable:
    """The table with all lines that turned out to be no readings."""
    found = [(kind, line, text) for kind, places in left.found.items() for line, text in places]
    return replace(table, left=found)


def _check_values(
    table: LoggerTable,
    columns: Sequence[Values],
    seconds: IntArray,
    units: Sequence[Unit],
    site: Site | None,
    faults: Faults,
    how: ReadAs,
) -> None:
    """Raise what is wrong with temperatures on rows whose time is known."""
    good = seconds != UNREAD
    role = next(iter(table.plan.temps))
    if good.any():
        refuse_tenths(table, columns, seconds, how)
    if units[0].known_from == "nothing" and site is not None and good.any():
        _check_unit(table, role, columns[0], seconds, units[0], site)
    for role, values, unit in zip(table.plan.temps, columns, units, strict=True):
        tell_faults(table, role, values, unit, faults, good)
    if table.plan.daily:
        _check_extremes(table, columns, good, faults)
    faults.raise_if_any()
    if not good.any():
        raise GrowerError("there is a header but no reading.", file=table.file, line=table.head.line)


def _columns(table: LoggerTable) -> tuple[Column, ...]:
    return tuple(
        Column(
            "time" if role in ("stamp", "epoch", "days", "clock", "hhmm", "hour", "decimal_hour") else role,
            table.head.title(at),
            table.head.number(at),
        )
        for role, at in table.plan.needed.items()
        if role not in ("quantity", "unit") and not role.startswith(("suspect", "flag"))
    )


# When


def _clock(
    table: LoggerTable, how: ReadAs, site: Site | None, order: str | None
) -> tuple[Clock, ClockFrom, str | None]:
    """How times are to be read, and where their zone is known from."""
    header = " ".join(table.name(role) for role in table.plan.when)
    told = " ".join([header, *(line for _, line in table.head.about)])
    longitude = None if site is None else site.longitude
    base = Clock(how.date_format, None, longitude, table.plan.daily, told, order)
    if table.plan.daily:
        return base, "own", None
    zone: str | None = None
    known_from: ClockFrom = "own"
    minutes: int | None = None
    if how.clock is not None:
        minutes = zone_set(how.clock)
        if minutes is None:
            raise GrowerError(
                f'"{shortened(how.clock)}" is no clock.', hint='Write clock = "UTC" or such as "UTC+2".'
            )
        return replace(base, zone_minutes=minutes), "settings", how.clock
    if said := next((said for role in table.plan.when if (said := zone_said(table.name(role)))), None):
        zone, minutes, known_from = *said, "header"
    elif about := table.head.zone:
        zone, minutes, known_from = about[0], about[1], "about"
    if minutes is None or _is_own(minutes, longitude):
        return base, "own", zone
    return replace(base, zone_minutes=minutes), known_from, zone


def _is_own(minutes: int, longitude_deg: float | None) -> bool:
    """Whether a zone is that of clocks at the place; Greenwich's own is always taken to the sun."""
    return (
        minutes != 0
        and longitude_deg is not None
        and abs(minutes - solar_minutes(longitude_deg)) <= OWN_ZONE_MINUTES
    )


def _stamps(
    table: LoggerTable, clock: Clock, faults: Faults, columns: Sequence[Values], left: Left
) -> Stamps:
    """When each row was read; rows that can't be are set aside, or are faults."""
    texts = {role: table.texts[role] for role in table.plan.when}
    try:
        stamps = read_stamps(texts, clock)
    except MixedOrders as error:
        day, month = error.pair if error.way.order == "dmy" else error.pair[::-1]
        rows = {text: error.rows[text] for text in error.pair}
        problem = f'"{month}" has the month first, "{day}" (line {table.lines[rows[day]]}) the day.'
        if error.way.order == "ymd":
            problem = f'"{error.pair[1]}" is written in another order than "{error.pair[0]}".'
        raise GrowerError(
            problem, file=table.file, line=table.lines[rows[error.pair[1]]], field=table.when_name
        ) from None
    except Ambiguous:
        raise
    except ValueError as error:
        problem, hint = (*error.args, "")[:2]
        shown = re.search(r'"([^"]*)"', problem)
        row = _row_with(texts, shown[1]) if shown else 0
        raise GrowerError(
            problem, hint=hint, file=table.file, line=table.lines[row], field=table.when_name
        ) from None
    if stamps.wrong:
        judge(table, stamps, columns, faults, left)
    for row in stamps.swapped:
        left.add("swapped", table.lines[row], " ".join(cells[row] for cells in texts.values()))
    for row in lost_clock(stamps.seconds).tolist():
        left.add("clock lost", table.lines[row], " ".join(cells[row] for cells in texts.values()))
        stamps.seconds[row] = UNREAD
    return stamps


def _row_with(texts: dict[str, list[str]], shown: str) -> int:
    for row, cells in enumerate(zip(*texts.values(), strict=True)):
        if any(cell.strip().endswith(shown) for cell in cells):
            return row
    return 0


# What


def _check_unit(
    table: LoggerTable, role: str, values: Values, seconds: IntArray, unit: Unit, site: Site
) -> None:
    read = ~np.isnan(values.celsius) & (seconds != UNREAD)
    numbers = values.celsius[read]
    numbers = numbers * 1.8 + 32.0 if unit.units == "degF" else numbers
    days = seconds[read] // DAY_SECONDS
    if not numbers.size and values.impossible:  # all of them are hotter than it ever was
        rows = [row for row in values.impossible if seconds[row] != UNREAD]
        numbers = np.array([values.numbers[values.impossible[row]] for row in rows])
        days = seconds[rows] // DAY_SECONDS
    if numbers.size:
        refuse_other_unit(numbers, days, unit.units, site, table.file, table.name(role))


def _check_extremes(table: LoggerTable, columns: Sequence[Values], good: BoolArray, faults: Faults) -> None:
    for row in np.flatnonzero((columns[0].celsius > columns[1].celsius) & good).tolist():
        low, high = (shortened(table.texts[role][row]) for role in table.plan.temps)
        problem = f"the lowest temperature, {low}, is above the highest, {high}."
        faults.add("crossed", table.lines[row], table.name("tmin"), problem)


def _ordered(
    table: LoggerTable,
    stamps: Stamps,
    columns: Sequence[Values],
    good: BoolArray,
    left: Left,
    faults: Faults,
) -> tuple[IntArray | slice, Seconds]:
    """Rows in order of time, each instant once; rows of one instant that differ are faults."""
    daily = table.plan.daily
    if not daily and good.all() and bool((np.diff(stamps.seconds) > 0).all()):
        return slice(None), stamps.seconds  # as nearly always: nothing is copied
    rows = np.flatnonzero(good)
    seconds = stamps.seconds[rows]
    if daily:
        seconds = seconds // DAY_SECONDS * DAY_SECONDS
        stamps.seconds[rows] = seconds
    found = in_order(seconds, columns[0].celsius[rows], exact=daily or stamps.zoned)
    clash = list(found.clash)
    if daily and found.twice.size:
        clash += _other_highs(seconds, columns[1].celsius[rows], found.twice, found.rows)
    for first, again in clash:
        first, again = sorted((int(rows[first]), int(rows[again])))
        said = " ".join(table.texts[role][again] for role in table.plan.when).strip()
        old = table.lines[first]
        problem = f'"{shortened(said)}" is there twice, first on line {old}, with other temperatures.'
        faults.add("twice", table.lines[again], table.when_name, problem)
    faults.raise_if_any()
    for row in found.twice.tolist():
        left.add(
            "twice",
            table.lines[int(rows[row])],
            " ".join(table.texts[role][int(rows[row])] for role in table.plan.when),
        )
    if found.sorted:
        at = int(rows[0])
        left.add("order", table.lines[at], "")
    return rows[found.rows], found.keys


def _other_highs(
    seconds: IntArray, high_c: FloatArray, twice: IntArray, kept: IntArray
) -> list[tuple[int, int]]:
    first = {int(seconds[row]): int(row) for row in kept}
    pairs = [(first[int(seconds[row])], int(row)) for row in twice]
    return [(one, other) for one, other in pairs if abs(high_c[one] - high_c[other]) > SAME_C]
