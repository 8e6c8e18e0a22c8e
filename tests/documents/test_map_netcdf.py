"""Maps as NetCDF, read back by a library that knows the CF conventions."""

from __future__ import annotations

import io

import numpy as np
import pytest
import xarray

from season_engine.documents.map_netcdf import map_netcdf
from season_engine.errors import GrowerError
from season_engine.maps.batch_files import read_rows
from season_engine.maps.batch_rows import DATES, GOOD, State
from tests.made_country import country, scattered, write_batch

ACROSS = {"middle": (-40.0, 178.0), "size": 8.0, "step": 0.5, "peak": (-42.0, 178.0)}


@pytest.fixture(scope="module", params=[{"step": 2.0}, ACROSS])
def rows(request, tmp_path_factory):
    return read_rows(write_batch(tmp_path_factory.mktemp("batch"), country(**request.param)))


def read(rows, **options):
    return xarray.open_dataset(io.BytesIO(map_netcdf(rows)), engine="h5netcdf", **options).load()


def at_sites(rows, variable):
    """Values at the sites, in their order."""
    east = (rows.longitude - float(variable.lon.min())) % 360 + float(variable.lon.min())
    where = {"lat": xarray.DataArray(rows.latitude, dims="site"), "lon": xarray.DataArray(east, dims="site")}
    return variable.sel(where, method="nearest", tolerance=0.01).to_numpy()


def test_dates_and_odds_come_back_as_they_were(rows):
    dataset = read(rows)
    for name in DATES:
        found = at_sites(rows, dataset[name]).astype("datetime64[D]")
        assert np.array_equal(np.isnat(found), np.isnat(rows.dates[name])), name
        known = ~np.isnat(found)
        assert (found[known] == rows.dates[name][known]).all(), name
        assert known.any() or name == "earliest_safe_monday", name
    for name in ("floor", "chance_open", "chance_given", "chill_portions", "heat_gdh"):
        np.testing.assert_array_equal(at_sites(rows, dataset[name]), rows.numbers[name], name)
    for week, name in enumerate(GOOD):
        found = at_sites(rows, dataset.chance_good.sel(weeks_ahead=week))
        np.testing.assert_array_equal(found, rows.numbers[name], name)
    np.testing.assert_array_equal(at_sites(rows, dataset.days_after_usual), rows.days_after_usual)


def test_a_cell_without_a_site_holds_nothing(rows):
    dataset = read(rows)
    there = dataset.state.notnull()
    assert 0 < int(there.sum()) == len(rows.sites) < there.size
    for name, variable in dataset.data_vars.items():
        assert not bool(variable.where(~there).notnull().any()), name


def test_words_are_flags_with_their_meanings(rows):
    raw = read(rows, mask_and_scale=False, decode_times=False)
    for name in ("verdict", "today"):
        variable = raw[name]
        meanings = variable.flag_meanings.split()
        assert variable.flag_values.tolist() == list(range(len(meanings)))
        assert variable.dtype == variable.flag_values.dtype == np.int8
        codes = at_sites(rows, variable)
        told = [meanings[code] if code >= 0 else "" for code in codes]
        assert told == rows.texts[name].tolist()
    assert raw.state.flag_meanings.split() == [state.told for state in State]
    assert at_sites(rows, raw.state).tolist() == rows.state.tolist()


def test_attributes_say_what_cf_asks_for(rows):
    raw = read(rows, mask_and_scale=False, decode_times=False)
    assert raw.attrs["Conventions"] == "CF-1.11"
    assert "Acer palmatum" in raw.attrs["title"] and raw.attrs["as_of"] == rows.on.isoformat()
    for name, variable in raw.data_vars.items():
        assert variable.attrs.get("long_name"), name
        assert "units" in variable.attrs or "flag_meanings" in variable.attrs, name
        assert "_FillValue" in variable.attrs, name
    for name in DATES:
        assert raw[name].attrs["units"] == "days since 1970-01-01"
        assert raw[name].attrs["calendar"] == "standard"
    for name, units, axis in (("lat", "degrees_north", "Y"), ("lon", "degrees_east", "X")):
        coordinate = raw[name]
        assert (coordinate.attrs["units"], coordinate.attrs["axis"]) == (units, axis)
        assert "_FillValue" not in coordinate.attrs
        assert (np.diff(coordinate.to_numpy()) > 0).all(), "a coordinate variable rises or falls throughout"


def test_the_season_stands_in_each_cell(rows):
    years = at_sites(rows, read(rows).season)
    labels = [label.partition("/")[0] for label in rows.texts["season"]]
    assert ["" if np.isnan(year) else f"{year:.0f}" for year in years] == labels


def test_the_same_rows_make_the_same_bytes(rows):
    assert map_netcdf(rows) == map_netcdf(rows)


def test_scattered_sites_are_refused_and_told_what_to_write(tmp_path):
    rows = read_rows(write_batch(tmp_path, scattered(30)))
    with pytest.raises(GrowerError, match=r"these sites lie on none\. Write \.geojson"):
        map_netcdf(rows)
