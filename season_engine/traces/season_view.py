"""A site's seasons as they look from one day."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cached_property

from season_engine.site import Site
from season_engine.traces.forecast import with_forecast
from season_engine.traces.record import Record
from season_engine.traces.trace_set import TraceSet
from season_engine.weather.forecast.days import NOT_ASKED_FOR
from season_engine.weather.series import Weather


class SeasonView:
    """A site's seasons as they look from one day; each is built when first asked for."""

    def __init__(self, site: Site, weather: Weather, on: dt.date) -> None:
        self.site = site
        self.weather = weather
        self.on = on
        self._record = Record(weather.series.cut(on))
        self._seasons: dict[int, TraceSet] = {}

    def season(self, shift: int = 0) -> TraceSet:
        """Traces of the season `on` falls into, or of the one `shift` seasons later."""
        if shift not in self._seasons:
            season = self.site.season_on(self.on).shifted(shift)
            spliced = self._record.spliced(self.site, season)
            forecast = with_forecast(spliced, self.weather.forecast)
            self._seasons[shift] = replace(forecast, usual=self.past)
        return self._seasons[shift]

    def earlier(self, on: dt.date) -> SeasonView:
        """The same site as it looked on an earlier day, by its readings alone: no forecast of that day."""
        return SeasonView(self.site, replace(self.weather, forecast=NOT_ASKED_FOR), on)

    @cached_property
    def past(self) -> TraceSet:
        """Whole past seasons as they were, laid on the calendar of the season `on` falls into."""
        return self._record.whole(self.site, self.site.season_on(self.on))
