"""Reading stations' files, and mending their temperatures without looking ahead."""

from __future__ import annotations

import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.errors import GrowerError
from season_engine.site import Season
from season_engine.verify.mending import mended
from season_engine.verify.notes import (
    DatesTooFarApart,
    NoEvent,
    NoTemperatures,
    SeasonsWithGaps,
    ShortRecord,
    UnusableTemperatures,
)
from season_engine.verify.observations import Observations, read_observations
from season_engine.verify.station_files import Event, UnlistedSites
from season_engine.weather.series import DailySeries
from tests.yards import KAGOSHIMA, STATIONS, readings

TWELVE = STATIONS / "twelve"
FLOWERS = Event("Prunus x yedoensis", 61)
FIRST = dt.date(2000, 1, 1)


def write(folder: Path, *, sites: str = "", weather: str = "", events: str = "", years: int = 8) -> Path:
    """A yard with so many years of invented days, and lines put after those that are right."""
    days = [FIRST + dt.timedelta(days=day) for day in range(365 * years)]
    rows = [f"A,{day},{5 + day.month / 7:.1f},{15 + day.day / 9:.1f}" for day in days]
    (folder / "sites.csv").write_text(f"site,latitude,longitude,elevation\nA,50,10,100\n{sites}", "utf-8")
    (folder / "weather.csv").write_text("site,date,tmin,tmax\n" + "\n".join(rows) + f"\n{weather}", "utf-8")
    (folder / "events.csv").write_text(f"site,species,bbch,date\nA,Acer,10,2003-04-02\n{events}", "utf-8")
    return folder


def read(folder: Path, train_until: int = 2004) -> Observations:
    return read_observations(folder / "sites.csv", folder / "weather.csv", folder / "events.csv", train_until)


def test_the_stations_are_read_whole() -> None:
    files = (TWELVE / name for name in ("sites.csv", "weather.csv.gz", "events.csv"))
    found = read_observations(*files, 2005)
    assert found.notes == ()
    assert {event.species: len(records) for event, records in found.records.items()} == {
        "Prunus mume": 12,
        "Prunus x yedoensis": 12,
        "Wisteria floribunda": 12,
    }
    tokyo = next(record for record in found.records[FLOWERS] if record.site.name == "Tokyo")
    assert tokyo.site.elevation_m == 25
    assert tokyo.series.first_day == dt.date(1976, 1, 1)
    # events.csv: Tokyo, Prunus x yedoensis, 1956-03-26; day 0 is 1 October, without 29 February
    assert tokyo.observed[1955] == 176
    kagoshima = next(record for record in found.records[FLOWERS] if record.site.name == "Kagoshima")
    raw = readings(KAGOSHIMA)
    read_day = ~np.isnan(raw.tmin_c)
    assert np.array_equal(kagoshima.series.tmin_c[read_day], raw.tmin_c[read_day])
    assert not np.isnan([kagoshima.series.tmin_c, kagoshima.series.tmax_c]).any()


def test_gzip_semicolons_and_missing_words(tmp_path: Path) -> None:
    write(tmp_path, weather="A,2007-12-31,NA,-999\n\n,,,\n")
    text = (tmp_path / "weather.csv").read_text("utf-8").replace(",", ";")
    (tmp_path / "weather.csv").write_bytes(gzip.compress(("\ufeff" + text).encode()))
    (record,) = read(tmp_path).records[Event("Acer", 10)]
    assert record.observed == {2002: 183.0}
    assert record.series.last_day == FIRST + dt.timedelta(days=365 * 8 - 1)


@pytest.mark.parametrize(
    ("part", "line", "said"),
    [
        ("weather", "A,2008-13-01,1,2", 'weather.csv, line 2922, date: "2008-13-01" is not a date'),
        ("weather", "A,2008-02-30,1,2", 'weather.csv, line 2922, date: "2008-02-30" is not a date'),
        ("weather", "A,2001-05-06,1,2", "weather.csv, line 2922, date: This site has readings of 2001-05-06"),
        ("weather", "A,2008-01-01,warm,2", 'weather.csv, line 2922, tmin: "warm" is not a number'),
        ("weather", "A,2008-01-01,1,85", "weather.csv, line 2922, tmax: 85.0 degC is beyond anything"),
        ("weather", ",2008-01-01,1,2", "weather.csv, line 2922, site: The site is missing"),
        ("weather", "A,2008-01-01,1,2,3", "weather.csv, line 2922: This line can't be read"),
        (
            "events",
            "A,Acer,10,2003-05-02",
            "events.csv, line 3, date: This event has a date in the season 2002/03",
        ),
        ("events", "A,Acer,100,2005-05-02", "events.csv, line 3, bbch: bbch must be a whole number"),
        (
            "events",
            f"A,Acer,{'9' * 5_000},2005-05-02",
            "events.csv, line 3, bbch: bbch must be a whole number",
        ),
        ("events", "A,,10,2005-05-02", "events.csv, line 3, species: species is empty"),
        ("events", "A,Acer,10,May 2005", "events.csv, line 3, date: date must be a date"),
        ("sites", "B,91,10,5", "sites.csv, line 3, latitude: latitude must be a number from -90 to 90"),
        ("sites", "a,50,10,5", 'sites.csv, line 3, site: The site "a" is on line 2 already'),
    ],
)
def test_faults_name_file_line_and_field(tmp_path: Path, part: str, line: str, said: str) -> None:
    write(tmp_path, **{part: f"{line}\n"})
    with pytest.raises(GrowerError) as error:
        read(tmp_path)
    assert said in str(error.value)
    assert str(tmp_path) in str(error.value)


def test_a_wrong_header_is_refused(tmp_path: Path) -> None:
    write(tmp_path)
    (tmp_path / "weather.csv").write_text("site,date,tmin,tmx\nA,2001-01-01,1,2\n", "utf-8")
    with pytest.raises(GrowerError, match=r'"tmx" is not a known column. Did you mean "tmax"'):
        read(tmp_path)


def test_damaged_or_missing_files_are_told(tmp_path: Path) -> None:
    write(tmp_path)
    (tmp_path / "weather.csv").write_bytes(gzip.compress(b"site,date,tmin,tmax\n" * 999)[:40])
    with pytest.raises(GrowerError, match="damaged"):
        read(tmp_path)
    (tmp_path / "weather.csv").unlink()
    with pytest.raises(GrowerError, match="does not exist"):
        read(tmp_path)


def test_what_is_left_out_is_said(tmp_path: Path) -> None:
    write(
        tmp_path,
        sites="B,50,11,\nC,50,12,\nDale,50,13,\n",
        weather="X,2001-01-01,1,2\nDale,2001-01-01,,2\nZ,2001-01-01,1,2\nX,2001-01-02,1,2\n",
        events="Dalle,Acer,10,2003-04-04\nB,Acer,10,2003-04-04\nDale,Acer,10,2003-04-04\n",
    )
    assert read(tmp_path).notes == (
        UnlistedSites(tmp_path / "events.csv", 1, ("Dalle",), "Dale"),
        UnlistedSites(tmp_path / "weather.csv", 3, ("X", "Z")),
        NoTemperatures("B"),
        NoEvent("C"),
        UnusableTemperatures("Dale", "there is no usable reading."),
    )


def test_dates_on_both_sides_of_the_seasons_start_are_left_out(tmp_path: Path) -> None:
    write(tmp_path, events="A,Acer,10,2004-10-05\nA,Acer,10,2006-04-20\nA,Acer,65,2004-05-05\n")
    found = read(tmp_path)
    assert found.notes == (DatesTooFarApart("A", Event("Acer", 10)),)
    assert list(found.records) == [Event("Acer", 65)]


def test_too_short_a_record_is_left_out(tmp_path: Path) -> None:
    write(tmp_path, years=4)
    found = read(tmp_path)
    assert found.records == {}
    assert found.notes == (ShortRecord("A", 5),)


def test_a_season_with_too_many_gaps_is_left_out(tmp_path: Path) -> None:
    write(tmp_path, events="A,Acer,10,2006-04-02\n")
    lines = (tmp_path / "weather.csv").read_text("utf-8").splitlines()
    kept = [line for line in lines if not line.startswith(("A,2006-01", "A,2005-12"))]
    (tmp_path / "weather.csv").write_text("\n".join(kept), "utf-8")
    found = read(tmp_path)
    assert list(found.records[Event("Acer", 10)][0].observed) == [2002]
    assert found.notes == (SeasonsWithGaps("A", Event("Acer", 10), (Season(2005, "north"),)),)


def with_holes(seed: int) -> DailySeries:
    """Readings of Kagoshima with gaps of all lengths, single missing extremes and swapped ones."""
    random, raw = np.random.default_rng(seed), readings(KAGOSHIMA)
    values = np.array([raw.tmin_c, raw.tmax_c])
    for start in random.integers(0, len(raw) - 50, 25).tolist():
        row = [slice(None), 0, 1][int(random.integers(3))]
        values[row, start : start + int(random.integers(1, 40))] = np.nan
    swapped = random.integers(0, len(raw), 5)
    values[:, swapped] = values[::-1, swapped]
    return DailySeries(raw.first_day, *values)


@settings(max_examples=3)
@given(st.integers(0, 1000), st.dates(dt.date(2006, 1, 1), dt.date(2025, 6, 30)))
def test_no_later_reading_reaches_an_earlier_day(seed: int, on: dt.date) -> None:
    raw, learnt = with_holes(seed), dt.date(2005, 12, 31)
    whole, cut = mended(raw, learnt).series, mended(raw.cut(on), learnt).series
    assert np.array_equal(whole.tmin_c[: len(cut)], cut.tmin_c)
    assert np.array_equal(whole.tmax_c[: len(cut)], cut.tmax_c)
    assert not np.isnan([whole.tmin_c, whole.tmax_c]).any()


def test_filled_days_are_near_what_was_read() -> None:
    """The error of gaps seen from one side only: worse than from both, far better than nothing."""
    raw = readings(KAGOSHIMA)
    holes = np.zeros(len(raw), dtype=bool)
    for start in range(12_000, len(raw) - 30, 97):
        holes[start : start + 3] = True
    low, high = (np.where(holes, np.nan, values) for values in (raw.tmin_c, raw.tmax_c))
    series = mended(DailySeries(raw.first_day, low, high), dt.date(2005, 12, 31)).series
    error = np.nanmean(np.abs(series.tmax_c - raw.tmax_c)[holes])
    assert error < 2.9  # day-to-day spread of Tmax there is about 3 degC
