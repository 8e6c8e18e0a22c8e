"""Files of one logger as one record, held against the place, the season and the sun."""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.site import Site
from season_engine.weather.logger.dates import DAY_SECONDS
from season_engine.weather.logger.faults import Faults
from season_engine.weather.logger.form import LinesLeft, LoggerForm
from season_engine.weather.logger.full_days import LONGEST_HOURS
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.on_change import LONGEST_USUAL_SECONDS, is_on_change
from season_engine.weather.logger.order import HOUR, SAME_C, IntArray
from season_engine.weather.logger.parts import Part
from season_engine.weather.logger.sections import lie_over
from season_engine.weather.logger.sense import (
    codes_among,
    refuse_other_clock,
    refuse_other_season,
    refuse_still_air,
)
from season_engine.weather.logger.sensors import place_of, speaks_of_elsewhere
from season_engine.weather.series import BoolArray, FloatArray


@dataclass
class Whole:
    """A record in order of time, and how it was read."""

    seconds: IntArray
    values_c: FloatArray  # temperatures without NaN, or days' lowest with it
    tmax_c: FloatArray | None
    form: LoggerForm


def merged(parts: Sequence[Part], how: ReadAs, site: Site | None) -> Whole:
    """Files as one record; raises where they contradict one another, or can't be the yard's air."""
    parts = sorted(parts, key=lambda part: part.keys[-1])
    newest = parts[-1]
    if len({part.tmax_c is None for part in parts}) > 1:
        raise GrowerError(
            "some of these files are tables of days and some hold readings within the day.", file=newest.file
        )
    _refuse_other_sensors(parts)
    seconds, values, tmax, lines, which, left = _together(parts)
    for part in parts:
        _refuse_place_told(part, how)
    if tmax is not None:
        _check_days(values, tmax, seconds, newest, how, site)
    else:
        read = ~np.isnan(values)
        if not read.any():
            raise GrowerError(
                "there is no temperature in it.",
                file=newest.file,
                line=newest.head.line,
                field=newest.field_name,
            )
        _check_step(seconds, is_on_change(seconds[read], values[read]), newest.file, how)
        if not read.all():
            seconds, lines, which, values = seconds[read], lines[read], which[read], values[read]
        codes = codes_among(seconds, values)
        left += _codes_told(codes, values, lines, which, parts)
        if codes.any():
            seconds, values = seconds[~codes], values[~codes]
        if site is not None:
            _check_readings(seconds, values, newest, how, site)
    return Whole(seconds, values, tmax, _form(parts, seconds, values, tmax, left))


def _refuse_other_sensors(parts: Sequence[Part]) -> None:
    """Raise GrowerError where two files cover the same time with readings of other times."""
    runs = [~np.isnan(part.values_c) for part in parts]
    for (one, read), (other, there) in itertools.combinations(zip(parts, runs, strict=True), 2):
        if not (read.any() and there.any()) or np.isin(one.keys[read], other.keys[there]).any():
            continue  # lines of the same time that differ are named where files are put together
        if lie_over(one.keys[read], one.values_c[read], other.keys[there], other.values_c[there]):
            problem = f"it covers the same time as {Path(other.file).name}, with readings at other times."
            hint = "Name the files of the sensor outdoors under [site.weather], by a pattern of their own."
            raise GrowerError(problem, hint=hint, file=one.file)


def _together(
    parts: Sequence[Part],
) -> tuple[IntArray, FloatArray, FloatArray | None, IntArray, IntArray, list[LinesLeft]]:
    """All files' readings in order of time, each instant once; raises where files contradict one another."""
    left = [one for part in parts for one in part.left]
    if len(parts) == 1:
        (part,) = parts
        return part.seconds, part.values_c, part.tmax_c, part.lines, np.zeros(part.lines.size, np.int8), left
    which = np.concatenate([np.full(part.seconds.size, at) for at, part in enumerate(parts)])
    seconds, lines = (np.concatenate([getattr(part, one) for part in parts]) for one in ("seconds", "lines"))
    keys = np.concatenate([part.keys.astype(np.float64) for part in parts])
    values = np.concatenate([part.values_c for part in parts])
    high = [part.tmax_c for part in parts if part.tmax_c is not None]
    tmax = np.concatenate(high) if high else None
    order = np.lexsort((which, keys))
    keys, seconds, lines, values, which = (one[order] for one in (keys, seconds, lines, values, which))
    tmax = None if tmax is None else tmax[order]
    keep = _each_once(keys, values, tmax, lines, which, parts)
    for at in range(len(parts)):
        again = lines[~keep & (which == at)]
        if again.size:
            left.append(LinesLeft("twice", int(again.size), int(again.min()), parts[at].file, ""))
    return seconds[keep], values[keep], None if tmax is None else tmax[keep], lines[keep], which[keep], left


def _each_once(
    keys: FloatArray,
    values: FloatArray,
    tmax: FloatArray | None,
    lines: IntArray,
    which: IntArray,
    parts: Sequence[Part],
) -> BoolArray:
    keep: BoolArray = np.ones(keys.size, dtype=bool)
    faults = {at: Faults(part.file) for at, part in enumerate(parts)}
    for at in (np.flatnonzero(np.diff(keys) == 0) + 1).tolist():
        before = at - 1
        while not keep[before]:
            before -= 1
        apart = [abs(one[before] - one[at]) for one in (values, tmax) if one is not None]
        if np.isnan(values[before]) and not np.isnan(values[at]):
            keep[before] = False
            continue
        keep[at] = False
        if any(one > SAME_C for one in apart):
            old = parts[int(which[before])]
            problem = (
                f"{values[at]:.1f} degC here, and {values[before]:.1f} degC for the same time in "
                f"{Path(old.file).name}, line {int(lines[before])}."
            )
            faults[int(which[at])].add("files", int(lines[at]), parts[int(which[at])].field_name, problem)
    for one in faults.values():
        one.raise_if_any()
    return keep


def _codes_told(
    codes: BoolArray, values: FloatArray, lines: IntArray, which: IntArray, parts: Sequence[Part]
) -> list[LinesLeft]:
    told = []
    for at, part in enumerate(parts):
        here = np.flatnonzero(codes & (which == at))
        if here.size:
            first = here[np.argmin(lines[here])]
            shown = values[first] * 1.8 + 32 if part.unit.units == "degF" else values[first]
            told.append(LinesLeft("code", int(here.size), int(lines[first]), part.file, f"{shown:g}"))
    return told


def _check_step(seconds: IntArray, on_change: bool, file: str, how: ReadAs) -> None:
    step = float(np.median(np.diff(seconds))) if seconds.size > 1 else 0.0
    longest = LONGEST_USUAL_SECONDS if on_change else HOUR
    if step <= max(longest, how.interval_hours * HOUR):
        return
    problem = f"the readings are {step / HOUR:g} hours apart; an hour is the most."
    hint = "Daily files need the columns date, tmin and tmax."
    if step <= LONGEST_HOURS * HOUR:
        hours = math.ceil(step / HOUR)
        hint = (
            f"If there are no others, write interval_hours = {hours} under [site.weather]: then the days' "
            f"extremes come out too mild. {hint}"
        )
    elif how.interval_hours > 1:
        problem = f"the readings are {step / HOUR:g} hours apart; {LONGEST_HOURS} are the most."
    raise GrowerError(problem, hint=hint, file=file)


def _believed(how: ReadAs) -> bool:
    """Whether the grower has said which column it is and in which unit, and so answers for both."""
    return how.units is not None and (
        how.sensor is not None or bool({"temp", "tmin", "tmax"} & how.columns.keys())
    )


def _refuse_place_told(part: Part, how: ReadAs) -> None:
    """Raise GrowerError where only the file's name, or a line in it, tells a place, and that is indoors."""
    if part.sensor is not None or how.columns or how.sensor:
        return
    chosen = [column.name for column in part.columns if column.role in ("temp", "tmin", "tmax")]
    if any(place_of(name) not in ("general", "unknown") for name in chosen):
        return
    where = next((line for line in part.head.about if speaks_of_elsewhere(line[1])), None)
    if where is not None or speaks_of_elsewhere(Path(part.file).stem, labelled=False):
        told = f'"{shortened(where[1])}"' if where else "the file's name"
        problem = (
            f"{told} doesn't sound like the air outdoors, and nothing else tells where the sensor hangs."
        )
        role = "tmin" if part.tmax_c is not None else "temp"
        name = next(column.name or column.number for column in part.columns if column.role == role)
        shown = f'"{name}"' if isinstance(name, str) else name
        hint = f"If it hangs outdoors, write columns = {{ {role} = {shown} }} under [site.weather]."
        raise GrowerError(problem, hint=hint, file=part.file, line=where[0] if where else None)


def _check_readings(seconds: IntArray, temp_c: FloatArray, part: Part, how: ReadAs, site: Site) -> None:
    days = seconds // DAY_SECONDS
    if not _believed(how):
        refuse_other_season(float(np.mean(temp_c)), days, site, part.file, part.field_name)
        if not (how.sensor or how.columns):
            place = days - int(days[0])
            low, high = (np.full(int(place[-1]) + 1, edge) for edge in (np.inf, -np.inf))
            np.minimum.at(low, place, temp_c)
            np.maximum.at(high, place, temp_c)
            low[np.isinf(low)] = np.nan
            refuse_still_air(low, high, part.file, part.field_name)
    field = next((column.name for column in part.columns if column.role in ("time", "date")), "")
    refuse_other_clock(
        seconds,
        temp_c,
        site,
        by_the_sun=part.stamps.zoned,
        set_so=how.clock is not None,
        file=part.file,
        field=field,
    )


def _check_days(
    tmin_c: FloatArray, tmax_c: FloatArray, seconds: IntArray, part: Part, how: ReadAs, site: Site | None
) -> None:
    for role, values in (("tmin", tmin_c), ("tmax", tmax_c)):
        if values.size > 1 and np.isnan(values).all():
            name = next((one.name for one in part.columns if one.role == role), role)
            raise GrowerError(
                "there is no temperature in it.", file=part.file, line=part.head.line, field=name
            )
    both = ~(np.isnan(tmin_c) | np.isnan(tmax_c))
    if site is None or _believed(how) or not both.any():
        return
    mean_c = float(np.mean(tmin_c[both] + tmax_c[both])) / 2
    refuse_other_season(mean_c, seconds[both] // DAY_SECONDS, site, part.file, part.field_name, "tmin")
    if not how.columns:
        refuse_still_air(tmin_c, tmax_c, part.file, part.field_name)


def _form(
    parts: Sequence[Part],
    seconds: IntArray,
    values: FloatArray,
    tmax: FloatArray | None,
    left: list[LinesLeft],
) -> LoggerForm:
    part = parts[-1]
    days = seconds // DAY_SECONDS
    first, last = (dt.date(1970, 1, 1) + dt.timedelta(days=int(day)) for day in (days.min(), days.max()))
    daily = tmax is not None
    step = None if daily else float(np.median(np.diff(seconds))) / 60 if seconds.size > 1 else 0.0
    readings = (
        int(np.count_nonzero(~np.isnan(values) & ~np.isnan(tmax))) if tmax is not None else int(values.size)
    )
    return LoggerForm(
        files=tuple(dict.fromkeys(Path(one.file).name for one in parts)),
        alphabet=part.alphabet,
        separator=part.separator,
        header_line=part.head.line,
        header=part.head.text,
        columns=part.columns,
        units=part.unit.units,
        units_from=part.unit.known_from,
        dates=part.stamps.form,
        clock_from=part.clock_from,
        zone=part.zone,
        by_the_sun=part.stamps.zoned,
        sensor=part.sensor,
        sensors_left=part.sensors_left,
        hemisphere=None,
        first_day=first,
        last_day=last,
        step_minutes=step,
        on_change=not daily and is_on_change(seconds, values),
        readings=readings,
        left=tuple(sorted(left, key=lambda one: (one.file, one.first_line))),
    )
