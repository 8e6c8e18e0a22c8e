"""A site's forecast days, from the grower's own log or from a weather service."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, replace
from pathlib import Path

from season_engine.site import Site
from season_engine.weather.forecast.days import ForecastDays, Issue, known_on
from season_engine.weather.forecast.file import read_forecast_file
from season_engine.weather.forecast.log import ForecastLog, keep_log, load_log, log_file
from season_engine.weather.forecast.service import CHECKS, LICENCE, SERVICE, forecast_url, read_forecast
from season_engine.weather.notices import ForecastNotFetched, ForecastTooOld, OlderForecastUsed
from season_engine.weather.sources.origins import ForecastFileOrigin, ForecastServiceOrigin
from season_engine.weather.sources.source import Retrieval


@dataclass(frozen=True, slots=True)
class ForecastFile:
    """The grower's own log of forecasts."""

    folder: Path
    file: str  # its name, or path from the folder, as the grower wrote it
    units: str = "degC"  # or "degF"

    def read(self, _site: Site, retrieval: Retrieval) -> ForecastDays:
        """The days ahead by what was issued up to the day asked about."""
        return known_on(self.kept(_site, retrieval), retrieval.on, source=ForecastFileOrigin(self.file))

    def kept(self, _site: Site, retrieval: Retrieval) -> tuple[Issue, ...]:
        """All that was issued up to the day asked about."""
        issues = read_forecast_file(self.folder / self.file, self.units)
        return tuple(issue for issue in issues if issue.day <= retrieval.on)


@dataclass(frozen=True, slots=True)
class ForecastService:
    """A national weather service's forecast for the place; its terms ask how to reach whoever asks.

    It is asked only where the day asked about is that of the moment. Of a past day what was fetched then is
    known, and nothing else.
    """

    contact: str

    def read(self, site: Site, retrieval: Retrieval) -> ForecastDays:
        """The days ahead, with what went wrong on the way."""
        path, now = log_file(retrieval.cache, site), retrieval.now
        log = load_log(path)
        today = now is not None and now.date() == retrieval.on
        if now is not None and today and (retrieval.refresh or log.due(now)):
            log = self._asked(log, site, retrieval.cache, now)
            keep_log(path, log)
        known = known_on(log.issues, retrieval.on, source=ForecastServiceOrigin(SERVICE, LICENCE))
        return _with_trouble(known, log.cause) if today and log.cause else known

    def kept(self, site: Site, retrieval: Retrieval) -> tuple[Issue, ...]:
        """All that was fetched up to the day asked about; nobody is asked."""
        issues = load_log(log_file(retrieval.cache, site)).issues
        return tuple(issue for issue in issues if issue.day <= retrieval.on)

    def _asked(self, log: ForecastLog, site: Site, cache: Path, now: dt.datetime) -> ForecastLog:
        """The log with what the service has now, or with why it gave nothing."""
        from season_engine.weather.http import Absent, Failed, WeatherHttp

        with WeatherHttp(
            cache,
            checks=CHECKS,
            short_lived=re.compile("/complete"),
            user_agent=f"{__name__.partition('.')[0]} ({self.contact})",
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
        return replace(known, trouble=OlderForecastUsed(cause))
    last = known.trouble if isinstance(known.trouble, ForecastTooOld) else None
    return replace(known, status="failed", trouble=ForecastNotFetched(cause, last))
