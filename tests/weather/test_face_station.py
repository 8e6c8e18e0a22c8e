"""A public station's temperatures for Python: what the settings of a workspace would give."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

import season_engine as se
from season_engine.workspace.settings import StationWeather
from tests.weather.asked import site_weather
from tests.weather.provider import NOW, SITE, YESTERDAY, Provider


def test_a_stations_weather_is_that_of_a_workspace(provider: Provider, cache: Path, tmp_path: Path) -> None:
    weather = se.read_station(SITE, on=YESTERDAY, cache=cache)
    assert provider.counted()
    settings = StationWeather(source="station", station="nearest")
    told = site_weather(SITE, settings, folder=tmp_path, cache=cache, on=YESTERDAY, units="degC", now=NOW)
    assert (weather.source, weather.station and weather.station.id) == (
        told.source,
        told.station and told.station.id,
    )
    np.testing.assert_array_equal(weather.series.tmin_c, told.series.tmin_c)
    provider.counted()
    seen = se.season(SITE, weather, on=YESTERDAY)
    assert seen.windows("Acer palmatum")
    earlier = YESTERDAY - dt.timedelta(days=200)
    assert se.season(SITE, weather, on=earlier).weather.data_through <= earlier
    assert weather.as_of(YESTERDAY + dt.timedelta(days=9)).data_through == weather.data_through
    assert provider.counted() == {}, "what was fetched serves every day asked about"


def test_an_unknown_station_is_told(provider: Provider, cache: Path) -> None:
    with pytest.raises(se.GrowerError, match="no weather station"):
        se.read_station(SITE, "ZZZ99", on=YESTERDAY, cache=cache)
    with pytest.raises(se.GrowerError, match="letters and digits"):
        se.read_station(SITE, "no such place!", on=YESTERDAY, cache=cache)
