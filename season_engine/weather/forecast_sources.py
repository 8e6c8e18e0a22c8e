"""A site's forecast days from wherever its settings say, as far as they were known on a day."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from pathlib import Path

from season_engine.messages import Message
from season_engine.site import Site
from season_engine.weather.forecast_days import NOT_ASKED_FOR, ForecastDays, known_on
from season_engine.weather.forecast_file import read_forecast_file
from season_engine.weather.forecast_log import ForecastLog, keep_log, load_log, log_file
from season_engine.weather.forecast_service import CHECKS, LICENCE, SERVICE, forecast_url, read_forecast
from season_engine.workspace.settings import FileForecast, ForecastSettings, ServiceForecast


def forecast_days(
    site: Site,
    settings: ForecastSettings | None,
    *,
    folder: Path,
    cache: Path,
    on: dt.date,
    units: str,
    now: dt.datetime | None = None,
    refresh: bool = False,
) -> ForecastDays:
    """The days ahead of `on` as they were forecast by then; never an error of a service.

    Parameters
    ----------
    folder : the workspace, where a grower's file is looked for.
    cache : folder for the forecasts fetched before.
    units : "degC" or "degF", for a file without units of its own.
    now : the moment, with its time zone: a service is asked only where `on` is its date. Of a past day
        what was fetched then is known, and nothing else.
    refresh : ask the service again, whatever the age of what is kept.

    Raises GrowerError for a grower's file that can't be read.
    """
    if settings is None:
        return NOT_ASKED_FOR
    if isinstance(settings, FileForecast):
        issues = read_forecast_file(folder / settings.file, settings.units or units)
        source = Message("forecast file {file}", file=settings.file)
        return known_on(issues, on, source=source, credit=source)
    path = log_file(cache, site)
    log = load_log(path)
    today = now is not None and now.date() == on
    if now is not None and today and (refresh or log.due(now)):
        log = _asked(log, site, settings, cache, now)
        keep_log(path, log)
    blended = Message("forecast: {service}, licence {licence}, blended here with past years")
    credit = Message(blended, service=SERVICE, licence=LICENCE)
    known = known_on(log.issues, on, source=SERVICE, credit=credit)
    return _with_trouble(known, log.cause) if today and log.cause else known


def _asked(
    log: ForecastLog, site: Site, settings: ServiceForecast, cache: Path, now: dt.datetime
) -> ForecastLog:
    """The log with what the service has now, or with why it gave nothing."""
    from season_engine.weather.http import Absent, Failed, WeatherHttp

    with WeatherHttp(
        cache,
        checks=CHECKS,
        short_lived=re.compile("/complete"),
        user_agent=f"{__name__.partition('.')[0]} ({settings.contact})",
    ) as http:
        download = http.get(forecast_url(site), refresh=True)
    if isinstance(download, Failed):
        return replace(log, tried_at=now, cause=download.cause)
    if isinstance(download, Absent):
        return replace(log, tried_at=now, cause="the service has none for this place")
    try:
        issue = read_forecast(download.content, site.longitude)
    except ValueError as error:
        return replace(log, tried_at=now, cause=str(error))
    return log.added(replace(issue, issued=issue.issued.astimezone(now.tzinfo)), now)


def _with_trouble(known: ForecastDays, cause: str) -> ForecastDays:
    if known.status == "used":
        older = Message("A newer forecast could not be fetched: {cause}; the last one is used.", cause=cause)
        return replace(known, trouble=older)
    trouble = Message("The forecast could not be fetched: {cause}.", cause=cause)
    if known.status == "stale":
        trouble = Message("{first} {then}", first=trouble, then=known.trouble)
    return replace(known, status="failed", trouble=trouble)
