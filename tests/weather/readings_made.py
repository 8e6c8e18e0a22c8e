"""A fortnight of readings and a year of days, and how they are spelt."""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Callable, Iterable

import numpy as np

from season_engine.site import Site
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.reading import LoggerRecord, record_of

YARD = Site("yard", 52.5, 13.4, 40)
SUMMER_AHEAD = dt.timedelta(hours=2)  # of the yard's clock in April
Reading = tuple[dt.datetime, float]
Day = tuple[dt.date, float, float]
_EPOCH = dt.datetime(1970, 1, 1)


def _readings() -> list[Reading]:
    draw = random.Random(1)
    times = [dt.datetime(2025, 4, 3) + dt.timedelta(minutes=30 * at) for at in range(48 * 14)]
    waves = [math.cos(2 * math.pi * (at.hour + at.minute / 60 - 15.5) / 24) for at in times]
    return [(at, round(8 + 5 * wave + draw.gauss(0, 0.3), 1)) for at, wave in zip(times, waves, strict=True)]


def _days() -> list[Day]:
    draw = random.Random(3)
    days = []
    for at in range(400):
        day = dt.date(2024, 1, 1) + dt.timedelta(days=at)
        mean = 9 - 10 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 15) / 365) + draw.gauss(0, 2)
        days.append((day, round(mean - 4 + draw.gauss(0, 0.5), 1), round(mean + 4 + draw.gauss(0, 0.5), 1)))
    return days


READINGS, DAYS = _readings(), _days()


def comma(value: float) -> str:
    """A number with a decimal comma."""
    return f"{value:.1f}".replace(".", ",")


def fahrenheit(value: float) -> str:
    return f"{value * 1.8 + 32:.1f}"


def spelt(header: str, spell: Callable[[dt.datetime, float], str], rows: Iterable[Reading] = READINGS) -> str:
    """A header and a line a reading."""
    return header + "\n" + "\n".join(spell(at, value) for at, value in rows) + "\n"


def spelt_days(header: str, spell: Callable[[dt.date, float, float], str], rows: Iterable[Day] = DAYS) -> str:
    """A header and a line a day."""
    return header + "\n" + "\n".join(spell(*row) for row in rows) + "\n"


def read(text: str, encoding: str = "utf-8", site: Site = YARD, **how: object) -> LoggerRecord:
    """What a file says."""
    return record_of([("yard.csv", text.encode(encoding))], ReadAs(**how), site)  # type: ignore[arg-type]


def says(record: LoggerRecord, rows: Iterable[Reading] = READINGS, *, hours: float = 0.0) -> bool:
    """Whether a record holds these readings and nothing else; by the sun where the record is."""
    rows = list(rows)
    if record.seconds is None or record.temp_c is None or record.seconds.size != len(rows):
        return False
    own_s = np.array([(at - _EPOCH).total_seconds() for at, _ in rows]) + hours * 3600
    if record.form.by_the_sun:
        own_s += round(YARD.longitude * 4) * 60 - SUMMER_AHEAD.total_seconds()
    values = np.array([value for _, value in rows])
    return bool(np.abs(record.temp_c - values).max() < 0.06 and np.abs(record.seconds - own_s).max() <= 30)


def says_days(record: LoggerRecord, rows: Iterable[Day] = DAYS) -> bool:
    """Whether a record holds these days and nothing else."""
    daily = record.daily
    found = zip(daily.days.astype(object), daily.tmin_c, daily.tmax_c, strict=True)
    told = {day: (low, high) for day, low, high in found if not np.isnan(low)}
    true = {day: (low, high) for day, low, high in rows}
    return (
        record.seconds is None
        and told.keys() == true.keys()
        and all(np.abs(np.subtract(told[day], true[day])).max() < 0.06 for day in true)
    )
