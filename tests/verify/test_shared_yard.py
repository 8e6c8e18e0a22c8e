"""A yard's notes for others: nothing of names, nothing finer than it says, nothing of a later day."""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.documents.shared_yard import shared_zip
from season_engine.files.toml_lines import TomlText
from season_engine.note import Note
from season_engine.site import Season, Site
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.verify.observations import read_observations
from season_engine.verify.shared_yard import ELEVATION_M, LeftBehind, SharedYard, shared_yard
from season_engine.verify.station_files import Event
from season_engine.weather.checks import check_and_fill
from season_engine.weather.series import Weather
from season_engine.weather.sources.origins import GivenOrigin
from tests.yards import NAGANO, readings

ON = dt.date(2025, 12, 1)
OWN = TomlText("catalogue.toml", '[species."Acer palmatum"]\ncommon = ["Aunt Edna\'s maple"]\n')
ANY = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)


@cache
def weather(on: dt.date = ON) -> Weather:
    return check_and_fill(readings(NAGANO).cut(on), source=GivenOrigin("test"))


def journal(site: str, one: str, other: str, remark: str, unknown: str) -> list[Note]:
    """Two trees, by these ids, a species by no tree, and one that nobody knows, with a remark everywhere."""
    return [
        Note(dt.date(2019, 4, 2), site, one, "Acer palmatum", 1, note=remark, line=2),
        Note(dt.date(2019, 4, 4), site, other, "Japanese maple", 1, note=remark, line=3),
        Note(dt.date(2019, 3, 20), site, other, "Japanese maple", 1, "feeding", remark, "not-yet", line=4),
        Note(dt.date(2021, 4, 9), site, None, "Larix decidua", 9, note=remark, sighting="already", line=5),
        Note(dt.date(2021, 4, 9), site, other, unknown, 9, note=remark, line=6),
        Note(dt.date(2021, 5, 9), site, one, "Acer palmatum", None, "repotting", remark, line=7),
        Note(dt.date(2022, 3, 1), site, one, "Acer palmatum", 0, note=remark, line=8),
    ]


def given_away(
    site: Site = NAGANO, on: dt.date = ON, notes: list[Note] | None = None, own: tuple[TomlText, ...] = ()
) -> SharedYard:
    notes = journal(site.name, "m1", "m2", "", "Nothing known") if notes is None else notes
    return shared_yard(site, weather(on), notes, on, (Catalogue(own), load_catalogue()), "yard")


def files(yard: SharedYard) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(shared_zip([yard]))) as packed:
        return {name: packed.read(name).decode() for name in packed.namelist()}


def rows(yard: SharedYard, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(files(yard)[name])))


@given(ANY, ANY, ANY, ANY, ANY)
def test_names_and_words_have_no_part_in_what_is_given_away(
    site: str, one: str, other: str, remark: str, unknown: str
) -> None:
    """To the byte the same file, whatever yard, trees and notes are called, and whatever they say."""
    if load_catalogue().get(unknown) or not one or not other or one == other:
        return
    called = journal(site, one, other, remark, unknown)
    assert shared_zip([given_away(replace(NAGANO, name=site), notes=called)]) == shared_zip([given_away()])


def test_what_is_given_away_by_hand() -> None:
    assert [list(row.values()) for row in rows(given_away(), "events.csv")] == [
        ["yard", "Acer palmatum", "01", "2019-03-20", "not-yet", "1"],
        ["yard", "Acer palmatum", "01", "2019-04-02", "seen", "2"],
        ["yard", "Acer palmatum", "01", "2019-04-04", "seen", "1"],
        ["yard", "Larix decidua", "09", "2021-04-09", "already", ""],
        ["yard", "Acer palmatum", "01", "2022-03-01", "not-yet", "2"],  # a bud at rest
    ]
    assert rows(given_away(), "sites.csv") == [
        {"site": "yard", "latitude": "36.7", "longitude": "138.2", "elevation": "400"}
    ]
    assert given_away().left_behind == LeftBehind(unknown_species=1)


def test_a_name_of_the_grower_s_for_a_species_is_told_as_the_catalogue_s() -> None:
    called = [Note(dt.date(2019, 4, 2), "nagano", None, "Aunt Edna's maple", 1)]
    assert rows(given_away(notes=called, own=(OWN,)), "events.csv")[0]["species"] == "Acer palmatum"
    alone = given_away(notes=called)
    assert (alone.notes, alone.left_behind.unknown_species) == ((), 1)


def test_the_days_are_those_of_the_seasons_with_notes_as_the_engine_mended_them() -> None:
    yard = given_away()
    assert [season.label for season in yard.seasons] == ["2018/19", "2020/21", "2021/22"]
    found = rows(yard, "weather.csv")
    assert len(found) == 3 * 365
    series = weather().series
    for row in found[::50]:
        day = (dt.date.fromisoformat(row["date"]) - series.first_day).days
        assert float(row["tmin"]) == pytest.approx(series.tmin_c[day], abs=0.0501)
        assert float(row["tmax"]) == pytest.approx(series.tmax_c[day], abs=0.0501)


def test_notes_without_readings_stay_here_and_are_counted() -> None:
    early = Note(dt.date(1970, 4, 1), "nagano", None, "Acer palmatum", 1)
    yard = given_away(notes=[early, *journal("nagano", "m1", "m2", "", "Nothing known")])
    assert yard.left_behind == LeftBehind(1, 1) and yard.notes == given_away().notes


@given(
    st.floats(-66, 66).filter(lambda degrees: degrees),
    st.floats(-180, 180),
    st.none() | st.floats(-400, 4000),
)
def test_no_place_is_finer_than_it_says_or_in_the_other_hemisphere(
    latitude: float, longitude: float, elevation_m: float | None
) -> None:
    site = given_away(Site("nagano", latitude, longitude, elevation_m), notes=[]).site
    assert site.hemisphere == Site("", latitude, longitude).hemisphere
    assert abs(site.latitude - latitude) <= 0.1 and abs(site.longitude - longitude) <= 0.0501
    for degrees in (site.latitude, site.longitude):
        assert degrees * 10 == pytest.approx(round(degrees * 10), abs=1e-9)
    assert (site.elevation_m is None) == (elevation_m is None)
    assert (site.elevation_m or 0.0) % ELEVATION_M == 0


@given(st.dates(dt.date(2019, 1, 1), dt.date(2023, 1, 1)))
def test_nothing_of_a_later_day_goes_with_it(on: dt.date) -> None:
    """With every note and reading after it cut off it is the same file."""
    notes = journal("nagano", "m1", "m2", "", "Nothing known")
    late = replace(notes[0], date=dt.date(2018, 4, 2), entered=dt.date(2022, 1, 1))
    withdrawn = replace(notes[1], withdraws=True, entered=dt.date(2022, 6, 1))
    known = [*notes, late, withdrawn]
    whole = weather()
    cut = [note for note in known if note.known_from <= on]
    cut_weather = replace(
        whole,
        series=whole.series.cut(on),
        observed=whole.observed[: len(whole.series.cut(on))],
    )
    catalogues = (load_catalogue(), load_catalogue())
    one = shared_yard(NAGANO, whole, known, on, catalogues, "yard")
    two = shared_yard(NAGANO, cut_weather, cut, on, catalogues, "yard")
    assert shared_zip([one]) == shared_zip([two])
    assert all(note.date <= on for note in one.notes)
    assert all(series.last_day <= on for series in one.weather)


def test_a_line_taken_back_is_not_given_away() -> None:
    notes = journal("nagano", "m1", "m2", "", "Nothing known")
    back = replace(notes[0], withdraws=True, entered=dt.date(2019, 4, 5))
    assert dt.date(2019, 4, 2) not in {note.date for note in given_away(notes=[*notes, back]).notes}


def test_a_backtest_reads_it_and_takes_the_middle_of_several_trees(tmp_path) -> None:
    three = [
        Note(dt.date(2019, 4, day), "nagano", tree, "Acer palmatum", 1, line=day)
        for day, tree in ((2, "a"), (6, "b"), (9, "c"), (20, "b"))
    ]
    for name, text in files(given_away(notes=three)).items():
        (tmp_path / name).write_text(text, "utf-8")
    paths = (tmp_path / name for name in ("sites.csv", "weather.csv", "events.csv"))
    found = read_observations(*paths, 2025, fewest_seasons=1)
    (record,) = found.records[Event("Acer palmatum", 1)]
    assert record.observed == {2018: float(Season(2018, "north").day_of(dt.date(2019, 4, 6)))}
    assert np.isfinite(record.series.tmin_c).all()
