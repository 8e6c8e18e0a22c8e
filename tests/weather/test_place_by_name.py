"""A place found by the name of a weather station."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from season_engine.errors import GrowerError, WeatherError
from season_engine.weather.station.by_name import places_called
from tests.terminal import typed
from tests.weather.provider import NOW, Fault, Listed, Provider


def test_all_words_must_be_in_the_name_and_short_names_come_first(provider: Provider, tmp_path: Path) -> None:
    assert [one.station for one in places_called("kettle", tmp_path, NOW)][:2] == ["Q0002", "Q0005"]
    (one,) = places_called("  OLD-mill kettle", tmp_path, NOW)
    assert (one.name, one.latitude, one.elevation_m) == ("Kettle Old Mill", 45.01, 400)
    assert len(provider.requests) == 1, "the directory is fetched once"


def test_accents_may_be_left_out(provider: Provider, tmp_path: Path) -> None:
    provider.stations = (Listed("Q0001", "Kesselmühle", 45.1, -30.0, None),)
    (one,) = places_called("kesselmuhle", tmp_path, NOW)
    assert (one.name, one.elevation_m) == ("Kesselmühle", None)


def test_an_unknown_name_and_a_silent_service_are_told(provider: Provider, tmp_path: Path) -> None:
    with pytest.raises(GrowerError, match="Try a larger town"):
        places_called("Atlantis", tmp_path, NOW)
    provider.faults.append(Fault("stations.db", "500"))
    with pytest.raises(WeatherError, match="can't be fetched"):
        places_called("kettle", tmp_path / "new", NOW)


def test_a_place_is_found_by_a_station_s_name(tmp_path: Path, provider: Provider) -> None:
    at = {"BROWSER": "true", "NO_COLOR": "1", "SEASON_ENGINE_WEATHER_URL": provider.url}
    answers = ["kettle ridge", "1", "", "y", "a black pine", "y", ""]
    code, told = typed(["init", "yard"], answers, folder=tmp_path, environment=at)
    assert code == 0, told
    assert "1  Kettle Ridge, XX (45.1, -30.0, 500 m)" in told
    (site,) = tomllib.loads((tmp_path / "yard" / "season.toml").read_text("utf-8"))["site"]
    assert (site["latitude"], site["longitude"], site["elevation_m"]) == (45.1, -30.0, 500)
    assert site["weather"] == {"source": "station", "station": "nearest"}
    assert "Weather station Kettle Ridge (Q0001)" in told
