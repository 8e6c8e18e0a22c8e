"""A site's weather from its settings, cut at today and kept for the next time."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from season_engine.errors import WeatherError
from season_engine.site import Site
from season_engine.weather.fitness import complete_seasons, refuse_if_poor
from season_engine.weather.logger import cache as cache_module
from season_engine.weather.logger.cache import cache_name, read_logger_cached
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.reading import LoggerRecord, read_record
from season_engine.weather.series import Weather
from season_engine.weather.sources.origins import InventedOrigin, LoggerOrigin
from season_engine.workspace.settings import DemoWeather, LoggerWeather
from tests.weather.asked import site_weather

JAPAN = Path(__file__).parents[1] / "data" / "japan"
ON = dt.date(2025, 12, 31)
RIDGE = Site("ridge", 36.66, 138.19)


@pytest.fixture
def workspace(tmp_path: Path) -> Path:
    """With readings from 1994 on, which are sooner read than all fifty years."""
    head, *rows = (JAPAN / "nagano.csv").read_text("utf-8").splitlines()
    late = [row for row in rows if row >= "1994"]
    (tmp_path / "ridge.csv").write_text("\n".join([head, *late]) + "\n", "utf-8")
    return tmp_path


def from_logger(workspace: Path, on: dt.date = ON, units: str = "degC") -> Weather:
    logger = LoggerWeather(source="logger", file="ridge.csv")
    return site_weather(RIDGE, logger, folder=workspace, cache=workspace / "data_cache", on=on, units=units)


def test_logger(tmp_path: Path) -> None:
    shutil.copy(JAPAN / "nagano.csv", tmp_path / "ridge.csv")
    weather = from_logger(tmp_path)
    assert (weather.source, weather.invented) == (LoggerOrigin("ridge.csv"), False)
    assert weather.data_through == ON
    # Nagano's record lacks two daily maxima and has no streak or spike.
    assert [fault.kind for fault in weather.faults] == ["gap", "gap"]
    assert (~weather.observed).sum() == 2
    assert not np.isnan(weather.series.tmax_c).any()
    assert refuse_if_poor(weather, RIDGE, ON) == ()
    assert len(complete_seasons(weather, RIDGE)) == 49


def test_nothing_after_today_is_used(workspace: Path) -> None:
    on = dt.date(2003, 2, 14)
    weather = from_logger(workspace, on)
    path = workspace / "ridge.csv"
    lines = path.read_text().splitlines()
    path.write_text("\n".join([lines[0], *(line for line in lines[1:] if line[:10] <= on.isoformat())]))
    cut = from_logger(workspace, on)
    np.testing.assert_array_equal(weather.series.tmin_c, cut.series.tmin_c)
    np.testing.assert_array_equal(weather.series.tmax_c, cut.series.tmax_c)
    assert (weather.faults, weather.data_through) == (cut.faults, on)


def test_before_the_first_reading_there_is_no_weather(workspace: Path) -> None:
    with pytest.raises(WeatherError, match=r"ridge: .*ridge\.csv.*1993-12-31"):
        from_logger(workspace, dt.date(1993, 12, 31))


def test_a_logger_has_units_of_its_own(workspace: Path) -> None:
    (workspace / "ridge.csv").write_text("date,tmin,tmax\n2025-12-30,32,50\n2025-12-31,32,50\n")
    assert from_logger(workspace, units="degF").series.tmax_c.tolist() == [10.0, 10.0]
    logger = LoggerWeather(source="logger", file="ridge.csv", units="degF")
    own = site_weather(RIDGE, logger, folder=workspace, cache=workspace, on=ON, units="degC")
    assert own.series.tmax_c.tolist() == [10.0, 10.0]


def test_demo_by_hemisphere_or_by_name(tmp_path: Path) -> None:
    def demo(latitude: float, climate: str | None = None) -> Weather:
        settings = DemoWeather.model_validate({"source": "demo", "climate": climate})
        site = Site("yard", latitude, 0.0)
        return site_weather(site, settings, folder=tmp_path, cache=tmp_path, on=ON, units="degC")

    north, south = demo(51.5), demo(-38.0)
    assert north.invented and north.source == InventedOrigin()
    assert north.series.tmin_c.min() < south.series.tmin_c.min()
    np.testing.assert_array_equal(demo(-38.0, "cool-inland-north").series.tmin_c, north.series.tmin_c)
    assert not any(tmp_path.iterdir())


@pytest.mark.parametrize("latitude", [51.5, -38.0])
def test_the_demo_is_never_too_poor(tmp_path: Path, latitude: float) -> None:
    site, settings = Site("yard", latitude, 0.0), DemoWeather(source="demo")
    for week in range(0, 30 * 52, 59):  # each time of year comes round
        on = dt.date(1999, 1, 4) + dt.timedelta(weeks=week)
        refuse_if_poor(
            site_weather(site, settings, folder=tmp_path, cache=tmp_path, on=on, units="degC"), site, on
        )


# The cache


def read(workspace: Path, **options: Any) -> object:
    kept_as = options.pop("site", "ridge")
    read = read_logger_cached(
        [workspace / "ridge.csv"], cache=workspace / "data_cache", kept_as=kept_as, how=ReadAs(**options)
    )
    series = read.daily
    return read.form, series.first_day, series.tmin_c.tobytes(), series.tmax_c.tobytes()


@pytest.fixture
def parsings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The file of each parsing, in order."""
    calls: list[str] = []
    parse = cache_module.record_of

    def counted(files: Sequence[tuple[str, bytes]], *settings: object) -> LoggerRecord:
        calls.append(files[0][0])
        return parse(files, *settings)

    monkeypatch.setattr(cache_module, "record_of", counted)
    return calls


def test_an_unchanged_file_is_parsed_once(workspace: Path, parsings: list[str]) -> None:
    fresh, kept = read(workspace), read(workspace)
    plain = read_record([workspace / "ridge.csv"])
    daily = plain.daily
    assert fresh == kept == (plain.form, daily.first_day, daily.tmin_c.tobytes(), daily.tmax_c.tobytes())
    assert len(parsings) == 1
    os.utime(workspace / "ridge.csv", (0, 0))  # content counts, not its date
    read(workspace)
    assert len(parsings) == 1


def test_another_file_or_way_of_reading_is_parsed_anew(workspace: Path, parsings: list[str]) -> None:
    read(workspace)
    read(workspace, date_format="%Y-%m-%d")
    with (workspace / "ridge.csv").open("a") as file:
        file.write("2026-01-01,-3.0,4.0\n")
    grown = read(workspace, date_format="%Y-%m-%d")
    assert grown == read(workspace, date_format="%Y-%m-%d")
    assert len(parsings) == 3
    assert read(workspace, date_format="%Y-%m-%d", units="degF") != grown
    assert len(parsings) == 4
    assert len(list((workspace / "data_cache").iterdir())) == 1


@pytest.mark.parametrize("damage", [b"", b"PK\x03\x04 nonsense", None])
def test_a_damaged_cache_is_built_again(workspace: Path, parsings: list[str], damage: bytes | None) -> None:
    fresh = read(workspace)
    (kept,) = (workspace / "data_cache").iterdir()
    kept.write_bytes(kept.read_bytes()[: kept.stat().st_size // 2] if damage is None else damage)
    assert read(workspace) == fresh
    assert read(workspace) == fresh
    assert len(parsings) == 2


class Trap:
    """Leaves a file behind when it is unpickled."""

    def __init__(self, mark: Path) -> None:
        self.mark = mark

    def __reduce__(self) -> tuple[object, ...]:
        return os.mkdir, (str(self.mark),)


def test_pickled_objects_are_never_loaded(workspace: Path, parsings: list[str]) -> None:
    fresh = read(workspace)
    (kept,) = (workspace / "data_cache").iterdir()
    with np.load(kept) as archive:
        content = dict(archive)
    content["tmin_c"] = np.array([Trap(workspace / "sprung")], dtype=object)
    np.savez(kept, **content)
    assert read(workspace) == fresh
    assert len(parsings) == 2
    assert not (workspace / "sprung").exists()


def test_an_unwritable_cache_costs_nothing_but_time(workspace: Path, parsings: list[str]) -> None:
    (workspace / "data_cache").write_text("a file where a folder should be")
    assert read(workspace) == read(workspace)
    assert len(parsings) == 2


@pytest.mark.parametrize(
    "name", ["../../etc/ridge", 'a "quoted" ridge', "bay/ridge", "尾根", "x" * 60, ".", "con"]
)
def test_any_site_name_makes_a_safe_file_name(name: str) -> None:
    made = cache_name(name)
    assert set(made) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.") and made.count(".") == 1
    assert len(made) < 80


def test_like_names_have_files_of_their_own() -> None:
    assert len({cache_name(name) for name in ("ridge", "Ridge", "ridge ", "ridge!", "尾根", "稜線")}) == 6


def test_a_warm_cache_needs_no_heavy_library(workspace: Path) -> None:
    from_logger(workspace)
    code = f"""
import datetime as dt, sys
from pathlib import Path
from season_engine.site import Site
from season_engine.weather.logger import cache
from season_engine.weather.sources.logger_file import LoggerFile, ReadingsFile
from season_engine.weather.sources.source import Retrieval
cache.record_of = None
folder = Path({str(workspace)!r})
logger = LoggerFile(ReadingsFile(folder, "ridge.csv"))
logger.read(Site("ridge", 36.66, 138.19), Retrieval(folder / "data_cache", dt.date(2025, 12, 31)))
print(*({{"pandas", "requests", "meteostat", "sklearn", "matplotlib"}} & set(sys.modules)))
"""
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stdout.strip() == ""


def test_a_pattern_names_files_that_are_one_record(workspace: Path) -> None:
    header, *rows = (workspace / "ridge.csv").read_text("utf-8").splitlines()
    (workspace / "months").mkdir()
    for name, part in (("b.csv", rows[5000:]), ("a.csv", rows[:5400]), ("notes.txt", ["mine"])):
        (workspace / "months" / name).write_text("\n".join([header, *part]), "utf-8")
    settings = LoggerWeather.model_validate({"source": "logger", "file": "months/*.csv"})
    whole = site_weather(
        RIDGE, settings, folder=workspace, cache=workspace / "data_cache", on=ON, units="degC"
    )
    alone = from_logger(workspace)
    np.testing.assert_array_equal(whole.series.tmin_c, alone.series.tmin_c)
    assert whole.form is not None and whole.form.files == ("a.csv", "b.csv")
    settings = LoggerWeather.model_validate({"source": "logger", "file": "months/*.dat"})
    with pytest.raises(WeatherError, match="no file matches this pattern"):
        site_weather(RIDGE, settings, folder=workspace, cache=workspace / "data_cache", on=ON, units="degC")


def test_settings_of_the_file_reach_the_reader(workspace: Path) -> None:
    rows = (workspace / "ridge.csv").read_text("utf-8").splitlines()
    (workspace / "odd.csv").write_text("\n".join(["when,low one,high one", *rows[1:]]), "utf-8")
    settings = {"source": "logger", "file": "odd.csv", "columns": {"date": 1, "tmin": "low one", "tmax": 3}}
    weather = site_weather(
        RIDGE,
        LoggerWeather.model_validate(settings),
        folder=workspace,
        cache=workspace / "data_cache",
        on=ON,
        units="degC",
    )
    np.testing.assert_array_equal(weather.series.tmax_c, from_logger(workspace).series.tmax_c)
