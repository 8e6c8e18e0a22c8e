"""Temperatures from the weather service: what is asked for, what is kept, and what each fault comes to."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import sqlite3
import stat
import time
from pathlib import Path

import numpy as np
import pytest

from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from season_engine.weather.fitness import refuse_if_poor
from season_engine.weather.sources.source import Retrieval
from season_engine.weather.station.readings import StationReadings, read_station, second_station
from season_engine.words.weather_sources import source_text
from season_engine.workspace.settings import StationWeather
from tests.weather.asked import site_weather, warnings
from tests.weather.provider import (
    FIRST_YEAR,
    NOW,
    SITE,
    STATIONS,
    THREE_YEARS_AGO,
    YESTERDAY,
    Provider,
    let_time_pass,
    reading,
)

CURRENT = {NOW.year - 1, NOW.year}
YEARS = set(range(FIRST_YEAR, NOW.year + 1))
HELD = range(FIRST_YEAR, YESTERDAY.year + 1)
NOT_YET = len(YEARS) - len(HELD)  # on 1 January the year that began has no file
A_YEAR = FIRST_YEAR + 3
RIDGE = STATIONS[0]


def read(cache: Path, wanted: str = "nearest", **options: object) -> StationReadings:
    return read_station(SITE, wanted, Retrieval(**{"cache": cache, "on": YESTERDAY, "now": NOW, **options}))


def assert_same(one: StationReadings, other: StationReadings) -> None:
    assert one.series.first_day == other.series.first_day
    np.testing.assert_array_equal(one.series.tmin_c, other.series.tmin_c)
    np.testing.assert_array_equal(one.series.tmax_c, other.series.tmax_c)


# What is asked for


def test_cold_then_warm(provider: Provider, cache: Path) -> None:
    cold = read(cache)
    assert cold.warnings == ()
    assert provider.years_asked_for() == YEARS
    assert provider.counted() == {200: 1 + len(HELD)} | ({404: 1} if NOT_YET else {})
    assert provider.agents == {"season_engine (a batch job that keeps what it fetches)"}
    assert_same(read(cache), cold)
    assert provider.counted() == {}


def test_expired_asks_for_the_current_years_only(
    provider: Provider, cache: Path, stale: StationReadings
) -> None:
    assert_same(read(cache), stale)
    assert provider.years_asked_for() == CURRENT
    assert provider.counted() == {304: 2 - NOT_YET} | ({404: 1} if NOT_YET else {})
    read(cache)
    assert provider.counted() == {}


def test_expired_without_etags_is_fetched_afresh(provider: Provider, cache: Path) -> None:
    provider.validators = False
    read(cache)
    let_time_pass(cache, 2)
    provider.counted()
    read(cache)
    assert provider.counted().get(200) == 2 - NOT_YET


def test_after_a_month_everything_is_asked_for(
    provider: Provider, cache: Path, first: StationReadings
) -> None:
    let_time_pass(cache, 31)
    assert_same(read(cache), first)
    assert provider.counted()[304] == 1 + len(HELD)


@pytest.mark.parametrize("validators", [True, False])
def test_refresh_asks_for_everything_now(provider: Provider, cache: Path, validators: bool) -> None:
    provider.validators = validators
    cold = read(cache)
    provider.counted()
    assert_same(read(cache, refresh=True), cold)
    assert provider.counted()[304 if validators else 200] == 1 + len(HELD)


def test_offline_on_stale_data_with_one_warning(
    provider: Provider, cache: Path, stale: StationReadings
) -> None:
    provider.stop()
    offline = read(cache)
    assert_same(offline, stale)
    (warning,) = warnings(offline)
    assert "Kettle Ridge" in warning
    assert "connection was refused" in warning
    assert "2 days ago" in warning
    assert offline.facts.fetched_at == stale.facts.fetched_at - dt.timedelta(days=2)
    let_time_pass(cache, 40)
    assert len(read(cache).warnings) == 1  # the directory is due as well: still one outage


def test_after_a_failure_the_next_try_is_an_hour_later(
    provider: Provider, cache: Path, stale: StationReadings
) -> None:
    provider.fault("/daily/", "500")
    assert len(read(cache).warnings) == 1
    provider.counted()
    assert len(read(cache).warnings) == 1
    assert provider.counted() == {}
    provider.faults.clear()
    let_time_pass(cache, 0.05)
    assert read(cache).warnings == ()
    assert provider.years_asked_for() == CURRENT


def test_new_readings_arrive(provider: Provider, cache: Path) -> None:
    week_ago = YESTERDAY - dt.timedelta(days=7)
    whole = provider.stations
    provider.stations = tuple(dataclasses.replace(one, last=min(one.last, week_ago)) for one in whole)
    assert read(cache).series.last_day == week_ago
    provider.stations = whole
    let_time_pass(cache, 2)
    assert read(cache).series.last_day == YESTERDAY


# What comes of it


def test_values_are_the_stations_at_the_sites_height(first: StationReadings) -> None:
    readings, facts = first, first.facts
    assert (facts.id, facts.name, facts.height_difference_m) == ("Q0001", "Kettle Ridge", 100.0)
    # A tenth of a degree of latitude on a sphere of 6,371 km: 2 pi 6371 / 3600.
    assert facts.distance_km == pytest.approx(11.119, abs=0.01)
    for day, tmin_c, tmax_c in zip(
        readings.series.days.tolist(), readings.series.tmin_c, readings.series.tmax_c, strict=True
    ):
        expected = reading(RIDGE, day)
        if expected is None:
            assert np.isnan([tmin_c, tmax_c]).all()
        else:
            # 6.5 degC per km of the standard atmosphere; the station is 100 m higher.
            assert (tmin_c, tmax_c) == pytest.approx((expected[0] + 0.65, expected[1] + 0.65))


def test_forecasts_are_no_readings(first: StationReadings) -> None:
    """The service fills days to come from models; the made-up ones are of 50 degC and more."""
    series = first.series
    assert series.last_day == YESTERDAY
    assert np.nanmax(series.tmax_c) < 45.0


def test_the_others_are_named_in_order(first: StationReadings) -> None:
    assert [one.split()[0] for one in first.facts.others] == ["Q0002", "Q0007"]


def test_credit_names_the_provider_its_licence_and_the_change(first: StationReadings) -> None:
    # "Data provided by Meteostat is generally licensed under the Creative Commons Attribution 4.0
    # International (CC BY 4.0) license": README in the metadata of the package meteostat 2.1.5.
    assert (
        source_text(first.facts.credit)
        == "weather data: Meteostat, licence CC BY 4.0, adjusted here for height"
    )


def test_by_id_in_any_case_and_however_far(provider: Provider, cache: Path) -> None:
    far = read(cache, "q0009").facts
    assert (far.id, far.name) == ("Q0009", "Far Cape")
    assert far.distance_km > 200


@pytest.mark.parametrize("wanted", ["Q9999", "%", "../Q0001", "Q0001;", ""])
def test_no_such_station(provider: Provider, cache: Path, wanted: str) -> None:
    with pytest.raises(GrowerError) as caught:
        read(cache, wanted)
    assert (caught.value.exit_code, caught.value.field) == (2, "site.weather.station")
    assert not list(cache.glob("station-*"))


def test_another_station_takes_over_and_that_is_said(
    provider: Provider, cache: Path, first: StationReadings
) -> None:
    assert first.facts.id == "Q0001"
    fell_silent = dataclasses.replace(RIDGE, last=YESTERDAY - dt.timedelta(days=200))
    provider.stations = (fell_silent, *STATIONS[1:])
    let_time_pass(cache, 31)
    readings = read(cache)
    assert readings.facts.id == "Q0002"
    (warning,) = warnings(readings)
    assert "Q0002 (Kettle Bay, 33 km) is used instead of Q0001 (Kettle Ridge, 11 km)" in warning
    assert warnings(read(cache)) == (warning,)
    named = read(cache, "Q0001")  # who names a station gets that one
    assert named.facts.id == "Q0001"
    assert not any("instead of" in text for text in warnings(named))


def test_nothing_near(provider: Provider, cache: Path) -> None:
    with pytest.raises(WeatherError, match="within 100 km") as caught:
        read_station(Site("atoll", 0.0, 0.0), "nearest", Retrieval(cache, YESTERDAY, NOW))
    assert caught.value.exit_code == 3


def test_second_station(provider: Provider, cache: Path, first: StationReadings) -> None:
    second = second_station(SITE, Retrieval(cache, YESTERDAY, NOW), besides=first.facts.id)
    assert second is not None
    assert second.facts.id == "Q0002"
    # Kettle Bay reads 1 degC more than the Ridge does; heights make 0.65 and -0.13 of that.
    difference = np.nanmean(second.series.tmin_c) - np.nanmean(first.series.tmin_c)
    assert difference == pytest.approx(1.0 - 0.65 - 0.13, abs=0.01)
    provider.stop()
    assert second_station(SITE, Retrieval(cache / "empty", YESTERDAY, NOW)) is None


def test_the_cut(provider: Provider, cache: Path, first: StationReadings, tmp_path: Path) -> None:
    """A service whose record ends on a day says the same of that day as one that goes on."""
    on = YESTERDAY - dt.timedelta(days=200)
    goes_on = read(cache, on=on)
    provider.stations = tuple(
        dataclasses.replace(one, last=min(one.last, on)) for one in STATIONS if one.first <= on
    )
    ends = read(tmp_path / "other", on=on, now=dt.datetime.combine(on, dt.time(12), dt.UTC))
    assert ends.facts.id == goes_on.facts.id
    kept = goes_on.series.cut(on)
    assert kept.last_day == ends.series.last_day == on
    start = (ends.series.first_day - kept.first_day).days
    np.testing.assert_array_equal(kept.tmin_c[start:], ends.series.tmin_c)


# Faults


def test_connection_refused_with_nothing_kept(provider: Provider, cache: Path) -> None:
    provider.stop()
    with pytest.raises(WeatherError, match=r"directory.*connection was refused") as caught:
        read(cache)
    assert caught.value.exit_code == 3


def test_connection_lost_after_the_directory(provider: Provider, cache: Path) -> None:
    provider.fault("/daily/", "500")
    with pytest.raises(WeatherError, match=r"Q0001 .*error 500") as caught:
        read(cache)
    assert caught.value.exit_code == 3


@pytest.mark.parametrize(
    ("kind", "cause"),
    [
        ("hang", "did not answer in time"),
        ("drip", "did not answer in time"),
        ("500", "error 500"),
        ("cut", "cut short or garbled"),
        ("html", "a web page came instead of daily readings"),
        ("renamed", "something unknown came instead of daily readings"),
        ("emptied", "lost most of its readings"),
        ("404", "no longer has the file"),
    ],
    ids=[
        "time-out",
        "slow drip",
        "500 for ever",
        "truncated gzip",
        "HTML",
        "renamed columns",
        "emptied",
        "gone",
    ],
)
def test_a_failure_leaves_what_is_kept(
    provider: Provider, cache: Path, stale: StationReadings, impatient: None, kind: str, cause: str
) -> None:
    provider.fault("/daily/", kind)
    start = time.monotonic()
    readings = read(cache)
    assert time.monotonic() - start < 20.0  # where a whole file of drops would take over a minute
    assert_same(readings, stale)
    (warning,) = warnings(readings)
    assert cause in warning
    assert "2 days ago" in warning
    assert readings.facts.missing_years == stale.facts.missing_years
    assert len(provider.requests) <= 6  # two files with three tries each, and no more


@pytest.mark.parametrize("kind", ["cut", "html", "renamed"])
def test_a_bad_answer_never_replaces_the_good_file(
    provider: Provider, cache: Path, stale: StationReadings, kind: str
) -> None:
    provider.fault("/daily/", kind)
    read(cache)
    provider.faults.clear()
    provider.counted()
    next(cache.glob("station-*.npz")).unlink()
    assert_same(read(cache), stale)
    # The service says that what is kept is still the file: so it is still kept.
    assert provider.counted().get(304) == 2 - NOT_YET


@pytest.mark.parametrize("kind", ["hang", "drip", "500", "cut", "html", "renamed"])
def test_a_failed_year_is_no_missing_year(
    provider: Provider, cache: Path, impatient: None, kind: str
) -> None:
    provider.fault(f"/{A_YEAR}/", kind)
    readings = read(cache)
    assert A_YEAR not in readings.facts.missing_years
    (warning,) = warnings(readings)
    assert f"Readings of {A_YEAR} could not be fetched" in warning
    year = readings.series.days.astype("datetime64[Y]") == np.datetime64(str(A_YEAR))
    assert np.isnan(readings.series.tmin_c[year]).all()
    assert not np.isnan(readings.series.tmin_c[~year]).all()


def test_a_missing_year_is_a_fact_and_no_failure(provider: Provider, cache: Path) -> None:
    provider.fault(f"/{A_YEAR}/", "404")
    readings = read(cache)
    assert readings.warnings == ()
    assert A_YEAR in readings.facts.missing_years
    assert A_YEAR not in read(cache, on=dt.date(A_YEAR - 1, 6, 1), wanted="Q0001").facts.missing_years
    year = readings.series.days.astype("datetime64[Y]") == np.datetime64(str(A_YEAR))
    assert np.isnan(readings.series.tmin_c[year]).all()


def test_500_twice_then_fine(provider: Provider, cache: Path) -> None:
    provider.fault(f"/{A_YEAR}/", "500", times=2)
    readings = read(cache)
    assert readings.warnings == ()
    assert A_YEAR not in readings.facts.missing_years
    assert provider.counted()[500] == 2


@pytest.mark.parametrize("kind", ["html", "headless", "500"])
def test_a_bad_directory(
    provider: Provider, cache: Path, first: StationReadings, tmp_path: Path, kind: str
) -> None:
    provider.fault("stations.db", kind)
    with pytest.raises(WeatherError, match="directory"):
        read(tmp_path / "other")
    let_time_pass(cache, 31)
    later = read(cache)
    assert_same(later, first)
    assert "directory" in warnings(later)[0]


def weather_of(cache: Path, wanted: str):
    settings = StationWeather(source="station", station=wanted)
    return site_weather(SITE, settings, folder=cache, cache=cache, on=YESTERDAY, units="degC", now=NOW)


def test_a_station_that_ended_three_years_ago(
    provider: Provider, first: StationReadings, tmp_path: Path
) -> None:
    assert first.facts.id != "Q0003"  # which is the nearest
    provider.stations = tuple(one for one in STATIONS if one.id in ("Q0001", "Q0003"))
    provider.fault("Q0001", "404")  # so that nothing stands in for it
    weather = weather_of(tmp_path / "other", "Q0003")
    asked = {path for path, _status in provider.requests if "Q0003" in path}
    assert max(asked) == f"/daily/{THREE_YEARS_AGO.year}/Q0003.csv.gz"
    assert weather.data_through <= THREE_YEARS_AGO
    with pytest.raises(WeatherError, match=r"Old Mill.* days ago.*Q0001 \(Kettle Ridge, 11 km\)") as caught:
        refuse_if_poor(weather, SITE, YESTERDAY)
    assert caught.value.exit_code == 3


def test_changed_column_order(provider: Provider, first: StationReadings, tmp_path: Path) -> None:
    provider.fault("/daily/", "reordered")
    assert_same(read(tmp_path / "other"), first)


def test_corrupt_downloads(provider: Provider, cache: Path, stale: StationReadings) -> None:
    """Rebuilt, said, and nothing else lost: the kept series serves whatever can't be fetched."""
    database = cache / "http.sqlite"
    database.write_bytes(b"not a database at all " * 1000)
    provider.fault(f"/{A_YEAR}/", "500")
    readings = read(cache)
    assert_same(readings, stale)
    assert "http.sqlite" in warnings(readings)[0]
    assert "fetched anew" in warnings(readings)[0]
    with sqlite3.connect(database) as fresh:
        assert fresh.execute("SELECT count(*) FROM responses").fetchone() == (len(YEARS) - 1,)
    fresh.close()


def test_downloads_corrupt_in_the_middle(provider: Provider, cache: Path, stale: StationReadings) -> None:
    database = cache / "http.sqlite"
    content = bytearray(database.read_bytes())
    content[4096:] = b"\xff" * (len(content) - 4096)
    database.write_bytes(content)
    readings = read(cache)
    assert_same(readings, stale)
    assert "fetched anew" in warnings(readings)[0]


def test_one_corrupt_download(provider: Provider, cache: Path, stale: StationReadings) -> None:
    next(cache.glob("station-*.npz")).unlink()
    with sqlite3.connect(cache / "http.sqlite") as database:
        for key, value in database.execute("SELECT key, value FROM responses").fetchall():
            kept = json.loads(value)
            if f"/{A_YEAR}/" in kept["url"]:
                kept["_content"] = kept["_content"][:200]
                database.execute("UPDATE responses SET value = ? WHERE key = ?", (json.dumps(kept), key))
            elif f"/{A_YEAR + 1}/" in kept["url"]:
                database.execute("UPDATE responses SET value = ? WHERE key = ?", ("{half", key))
    database.close()
    readings = read(cache)
    assert_same(readings, stale)
    assert readings.warnings == ()
    assert provider.years_asked_for() == CURRENT | {A_YEAR, A_YEAR + 1}


@pytest.mark.parametrize("name", ["station-*.npz", "stations-*.json"])
def test_a_corrupt_copy_is_built_again_without_the_network(
    provider: Provider, cache: Path, first: StationReadings, name: str
) -> None:
    next(cache.glob(name)).write_bytes(b"PK\x03\x04 or not")
    assert_same(read(cache), first)
    assert provider.counted() == {}


def test_a_folder_that_can_not_be_written(provider: Provider, tmp_path: Path) -> None:
    in_the_way = tmp_path / "data_cache"
    in_the_way.write_text("a file where the folder should be")
    readings = read(in_the_way)
    assert len(readings.series) > 7 * 365
    assert "can't be kept" in warnings(readings)[0]


# What is kept


def test_kept_as_json_and_for_nobody_else(first: StationReadings, cache: Path) -> None:
    path = cache / "http.sqlite"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    with sqlite3.connect(path) as database:
        for (value,) in database.execute("SELECT value FROM responses"):
            assert json.loads(value)["status_code"] in (200, 404)
    database.close()


def test_settings_of_the_session_took_effect(provider: Provider, cache: Path) -> None:
    """requests-cache takes no offence at a setting it doesn't know."""
    from season_engine.weather.http import DAY, MONTH
    from season_engine.weather.station.fetch import Downloads

    with Downloads(cache, NOW) as downloads:
        downloads.get(f"{provider.url}/stations.db", refresh=False)
        settings = downloads._http._session.settings
        assert settings.stale_if_error is True
        assert tuple(settings.allowable_codes) == (200, 404)
        assert settings.expire_after == MONTH
        ((pattern, life),) = settings.urls_expire_after.items()
        assert life == DAY
        assert pattern.search(f"/daily/{NOW.year}/Q0001.csv.gz")
        assert pattern.search(f"/daily/{NOW.year - 1}/Q0001.csv.gz")
        assert not pattern.search(f"/daily/{NOW.year - 2}/Q0001.csv.gz")


def test_nothing_is_logged_at_a_stale_use(
    provider: Provider, cache: Path, stale: StationReadings, capfd: pytest.CaptureFixture[str]
) -> None:
    provider.fault("/daily/", "500")
    read(cache)
    assert capfd.readouterr().err == ""
