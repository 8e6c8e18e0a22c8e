"""A yard's own young record beside a longer one from near by, as settings name it."""

from __future__ import annotations

import datetime as dt
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from season_engine.errors import WeatherError
from season_engine.site import Site
from season_engine.weather.fitness import complete_seasons, refuse_if_poor
from season_engine.weather.logger.reading import read_logger
from season_engine.weather.series import Weather
from season_engine.weather.shares import shares
from season_engine.words.weather_notices import notice_text
from season_engine.workspace.settings import LoggerWeather
from tests.weather.asked import fault_texts, notes, site_weather

JAPAN = Path(__file__).parents[1] / "data" / "japan"
RIDGE = Site("ridge", 36.66, 138.19)
STARTED, ON = "2024-12-01", dt.date(2025, 12, 31)


@pytest.fixture
def workspace(tmp_path: Path) -> Path:
    """Thirteen months of a logger that fell silent in the last fortnight, and fifty years of a neighbour."""
    shutil.copy(JAPAN / "takayama.csv", tmp_path / "valley.csv")
    header, *rows = (JAPAN / "nagano.csv").read_text("utf-8").splitlines()
    kept = [row for row in rows if STARTED <= row[:10] < "2025-12-18" and not row.startswith("2025-06-1")]
    (tmp_path / "ridge.csv").write_text("\n".join([header, *kept]) + "\n", encoding="utf-8")
    return tmp_path


def weather_of(workspace: Path, on: dt.date = ON, **settings: object) -> Weather:
    chosen = LoggerWeather.model_validate({"source": "logger", "file": "ridge.csv", **settings})
    return site_weather(RIDGE, chosen, folder=workspace, cache=workspace / "data_cache", on=on, units="degC")


def test_a_young_logger_gets_the_neighbours_decades(workspace: Path) -> None:
    with pytest.raises(WeatherError, match="complete season"):
        refuse_if_poor(weather_of(workspace), RIDGE, ON)
    weather = weather_of(workspace, reference="valley.csv")
    assert (weather.series.first_day, weather.data_through) == (dt.date(1976, 1, 1), ON)
    assert weather.last_reading == dt.date(2025, 12, 17)
    assert len(complete_seasons(weather, RIDGE)) == 49
    assert tuple(map(notice_text, refuse_if_poor(weather, RIDGE, ON))) == (
        "ridge: the logger file ridge.csv ends on 17 December 2025, 14 days ago; "
        "the days since are the second source's.",
    )
    days = fault_texts(weather, "gap")
    assert any("10 days; taken from the second source" in text for text in days)
    assert any("since the last one for 14 days; taken from the second source" in text for text in days)
    truth, raw = (read_logger(JAPAN / f"{name}.csv") for name in ("nagano", "takayama"))
    for mended, true, near in (
        (weather.series.tmin_c, truth.tmin_c, raw.tmin_c),
        (weather.series.tmax_c, truth.tmax_c, raw.tmax_c),
    ):
        before = slice(0, 40 * 365)  # decades the logger never saw
        off, as_it_comes = (np.nanmean(np.abs(guess - true)[before]) for guess in (mended, near))
        assert off < as_it_comes
    (note,) = notes(weather)
    assert note.startswith("reference valley.csv: learnt from 37")
    assert "on days that learning left out" in note


def test_shares_tell_what_was_read_and_what_was_borrowed(workspace: Path) -> None:
    weather = weather_of(workspace, reference="valley.csv")
    june = shares(weather, dt.date(2025, 6, 1), dt.date(2025, 6, 30))
    assert (june.days, june.observed, june.adjusted, june.filled) == (30, 20 / 30, 10 / 30, 0.0)
    assert shares(weather, last_day=dt.date(1980, 1, 1)).observed == 0.0
    assert shares(weather, dt.date(2030, 1, 1)).days == 0


def test_later_readings_of_the_reference_change_nothing(workspace: Path) -> None:
    on = dt.date(2025, 9, 1)
    whole = weather_of(workspace, on, reference="valley.csv")
    for name in ("valley.csv", "ridge.csv"):
        header, *rows = (workspace / name).read_text("utf-8").splitlines()
        kept = [header, *(row for row in rows if row[:10] <= on.isoformat())]
        (workspace / name).write_text("\n".join(kept) + "\n", encoding="utf-8")
    shutil.rmtree(workspace / "data_cache")
    cut = weather_of(workspace, on, reference="valley.csv")
    np.testing.assert_array_equal(whole.series.tmin_c, cut.series.tmin_c)
    np.testing.assert_array_equal(whole.series.tmax_c, cut.series.tmax_c)
    assert (whole.faults, whole.notes) == (cut.faults, cut.notes)


def test_what_the_grower_keeps_and_drops_is_kept_and_dropped(workspace: Path) -> None:
    path = workspace / "ridge.csv"
    rows = path.read_text("utf-8").splitlines()
    at = next(place for place, row in enumerate(rows) if row.startswith("2025-03-04"))
    rows[at] = "2025-03-04,2.0,38.5"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    day = dt.date(2025, 3, 4)
    place = (day - dt.date.fromisoformat(STARTED)).days

    flagged = weather_of(workspace)
    assert [(fault.kind, fault.first_day) for fault in flagged.faults if fault.kind != "gap"] == [
        ("spike", day)
    ]
    assert flagged.series.tmax_c[place] < 30
    kept = weather_of(workspace, keep=["2025-03-04"])
    assert kept.series.tmax_c[place] == 38.5 and kept.observed[place]
    assert [text.endswith("kept, as season.toml says.") for text in fault_texts(kept, "spike")] == [True]
    dropped = weather_of(workspace, drop=["2025-03-04", "2025-04-01/2025-04-03"])
    assert [(fault.kind, fault.first_day.day, fault.last_day.day) for fault in dropped.faults[:2]] == [
        ("dropped", 4, 4),
        ("dropped", 1, 3),
    ]
    assert not dropped.observed[place]


def test_a_warm_cache_learns_nothing_again(workspace: Path) -> None:
    first = weather_of(workspace, reference="valley.csv")
    code = f"""
import datetime as dt, sys
from pathlib import Path
from season_engine.site import Site
from season_engine.weather.sources.logger_file import LoggerFile, ReadingsFile
from season_engine.weather.sources.second_source import SecondFile
from season_engine.weather.sources.source import Retrieval
folder = Path({str(workspace)!r})
logger = LoggerFile(ReadingsFile(folder, "ridge.csv"), SecondFile(ReadingsFile(folder, "valley.csv")))
weather = logger.read(Site("ridge", 36.66, 138.19), Retrieval(folder / "data_cache", dt.date(2025, 12, 31)))
print(weather.series.tmin_c.sum().item(), *({{"pandas", "requests", "sklearn"}} & set(sys.modules)))
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == [str(first.series.tmin_c.sum().item())]
