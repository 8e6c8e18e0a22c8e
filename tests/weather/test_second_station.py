"""A public station as the second source: for another station's gaps, and for a young logger's past."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.errors import GrowerError, WeatherError
from season_engine.weather.fitness import complete_seasons, refuse_if_poor
from season_engine.weather.notices import SecondNotFetched
from season_engine.weather.series import Weather
from season_engine.weather.station.readings import StationReadings
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from season_engine.workspace.settings import LoggerWeather, StationWeather
from tests.schemas import assert_valid
from tests.test_structure import HEAVY, run_cli
from tests.weather.asked import notes, site_weather, sources, warnings
from tests.weather.conftest import Once
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
from tests.weather.test_station_cli import TREES

RIDGE, BAY = STATIONS[:2]
YEARS = NOW.year - FIRST_YEAR + 1
JUNE = dt.date(YESTERDAY.year - 1, 6, 4), dt.date(YESTERDAY.year - 1, 6, 23)
LATE = YESTERDAY - dt.timedelta(days=20)
PLACE = 'name = "yard"\nlatitude = 45.0\nlongitude = -30.0\nelevation_m = 400\n'
CHECK = ("check", "repotting", "--species", "Pinus thunbergii", "--on", YESTERDAY.isoformat(), "--json")


def with_ridge(provider: Provider, **changes: object) -> None:
    provider.stations = (dataclasses.replace(RIDGE, **changes), *STATIONS[1:])


def weather_of(cache: Path, on: dt.date = YESTERDAY, now: dt.datetime = NOW, **settings: object) -> Weather:
    chosen = StationWeather.model_validate({"source": "station", "station": "nearest", **settings})
    return site_weather(SITE, chosen, folder=cache, cache=cache, on=on, units="degC", now=now)


def refreshed(cache: Path) -> Weather:
    settings = StationWeather(source="station", station="nearest")
    return site_weather(
        SITE, settings, folder=cache, cache=cache, on=YESTERDAY, units="degC", now=NOW, refresh=True
    )


def assert_same(one: Weather, other: Weather) -> None:
    assert one.series.first_day == other.series.first_day
    np.testing.assert_array_equal(one.series.tmin_c, other.series.tmin_c)
    np.testing.assert_array_equal(one.series.tmax_c, other.series.tmax_c)
    np.testing.assert_array_equal(one.observed, other.observed)
    np.testing.assert_array_equal(one.covered, other.covered)
    assert one.faults == other.faults


@pytest.fixture
def gappy(provider: Provider, once: Once, tmp_path: Path) -> Weather:
    """What a first run with a gap in June gave, with its downloads in `tmp_path`."""
    with_ridge(provider, silent=JUNE)
    weather, folder = once(f"gappy {provider.url}", weather_of)
    shutil.copytree(folder, tmp_path, dirs_exist_ok=True)
    provider.counted()
    assert isinstance(weather, Weather)
    return weather


def days_between(weather: Weather, first: dt.date, last: dt.date) -> slice:
    start, stop = ((day - weather.series.first_day).days for day in (first, last))
    return slice(start, stop + 1)


def assert_taken_from_the_bay(weather: Weather, first: dt.date, last: dt.date) -> None:
    """The Bay reads the Ridge's values and 1 degC more, so that in its terms it gives them exactly."""
    part = days_between(weather, first, last)
    assert weather.adjusted is not None and weather.adjusted[part].all() and not weather.observed[part].any()
    taken = np.array([weather.series.tmin_c[part], weather.series.tmax_c[part]]).T
    days = [first + dt.timedelta(days=day) for day in range((last - first).days + 1)]
    expected = np.array([reading(RIDGE, day) for day in days]) + 0.65
    assert np.abs(taken - expected).max() < 0.1


# A station's gaps


def test_a_long_gap_is_bridged_from_the_second_station(provider: Provider, tmp_path: Path) -> None:
    with_ridge(provider, silent=JUNE)
    weather = weather_of(tmp_path)
    assert provider.counted().get(200) == 1 + 2 * (YESTERDAY.year - FIRST_YEAR + 1)
    assert_taken_from_the_bay(weather, *JUNE)
    texts = [fault_text(fault) for fault in weather.faults if fault.first_day == JUNE[0]]
    assert [text.endswith("20 days; taken from the second source, adjusted to this yard.") for text in texts]
    assert weather.station is not None and weather.station.id == "Q0001"
    assert weather.second_station is not None and weather.second_station.id == "Q0002"
    (note,) = notes(weather)
    taken = int(weather.adjusted.sum())
    assert (
        note
        == f"second source: weather station Kettle Bay (Q0002), 33 km away; {taken} days are taken from it"
    )
    assert sources(weather)[2] == (
        "second source: weather station Kettle Bay (Q0002), 33 km away, adjusted here to this yard; "
        "data: Meteostat, licence CC BY 4.0"
    )
    assert weather.warnings == ()
    assert_same(weather_of(tmp_path), weather)
    assert provider.counted() == {}


def test_the_latest_days_are_bridged(provider: Provider, tmp_path: Path) -> None:
    with_ridge(provider, last=LATE)
    weather = weather_of(tmp_path)
    assert (weather.last_reading, weather.data_through) == (LATE, YESTERDAY)
    assert_taken_from_the_bay(weather, LATE + dt.timedelta(days=1), YESTERDAY)
    (warning,) = map(notice_text, refuse_if_poor(weather, SITE, YESTERDAY))
    assert "20 days ago; the days since are the second source's." in warning


def test_days_that_the_grower_drops_are_a_gap(first: StationReadings, cache: Path) -> None:
    days = "/".join(day.isoformat() for day in JUNE)
    assert_taken_from_the_bay(weather_of(cache, drop=[days]), *JUNE)


@pytest.mark.parametrize(
    "changes",
    [
        {"silent": (JUNE[0], JUNE[0] + dt.timedelta(days=4))},
        {"last": YESTERDAY - dt.timedelta(days=1)},  # as seen on a morning before the station's day was over
    ],
    ids=["five days", "a day late"],
)
def test_what_the_days_around_can_fill_asks_nobody_else(
    provider: Provider, tmp_path: Path, changes: dict[str, object]
) -> None:
    with_ridge(provider, **changes)
    weather = weather_of(tmp_path)
    assert (weather.second_station, weather.adjusted, weather.notes) == (None, None, ())
    assert not any("Q0002" in path for path, _status in provider.requests)


def test_a_second_station_adds_no_years_before_the_first_ones(provider: Provider, tmp_path: Path) -> None:
    older = dataclasses.replace(BAY, first=dt.date(FIRST_YEAR - 3, 1, 1))
    provider.stations = (dataclasses.replace(RIDGE, silent=JUNE), older, *STATIONS[2:])
    weather = weather_of(tmp_path)
    assert weather.second_station is not None
    assert weather.series.first_day == dt.date(FIRST_YEAR, 1, 1)


def test_without_a_second_station_all_is_as_before(provider: Provider, tmp_path: Path) -> None:
    provider.stations = (dataclasses.replace(RIDGE, silent=JUNE),)
    weather = weather_of(tmp_path)
    assert (weather.second_station, weather.adjusted, weather.notes) == (None, None, ())
    assert not weather.covered[days_between(weather, *JUNE)].any()
    provider.counted()
    assert_same(weather_of(tmp_path), weather)
    assert provider.counted() == {}


def test_a_station_without_a_file_is_passed_over_and_not_asked_again(
    provider: Provider, tmp_path: Path
) -> None:
    with_ridge(provider, silent=JUNE)
    provider.fault("Q0002", "404")
    weather = weather_of(tmp_path)
    assert weather.second_station is not None and weather.second_station.id == "Q0007"
    assert provider.counted()[404] >= YEARS - 1
    assert_same(weather_of(tmp_path), weather)
    assert provider.counted() == {}
    kept = {path.name for path in tmp_path.glob("station-*.npz")}
    assert kept == {"station-Q0001.npz", "station-Q0002.npz", "station-Q0007.npz"}


def test_offline_with_two_stations_there_is_one_warning(
    provider: Provider, gappy: Weather, tmp_path: Path
) -> None:
    let_time_pass(tmp_path, 2)
    provider.stop()
    offline = weather_of(tmp_path)
    assert_same(offline, gappy)
    (warning,) = warnings(offline)
    assert "Kettle Ridge" in warning and "connection was refused" in warning


def test_trouble_with_the_second_alone_is_told(provider: Provider, gappy: Weather, tmp_path: Path) -> None:
    let_time_pass(tmp_path, 2)
    provider.fault("Q0002", "500")
    later = weather_of(tmp_path)
    assert_same(later, gappy)
    (warning,) = warnings(later)
    assert "Kettle Bay gave nothing new" in warning and "2 days ago" in warning


def test_refresh_asks_for_both_and_once_for_the_directory(
    provider: Provider, gappy: Weather, tmp_path: Path
) -> None:
    assert_same(refreshed(tmp_path), gappy)
    assert provider.counted()[304] == 1 + 2 * (YESTERDAY.year - FIRST_YEAR + 1)


@pytest.mark.parametrize("days_on", [-30, 10, 150], ids=["before the gap", "late in it", "long after"])
def test_later_readings_of_either_station_change_nothing(
    provider: Provider, gappy: Weather, tmp_path: Path, days_on: int
) -> None:
    """Services that end on a day say of it what those that go on do, gaps to come included."""
    on = JUNE[0] + dt.timedelta(days=days_on)
    goes_on = weather_of(tmp_path, on)
    provider.stations = tuple(
        dataclasses.replace(one, last=min(one.last, on)) for one in provider.stations if one.first <= on
    )
    ends = weather_of(tmp_path / "ends", on)
    assert goes_on.data_through == on
    assert (goes_on.second_station is None) == (days_on < 0)
    assert_same(goes_on, ends)
    assert goes_on.notes == ends.notes


def test_a_station_that_fell_silent_years_ago_is_bridged_with_a_warning(
    provider: Provider, tmp_path: Path
) -> None:
    weather = weather_of(tmp_path, station="Q0003")
    assert (weather.last_reading, weather.data_through) == (THREE_YEARS_AGO, YESTERDAY)
    (warning,) = map(notice_text, refuse_if_poor(weather, SITE, YESTERDAY))
    assert "Old Mill" in warning and "the days since are the second source's" in warning
    assert "Better choose another station: Q0001 (Kettle Ridge, 11 km)" in warning


# A logger's past


@pytest.fixture
def logger(first: StationReadings, tmp_path: Path) -> Path:
    """A year of a logger in a hollow near the Ridge: colder nights, warmer days, a hole in spring."""
    start = YESTERDAY - dt.timedelta(days=400)
    lines = ["date,tmin,tmax"]
    for day in (start + dt.timedelta(days=number) for number in range(390)):
        values = reading(RIDGE, day)
        if values is not None and not 200 <= (day - start).days < 212:
            lines.append(f"{day.isoformat()},{values[0] - 2.0:.1f},{values[1] + 1.5:.1f}")
    (tmp_path / "yard.csv").write_text("\n".join(lines) + "\n")
    return tmp_path


def logger_weather(folder: Path, on: dt.date = YESTERDAY, **settings: object) -> Weather:
    chosen = LoggerWeather.model_validate({"source": "logger", "file": "yard.csv", **settings})
    cache = folder / "data_cache"
    return site_weather(SITE, chosen, folder=folder, cache=cache, on=on, units="degC", now=NOW)


def test_a_young_logger_gets_the_stations_years(logger: Path, provider: Provider) -> None:
    alone = logger_weather(logger)
    assert (alone.second_station, alone.adjusted, alone.notes) == (None, None, ())
    with pytest.raises(WeatherError, match="complete season"):
        refuse_if_poor(alone, SITE, YESTERDAY)
    weather = logger_weather(logger, reference_station="nearest")
    assert (weather.series.first_day, weather.data_through) == (dt.date(FIRST_YEAR, 1, 1), YESTERDAY)
    assert len(complete_seasons(weather, SITE)) >= 5
    assert "the days since are the second source's" in notice_text(
        refuse_if_poor(weather, SITE, YESTERDAY)[0]
    )
    past = slice(0, 4 * 365)  # years the logger never saw
    for values, truth, off_c in ((weather.series.tmin_c, 0, -2.0), (weather.series.tmax_c, 1, 1.5)):
        days = weather.series.days[past].tolist()
        expected = [(reading(RIDGE, day) or (np.nan, np.nan))[truth] + off_c for day in days]
        assert np.nanmean(np.abs(values[past] - expected)) < 0.1
    (note,) = notes(weather)
    assert note.startswith("reference weather station Kettle Ridge (Q0001), 11 km away: learnt from 3")
    assert sources(weather) == (
        "logger file yard.csv",
        "second source: weather station Kettle Ridge (Q0001), 11 km away, adjusted here to this yard; "
        "data: Meteostat, licence CC BY 4.0",
    )
    assert provider.counted() == {}


def test_a_reference_station_by_its_id(logger: Path, provider: Provider) -> None:
    weather = logger_weather(logger, reference_station="q0002")
    assert weather.second_station is not None and weather.second_station.id == "Q0002"
    with pytest.raises(GrowerError, match="Q4711") as caught:
        logger_weather(logger, reference_station="Q4711")
    assert caught.value.field == "site.weather.reference_station"
    with pytest.raises(GrowerError) as caught:
        logger_weather(logger, reference_station="../Q0001")
    assert caught.value.field == "site.weather.reference_station"
    assert 'reference_station = "nearest"' in caught.value.hint


def test_a_reference_station_out_of_reach(logger: Path, provider: Provider) -> None:
    online = logger_weather(logger, reference_station="nearest")
    let_time_pass(logger / "data_cache", 2)
    provider.stop()
    offline = logger_weather(logger, reference_station="nearest")
    assert_same(offline, online)
    (warning,) = warnings(offline)
    assert "Kettle Ridge" in warning and "connection was refused" in warning
    shutil.rmtree(logger / "data_cache")
    with pytest.raises(WeatherError, match="connection was refused"):
        logger_weather(logger, reference_station="nearest")


def test_later_readings_of_a_reference_station_change_nothing(logger: Path, provider: Provider) -> None:
    on = YESTERDAY - dt.timedelta(days=90)
    goes_on = logger_weather(logger, on, reference_station="nearest")
    header, *rows = (logger / "yard.csv").read_text().splitlines()
    kept = [header, *(row for row in rows if row[:10] <= on.isoformat())]
    (logger / "yard.csv").write_text("\n".join(kept) + "\n")
    shutil.rmtree(logger / "data_cache")
    provider.stations = tuple(dataclasses.replace(one, last=on) for one in STATIONS if one.last > on)
    ends = logger_weather(logger, on, reference_station="nearest")
    assert_same(goes_on, ends)
    assert goes_on.notes == ends.notes


# On the command line


def call(yard: Path, *arguments: str) -> Result:
    result = CliRunner().invoke(main, [*arguments, "--workspace", str(yard)])
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result


def assert_warm_check_is_light(yard: Path, provider: Provider) -> None:
    provider.counted()
    done, imported = run_cli(yard, *CHECK)
    assert done.returncode in {0, 10, 11, 13}, done.stderr
    assert any(text.startswith("second source: weather") for text in json.loads(done.stdout)["sources"])
    assert imported & (HEAVY | {"urllib3"}) == set()
    assert provider.counted() == {}


def test_a_bridged_station_in_the_report_and_warm(provider: Provider, tmp_path: Path) -> None:
    with_ridge(provider, last=LATE)
    settings = f'[[site]]\n{PLACE}[site.weather]\nsource = "station"\nstation = "nearest"\n'
    (tmp_path / "season.toml").write_text(settings)
    (tmp_path / "trees.csv").write_text(TREES)
    on = ("--on", YESTERDAY.isoformat())
    assert call(tmp_path, "report", "--out", str(tmp_path / "out"), *on).exit_code == 0
    (page,) = (tmp_path / "out").glob("*/report.txt")
    text = " ".join(page.read_text("utf-8").split())
    assert "Second source: weather station Kettle Bay (Q0002), 33 km away; 20 days are taken" in text
    assert "adjusted here to this yard; data: Meteostat, licence CC BY 4.0" in text
    assert_warm_check_is_light(tmp_path, provider)


def test_a_logger_with_a_reference_station_in_words_and_warm(logger: Path, provider: Provider) -> None:
    weather = 'source = "logger"\nfile = "yard.csv"\nreference_station = "nearest"\n'
    (logger / "season.toml").write_text(f"[[site]]\n{PLACE}[site.weather]\n{weather}")
    on = ("--on", YESTERDAY.isoformat())
    text = call(logger, "weather", *on).stdout
    assert "Reference weather station Kettle Ridge (Q0001), 11 km away: learnt from" in text
    assert "data: Meteostat, licence CC BY 4.0" in text
    document = json.loads(call(logger, "weather", "--json", *on).stdout)
    assert_valid(document, "weather")
    shown = document["sites"][0]["weather"]
    assert (shown["station"], shown["second_station"]["id"]) == (None, "Q0001")
    assert_warm_check_is_light(logger, provider)


def test_a_reference_is_a_file_or_a_station(tmp_path: Path) -> None:
    both = 'source = "logger"\nfile = "yard.csv"\nreference = "a.csv"\nreference_station = "nearest"\n'
    (tmp_path / "season.toml").write_text(f"[[site]]\n{PLACE}[site.weather]\n{both}")
    result = call(tmp_path, "weather")
    assert result.exit_code == 2
    assert "season.toml" in result.stderr and "line 10" in result.stderr
    assert "give reference or reference_station, not both" in " ".join(result.stderr.split())


def test_years_of_ones_own_go_on_without_a_station_that_can_t_be_fetched(
    provider: Provider, impatient: None, tmp_path: Path
) -> None:
    """A record of seven years needs no other; one of a year does, and the network's fault is told."""
    for years, enough in ((7, True), (1, False)):
        folder = tmp_path / str(years)
        folder.mkdir()
        days = [YESTERDAY - dt.timedelta(days=number) for number in range(years * 365, 0, -1)]
        values = [(day, reading(RIDGE, day)) for day in days]
        lines = [f"{day.isoformat()},{one[0]:.1f},{one[1]:.1f}" for day, one in values if one is not None]
        (folder / "yard.csv").write_text("\n".join(["date,tmin,tmax", *lines]) + "\n")
        provider.fault("", "500")
        if enough:
            weather = logger_weather(folder, reference_station="nearest")
            (told,) = (notice_text(one) for one in weather.warnings if isinstance(one, SecondNotFetched))
            cause = "the service answered with error 500"
            assert told == f"The second source could not be fetched ({cause}); your own years are used alone."
            assert_same(weather, logger_weather(folder))
        else:
            with pytest.raises(WeatherError, match="can't be fetched: the service answered with error 500"):
                logger_weather(folder, reference_station="nearest")
