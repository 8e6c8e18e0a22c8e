"""The weather service of provider.py for every test here that asks for it."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache as cache_of
from pathlib import Path
from typing import Any

import pytest

from season_engine.weather import http
from season_engine.weather.sources.source import Retrieval
from season_engine.weather.station import fetch
from season_engine.weather.station.provider import URL_VARIABLE, read_year
from season_engine.weather.station.readings import StationReadings, read_station
from tests.weather.provider import NOW, SITE, YESTERDAY, Provider, let_time_pass


@pytest.fixture(scope="session")
def service() -> Iterator[Provider]:
    """One service at one address, so that what was fetched from it once can be handed to many tests."""
    running = Provider().start()
    yield running
    if not running.stopped.is_set():
        running.stop()


read_year_once = cache_of(read_year)


@pytest.fixture
def provider(service: Provider, monkeypatch: pytest.MonkeyPatch) -> Iterator[Provider]:
    service.as_new()
    monkeypatch.setenv(URL_VARIABLE, service.url)
    patience = http.Patience(retries=2, backoff_s=0.01)
    monkeypatch.setattr(http, "PATIENCE", patience)
    # A file's values follow from its bytes alone, and are most of the work: the same bytes are read once.
    monkeypatch.setattr(fetch, "read_year", read_year_once)
    yield service
    if not service.stopped.is_set():
        service.let_go()


@pytest.fixture
def impatient(provider: Provider, monkeypatch: pytest.MonkeyPatch) -> None:
    """So little patience that a test of it is short, and yet enough for a busy machine."""
    patience = replace(http.PATIENCE, read_s=0.9, whole_s=0.9)
    monkeypatch.setattr(http, "PATIENCE", patience)


Once = Callable[[str, Callable[[Path], Any]], tuple[Any, Path]]


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> Once:
    """What a function gave and left in a folder, made once by its name and to be copied from there."""
    made: dict[str, tuple[Any, Path]] = {}

    def get(name: str, make: Callable[[Path], Any]) -> tuple[Any, Path]:
        if name not in made:
            folder = tmp_path_factory.mktemp("once")
            made[name] = make(folder), folder
        return made[name]

    return get


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "data_cache"


@pytest.fixture
def first(provider: Provider, cache: Path, once: Once) -> StationReadings:
    """What a first run gave, with its downloads in `cache`."""

    def run(folder: Path) -> StationReadings:
        return read_station(SITE, "nearest", Retrieval(folder, YESTERDAY, NOW))

    readings, folder = once(f"first {provider.url}", run)
    shutil.copytree(folder, cache)
    provider.counted()
    assert isinstance(readings, StationReadings)
    return readings


@pytest.fixture
def stale(first: StationReadings, cache: Path) -> StationReadings:
    """What a first run gave; two days have passed since, so that the current years are due."""
    let_time_pass(cache, 2)
    return first
