"""A weather forecast's days at a site, and which of them are known on a day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from season_engine.weather.notices import ForecastTooOld, ForecastTrouble, NoForecast
from season_engine.weather.sources.origins import ForecastOrigin

MOST_LEAD_DAYS = 9
STALE_DAYS = 2  # days after its issue a forecast is no longer used: at noon it is more than 36 hours old

Status = Literal["off", "used", "stale", "none", "failed"]


class DayForecast(NamedTuple):
    """What is forecast for one day [degC]."""

    date: dt.date
    tmin_c: float
    tmax_c: float


@dataclass(frozen=True, slots=True)
class Issue:
    """One forecast as it was issued, by the grower's clock."""

    issued: dt.datetime  # in a service's log with the clock's offset, from a grower's file without
    days: tuple[DayForecast, ...]

    @property
    def day(self) -> dt.date:
        """The day of issue."""
        return self.issued.date()


@dataclass(frozen=True, slots=True)
class ForecastDay:
    """One day's extremes [degC] and how many days ahead they were issued."""

    date: dt.date
    tmin_c: float
    tmax_c: float
    lead_days: int


@dataclass(frozen=True, slots=True)
class ForecastDays:
    """What is forecast for a site, as far as it was known on a day, and what went wrong."""

    status: Status
    source: ForecastOrigin | None = None
    issued: dt.datetime | None = None
    days: tuple[ForecastDay, ...] = ()  # by date, and none unless `status` is "used"
    trouble: ForecastTrouble | None = None


NOT_ASKED_FOR = ForecastDays("off")


def known_on(issues: Iterable[Issue], on: dt.date, *, source: ForecastOrigin) -> ForecastDays:
    """The days forecast by what was issued on or before `on`; of what is older than a day, none.

    Each day is taken from the last issue that holds it: the one of today says nothing of the hours gone by.
    """
    known = sorted((issue for issue in issues if issue.day <= on), key=lambda issue: issue.issued)
    if not known:
        return ForecastDays("none", source, trouble=NoForecast(on))
    latest = known[-1]
    age = (on - latest.day).days
    if age >= STALE_DAYS:
        return ForecastDays("stale", source, latest.issued, trouble=ForecastTooOld(age))
    found: dict[dt.date, ForecastDay] = {}
    for issue in known:
        for ahead in issue.days:
            lead = (ahead.date - issue.day).days
            if (on - issue.day).days < STALE_DAYS and 0 <= lead <= MOST_LEAD_DAYS:
                found[ahead.date] = ForecastDay(*ahead, lead)
    days = tuple(found[date] for date in sorted(found))
    return ForecastDays("used", source, latest.issued, days)
