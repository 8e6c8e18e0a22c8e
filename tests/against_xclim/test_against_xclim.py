"""Our measures against an independent library, on real stations. The README beside this says what differs."""

from __future__ import annotations

import csv
import warnings
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd
import pytest

from season_engine.measures.chill import chill_portions, positive_utah_units, utah_units
from season_engine.measures.coverage import daily
from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import growing_degree_days
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.many_sites import daily_chill_portions, hourly_measures_of_sites

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import xarray
    from xclim import indices
    from xclim.indices import helpers

JAPAN = Path(__file__).parents[1] / "data" / "japan"
SEASONS = "YS-OCT"


class Station(NamedTuple):
    days: pd.DatetimeIndex  # whole seasons, October to September
    tmin: np.ndarray
    tmax: np.ndarray
    latitude: float

    @property
    def starts(self) -> np.ndarray:
        return np.asarray((self.days.month == 10) & (self.days.day == 1))

    @property
    def hourly(self) -> np.ndarray:
        return hourly_temperatures_c(
            self.tmin, self.tmax, day_length_h(self.latitude, np.asarray(self.days.day_of_year))
        )

    def by_season(self, per_day: np.ndarray) -> np.ndarray:
        return np.add.reduceat(per_day, np.flatnonzero(self.starts))


@pytest.fixture(params=["nagano", "kagoshima"])
def station(request) -> Station:
    table = pd.read_csv(JAPAN / f"{request.param}.csv", parse_dates=["date"], index_col="date")
    table = table.loc["1976-10-01":"2025-09-30"].interpolate()  # three readings are missing
    with (JAPAN / "sites.csv").open() as file:
        (latitude,) = (float(r["latitude"]) for r in csv.DictReader(file) if r["site"] == request.param)
    days = pd.DatetimeIndex(table.index, name="time")
    return Station(days, table["tmin"].to_numpy(), table["tmax"].to_numpy(), latitude)


def of_days(days: pd.DatetimeIndex, values: np.ndarray, latitude: float, name: str) -> xarray.DataArray:
    return xarray.DataArray(
        values,
        dims="time",
        coords={"time": days.to_numpy(), "lat": xarray.DataArray(latitude, attrs={"units": "degrees_north"})},
        name=name,
        attrs={"units": "degC"},
    )


def of_hours(days: pd.DatetimeIndex, hourly: np.ndarray) -> xarray.DataArray:
    time = pd.date_range(days[0], periods=hourly.size, freq="h")
    return xarray.DataArray(hourly.ravel(), dims="time", coords={"time": time}, attrs={"units": "degC"})


def their_hours(station: Station, latitude: float) -> xarray.DataArray:
    tmin = of_days(station.days, station.tmin, latitude, "tasmin")
    tmax = of_days(station.days, station.tmax, latitude, "tasmax")
    hours = helpers.make_hourly_temperature(tmin, tmax)
    hours.attrs["units"] = "degC"
    return hours


def test_chill_portions_from_the_same_hours(station: Station) -> None:
    theirs = indices.chill_portions(of_hours(station.days, station.hourly), freq=SEASONS).to_numpy()
    starts = np.flatnonzero(station.starts)[1:]
    one_by_one = [chill_portions(part.ravel()).sum() for part in np.split(station.hourly, starts)]
    np.testing.assert_allclose(one_by_one, theirs, rtol=0, atol=1e-9)
    compiled = daily_chill_portions(station.hourly[None], station.starts).value[0]
    np.testing.assert_allclose(station.by_season(compiled), theirs, rtol=0, atol=1e-9)
    assert 30 < theirs.min() < theirs.max() < 150  # whole years, so more than a winter's


def test_utah_units_from_the_same_hours(station: Station) -> None:
    theirs = indices.chill_units(of_hours(station.days, station.hourly), freq=SEASONS).to_numpy()
    between = (station.hourly > 17.9) & (station.hourly <= 18.0)
    apart = station.by_season(utah_units(station.hourly).sum(axis=1)) - theirs
    assert between.any()
    np.testing.assert_allclose(apart, station.by_season(0.5 * between.sum(axis=1)), atol=1e-9)


def test_positive_hours_are_not_positive_days(station: Station) -> None:
    hours = of_hours(station.days, station.hourly)
    theirs = indices.chill_units(hours, positive_only=True, freq=SEASONS).to_numpy()
    ours = station.by_season(positive_utah_units(station.hourly).sum(axis=1))
    assert (ours > theirs).all()  # dropping negative hours leaves more than dropping negative days


def test_hours_of_a_day_of_twelve_hours(station: Station) -> None:
    """On the equator both have sunrise on the hour: theirs at their hour 0, ours at hour 6."""
    theirs = their_hours(station, 0.0).to_numpy()
    ours = hourly_temperatures_c(station.tmin, station.tmax, 12.0).ravel()
    np.testing.assert_allclose(ours[6:], theirs[:-6], rtol=0, atol=1e-9)


def test_hours_at_the_stations_own_latitude(station: Station) -> None:
    theirs = their_hours(station, station.latitude).to_numpy().reshape(-1, 24)
    apart = (station.hourly - theirs).mean(axis=1)
    assert abs(apart.mean()) < 0.05
    assert np.abs(apart).mean() < 0.5


def test_chill_portions_by_the_whole_chain(station: Station) -> None:
    theirs = indices.chill_portions(their_hours(station, station.latitude), freq=SEASONS).to_numpy()
    ours = hourly_measures_of_sites(
        station.tmin[None],
        station.tmax[None],
        latitude_deg=[station.latitude],
        day_of_year=np.asarray(station.days.day_of_year),
        chill_restart=station.starts,
    )["fishman_1987"].value[0]
    np.testing.assert_allclose(station.by_season(ours), theirs, rtol=0.04)


def test_degree_days(station: Station) -> None:
    mean = of_days(station.days, (station.tmin + station.tmax) / 2, station.latitude, "tas")
    theirs = indices.growing_degree_days(mean, thresh="5 degC", freq=SEASONS).to_numpy()
    ours = station.by_season(growing_degree_days(station.tmin, station.tmax, 5.0))
    np.testing.assert_allclose(ours, theirs, rtol=0, atol=1e-9)


@pytest.mark.parametrize("latitude", [-60.0, -38.1, 0.0, 36.66, 51.5, 60.0])
def test_day_length(latitude: float) -> None:
    days = pd.date_range("2021-01-01", "2024-12-31")
    lat = xarray.DataArray(latitude, attrs={"units": "degrees_north"})
    theirs = helpers.day_lengths(xarray.DataArray(days, dims="time", coords={"time": days}), lat).to_numpy()
    number = np.asarray(days.day_of_year)
    apart_min = np.abs(day_length_h(latitude, number, sun_angle_deg=0.0) - theirs) * 60
    assert apart_min.max() < 4.2
    assert apart_min.mean() < 0.7
    edge_and_refraction_min = (day_length_h(latitude, number) - theirs).mean() * 60
    assert 6.9 < edge_and_refraction_min < 17.2


def test_polar_day_and_night_are_missing_there() -> None:
    days = pd.date_range("2021-01-01", "2021-12-31")
    lat = xarray.DataArray(75.0, attrs={"units": "degrees_north"})
    theirs = helpers.day_lengths(xarray.DataArray(days, dims="time", coords={"time": days}), lat).to_numpy()
    ours = day_length_h(75.0, np.asarray(days.day_of_year), sun_angle_deg=0.0)
    polar = np.isnan(theirs)
    assert polar.sum() > 150
    assert np.isin(ours[polar], [0.0, 24.0]).mean() > 0.98  # a day or so at the turn


def test_a_missing_hour_passes_in_silence_there_and_is_refused_here(station: Station) -> None:
    hourly = station.hourly.copy()
    hourly[100:110] = np.nan
    theirs = indices.chill_units(of_hours(station.days, hourly), freq=SEASONS).to_numpy()
    assert np.isfinite(theirs).all()
    refused = daily(utah_units(hourly[:365]))
    assert np.isnan(refused.value).sum() == 10 and refused.coverage.mean() == pytest.approx(355 / 365)
