"""Forecasts fetched for a place, the last of each day, kept so that a past day can be judged by its own."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from dataclasses import dataclass
from pathlib import Path

from season_engine.files.whole import write_whole
from season_engine.site import Site
from season_engine.weather.forecast.days import DayForecast, Issue
from season_engine.weather.forecast.service import COLDEST_C, HOTTEST_C

FORMAT_VERSION = 1  # to be raised whenever what is kept changes its meaning
LIFE = dt.timedelta(hours=3)
TRIED_AGAIN_AFTER = dt.timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class ForecastLog:
    """All issues that came, oldest first, and how the last attempt went."""

    issues: tuple[Issue, ...] = ()
    tried_at: dt.datetime | None = None
    cause: str = ""  # why the last attempt brought nothing

    def due(self, now: dt.datetime) -> bool:
        """Whether to ask again."""
        return self.tried_at is None or now - self.tried_at >= (TRIED_AGAIN_AFTER if self.cause else LIFE)

    def added(self, issue: Issue, now: dt.datetime) -> ForecastLog:
        """The log with an issue in the place of an earlier one of that day."""
        others = [one for one in self.issues if one.day != issue.day]
        return ForecastLog(tuple(sorted([*others, issue], key=lambda one: one.issued)), now)


def log_file(cache: Path, site: Site) -> Path:
    """Where the forecasts of a place are kept."""
    place = repr((FORMAT_VERSION, site.latitude, site.longitude, site.elevation_m))
    return cache / f"forecast-{hashlib.sha256(place.encode()).hexdigest()[:12]}.json"


def load_log(path: Path) -> ForecastLog:
    """What is kept; an empty log where that is nothing, or damaged."""
    try:
        kept = json.loads(path.read_text("utf-8"))
        issues = tuple(_issue(one["issued"], one["days"]) for one in kept["issues"])
        return ForecastLog(issues, _moment(kept["tried_at"]), str(kept["cause"]))
    except Exception:  # a damaged file fails in many ways, and all mean the same: begin anew
        return ForecastLog()


def _issue(issued: str, days: list[tuple[str, float, float]]) -> Issue:
    return Issue(
        _moment(issued),
        tuple(_day(*day) for day in days),
    )


def _moment(text: str) -> dt.datetime:
    moment = dt.datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError(f"{text} has no time zone")
    return moment


def _day(date: str, low_c: float, high_c: float) -> DayForecast:
    if not COLDEST_C <= float(low_c) <= float(high_c) <= HOTTEST_C:  # nor for NaN
        raise ValueError(f"{low_c} to {high_c} degC")
    return DayForecast(dt.date.fromisoformat(date), float(low_c), float(high_c))


def keep_log(path: Path, log: ForecastLog) -> None:
    """Keep it if that is possible; a folder that can't be written costs time, not results."""
    issues = [{"issued": one.issued, "days": one.days} for one in log.issues]
    content = {"issues": issues, "tried_at": log.tried_at, "cause": log.cause}
    try:
        write_whole(path, json.dumps(content, default=lambda date: date.isoformat()))
    except OSError:
        return
