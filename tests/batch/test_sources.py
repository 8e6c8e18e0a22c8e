"""The same readings in every form that a batch reads give the same answers; what is wrong is told by site."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import fsspec
import numpy as np
import pytest
import xarray

from season_engine.batch.folder import RunFolder
from season_engine.batch.judging import SiteResult, judge_block
from season_engine.batch.run import Plan, outstanding
from season_engine.batch.sources.chosen import AnySource, source_at
from season_engine.batch.sources.grid import Grid
from season_engine.batch.sources.parquet_files import ParquetDataset
from season_engine.batch.sources.source import daily_series
from season_engine.batch.stamp import of_run
from season_engine.batch.work import do_block
from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from tests.batch.made import MadeSite, made_sites, write_csv, write_parquet
from tests.batch.runs import ASKED, DAY

COUNT = 6
ROWS, COLUMNS = 2, 3


def read_all(source: AnySource, sites: list[Site]) -> list[SiteResult]:
    return judge_block(sites, source.read(sites), ASKED)


@pytest.fixture
def made() -> list[MadeSite]:
    return made_sites(COUNT, DAY, years=(6,))


def grid_of(
    made: list[MadeSite], *, kelvin: bool = False, names: tuple[str, str] = ("tmin", "tmax")
) -> xarray.Dataset:
    """Six made sites on two rows and three columns, longitudes from 0 to 360."""
    days = max((one.raw.days for one in made), key=len)
    values = np.full((2, days.size, ROWS, COLUMNS), np.nan)
    for place, one in enumerate(made):
        row, column = divmod(place, COLUMNS)
        at = slice(days.size - len(one.raw), None)
        values[:, at, row, column] = one.raw.tmin_c, one.raw.tmax_c
    offset, units = (273.15, "K") if kelvin else (0.0, "degC")
    dims = ("time", "latitude", "longitude")
    variables = {
        name: (dims, part + offset, {"units": units}) for name, part in zip(names, values, strict=True)
    }
    places = {"time": days.astype("datetime64[ns]"), "latitude": [50.0, 49.5], "longitude": [359.5, 0.0, 0.5]}
    return xarray.Dataset(variables, places)


def cells(made: list[MadeSite]) -> list[MadeSite]:
    """All of the cool north, so that each fits its row of the grid."""
    north = [one for one in made_sites(3 * COUNT, DAY, years=(6,)) if one.site.latitude > 0]
    return [
        replace(one, site=Site(f"s{n}", *place))
        for n, (one, place) in enumerate(zip(north, PLACES, strict=False))
    ]


PLACES = [(row, column) for row in (50.0, 49.5) for column in (-0.5, 0.0, 0.5)]


def test_csv_and_parquet_files_give_the_same(tmp_path: Path, made: list[MadeSite]) -> None:
    sites = [one.site for one in made]
    for one in made:
        write_csv(tmp_path / "csv", one)
    (tmp_path / "dataset").mkdir()
    write_parquet(tmp_path / "dataset" / "a.parquet", made[4:])
    write_parquet(tmp_path / "dataset" / "b.parquet", made[:4])
    (tmp_path / "by-site").mkdir()
    for one in made:
        write_parquet(tmp_path / "by-site" / f"{one.site.name}.parquet", [one])
        drop_the_site_column(tmp_path / "by-site" / f"{one.site.name}.parquet")
    found = [read_all(source_at(str(tmp_path / name)), sites) for name in ("csv", "dataset", "by-site")]
    assert all(one.refused is None for one in found[0])
    assert found[0] == found[1] == found[2]


def test_sites_numbered_in_folders_names_are_found(tmp_path: Path, made: list[MadeSite]) -> None:
    for number, one in enumerate(made):
        folder = tmp_path / "days" / f"site={number}"
        folder.mkdir(parents=True)
        write_parquet(folder / "part.parquet", [one])
        drop_the_site_column(folder / "part.parquet")
    sites = [replace(one.site, name=str(number)) for number, one in enumerate(made)]
    found = list(source_at(str(tmp_path / "days")).read(sites))
    for one, read in zip(made, found, strict=True):
        assert not isinstance(read.series, GrowerError)
        np.testing.assert_array_equal(read.series.tmin_c, one.raw.tmin_c)


def test_a_block_is_sent_only_the_files_that_may_hold_its_sites(tmp_path: Path, made: list[MadeSite]) -> None:
    (tmp_path / "days").mkdir()
    for name, some in (("a", made[:2]), ("b", made[2:4]), ("c", [made[5], made[3], made[4]])):
        write_parquet(tmp_path / "days" / f"{name}.parquet", some)
    drop_the_statistics(tmp_path / "days" / "b.parquet")
    source = source_at(str(tmp_path / "days"))
    plan = Plan(ASKED, source, tuple(one.site for one in made), 2, of_run(ASKED, 2, b"", source.files(), ""))
    sent = [plan.task(number, "out").source for number in range(3)]
    names = [[Path(part.path).stem for part in one.parts] for one in sent if isinstance(one, ParquetDataset)]
    assert names == [["a", "b"], ["b", "c"], ["b", "c"]]  # b doesn't say whose days it holds
    assert isinstance(source, ParquetDataset)
    (nowhere,) = source.of([Site("elsewhere", 0.0, 0.0)]).read([Site("elsewhere", 0.0, 0.0)])
    assert isinstance(nowhere.series, WeatherError)


def test_a_folders_name_stays_as_it_is_written_where_only_some_files_are_read(
    tmp_path: Path, made: list[MadeSite]
) -> None:
    for name, one in zip(("007", "ridge"), made, strict=False):
        (tmp_path / f"site={name}").mkdir()
        write_parquet(tmp_path / f"site={name}" / "part.parquet", [one])
        drop_the_site_column(tmp_path / f"site={name}" / "part.parquet")
    source, numbered = source_at(str(tmp_path)), [replace(made[0].site, name="007")]
    assert isinstance(source, ParquetDataset)
    assert len(source.of(numbered).parts) == 1
    (read,) = source.of(numbered).read(numbered)
    assert not isinstance(read.series, GrowerError)


def drop_the_statistics(path: Path) -> None:
    import pyarrow.parquet as pq

    pq.write_table(pq.read_table(path), path, write_statistics=False)


def test_a_damaged_file_of_one_site_refuses_that_site_alone(tmp_path: Path, made: list[MadeSite]) -> None:
    for one in made[:2]:
        write_parquet(tmp_path / f"{one.site.name}.parquet", [one])
        drop_the_site_column(tmp_path / f"{one.site.name}.parquet")
    source = source_at(str(tmp_path))
    (tmp_path / f"{made[0].site.name}.parquet").write_bytes(b"PAR1 and nothing more")
    first, second = read_all(source, [one.site for one in made[:2]])
    assert first.refused is not None and "can't be read as Parquet" in first.refused.why
    assert second.refused is None


def drop_the_site_column(path: Path) -> None:
    import pyarrow.parquet as pq

    pq.write_table(pq.read_table(path).drop_columns(["site"]), path)


@pytest.mark.parametrize("form", ["netcdf", "netcdf-classic", "two-files", "zarr"])
def test_a_grid_gives_what_its_cells_give_as_sites(tmp_path: Path, form: str, made: list[MadeSite]) -> None:
    whole = cells(made)
    grid = grid_of(
        whole, kelvin=form == "netcdf", names=("tasmin", "tasmax") if form == "zarr" else ("tmin", "tmax")
    )
    path = tmp_path / "grid"
    match form:
        case "netcdf":
            path = tmp_path / "grid.nc"
            grid.to_netcdf(path, engine="h5netcdf")
        case "netcdf-classic":
            path = tmp_path / "grid.nc"
            grid.to_netcdf(path, engine="scipy")
        case "two-files":
            path.mkdir()
            grid.isel(time=slice(1000)).to_netcdf(path / "early.nc", engine="h5netcdf")
            grid.isel(time=slice(1000, None)).to_netcdf(path / "late.nc", engine="h5netcdf")
        case _:
            grid.to_zarr(path)
    source = source_at(str(path))
    assert isinstance(source, Grid)
    assert source.cell_count() == COUNT
    near = [Site(one.site.name, one.site.latitude + 0.1, one.site.longitude - 0.2) for one in whole]
    for sites in (near, source.cells(0, COUNT)):
        for one, read in zip(whole, source.read(sites), strict=True):
            assert not isinstance(read.series, GrowerError)
            given = read.series
            assert given.last_day == one.raw.last_day
            kept = slice(len(given) - len(one.raw), None)
            np.testing.assert_allclose(given.tmin_c[kept], one.raw.tmin_c, atol=1e-6)
            np.testing.assert_allclose(given.tmax_c[kept], one.raw.tmax_c, atol=1e-6)
    assert [(cell.latitude, cell.longitude) for cell in source.cells(0, 99)] == PLACES


def test_a_site_beyond_the_grid_is_refused(tmp_path: Path, made: list[MadeSite]) -> None:
    path = tmp_path / "grid.nc"
    grid_of(cells(made)).to_netcdf(path, engine="h5netcdf")
    (result,) = read_all(source_at(str(path)), [Site("afar", 47.0, 0.0)])
    assert result.refused is not None
    assert "the grid doesn't reach here" in result.refused.why


@pytest.mark.parametrize(("units", "told"), [("", "it says no units"), ("degF", 'its units are "degF"')])
def test_a_grid_that_says_no_unit_it_is_read_in_is_no_guess(
    tmp_path: Path, made: list[MadeSite], units: str, told: str
) -> None:
    grid = grid_of(cells(made))
    grid["tmin"].attrs["units"] = units
    grid.to_netcdf(tmp_path / "grid.nc", engine="h5netcdf")
    source = source_at(str(tmp_path / "grid.nc"))
    with pytest.raises(GrowerError, match=told):
        list(source.read([Site("a", 50.0, 0.0)]))


def test_cells_without_readings_are_left_out_and_the_others_are_all_there(
    tmp_path: Path, made: list[MadeSite]
) -> None:
    grid = grid_of(cells(made))
    for name in ("tmin", "tmax"):
        grid[name][:, 1, 2] = np.nan
    grid.to_netcdf(tmp_path / "grid.nc", engine="h5netcdf")
    source = source_at(str(tmp_path / "grid.nc"))
    plan = Plan(ASKED, source, range(COUNT), 4, of_run(ASKED, 4, b"", source.files(), ""))
    folder = RunFolder(str(tmp_path / "out"))
    for task in outstanding(plan, folder):
        do_block(task)
    assert len(set(folder.table(plan.blocks, ["site"])["site"].to_pylist())) == COUNT - 1


def test_an_object_store_is_read_and_written_as_a_disk_is(tmp_path: Path, made: list[MadeSite]) -> None:
    """On the library's own store in memory, which names no file of this machine."""
    write_parquet(tmp_path / "days.parquet", made)
    store = fsspec.filesystem("memory")
    store.pipe_file("/in/days.parquet", (tmp_path / "days.parquet").read_bytes())
    sites = tuple(one.site for one in made)
    outs = {}
    for name, weather, out in (
        ("store", "memory://in", "memory://out"),
        ("disk", str(tmp_path), str(tmp_path / "out")),
    ):
        source = source_at(weather)
        plan = Plan(ASKED, source, sites, 4, of_run(ASKED, 4, b"", source.files(), ""))
        folder = RunFolder(out)
        for task in outstanding(plan, folder):
            do_block(task)
        assert outstanding(plan, folder) == []
        outs[name] = folder.table(plan.blocks, ["site", "verdict", "opens_p50", "good_w0"])
    assert outs["store"].equals(outs["disk"])
    store.pipe_file("/in/days.parquet", store.cat_file("/in/days.parquet"))  # the same bytes at another time
    source = source_at("memory://in")
    other = Plan(ASKED, source, sites, 4, of_run(ASKED, 4, b"", source.files(), ""))
    with pytest.raises(GrowerError, match="the files of --weather"):
        outstanding(other, RunFolder("memory://out"))
    store.rm("/in", recursive=True)
    store.rm("/out", recursive=True)


DAYS = np.array(["2020-01-03", "2020-01-01"], dtype="datetime64[D]")


def test_days_in_any_order_and_with_gaps_are_laid_in_order() -> None:
    series = daily_series(DAYS, np.array([3.0, 1.0]), np.array([9.0, 7.0]), "made")
    assert series.first_day == dt.date(2020, 1, 1)
    np.testing.assert_array_equal(series.tmin_c, [1.0, np.nan, 3.0])


@pytest.mark.parametrize(
    ("days", "low", "told"),
    [
        (DAYS[[0, 0]], [1.0, 2.0], "2020-01-03 is there twice"),
        (DAYS, [280.0, 281.0], "280 degC on 2020-01-03 is beyond anything measured"),
        (np.array(["0020-01-03", "2020-01-01"], dtype="datetime64[D]"), [1.0, 2.0], "years from 1850"),
    ],
)
def test_readings_that_cannot_be_are_told_with_their_day(
    days: np.ndarray, low: list[float], told: str
) -> None:
    if low[0] > 200:
        told = told.replace("280", "281").replace("01-03", "01-01")
    with pytest.raises(GrowerError, match=told):
        daily_series(days, np.array(low), np.array(low) + 1.0, "made")


def test_no_reading_at_all_is_poor_weather() -> None:
    with pytest.raises(WeatherError, match="no reading"):
        daily_series(DAYS[:0], np.empty(0), np.empty(0), "made")


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda _: None, "There is nothing here"),
        (lambda folder: folder.mkdir(), "no weather here that can be read"),
        (
            lambda folder: (folder.mkdir(), (folder / "a.parquet").write_bytes(b"no")),
            "can't be read as Parquet",
        ),
        (
            lambda folder: (folder.mkdir(), (folder / "a.nc").write_bytes(b"no NetCDF at all")),
            "This grid can't be read",
        ),
    ],
)
def test_what_is_no_weather_is_told(tmp_path: Path, make: Callable[[Path], object], told: str) -> None:
    make(tmp_path / "weather")
    with pytest.raises(GrowerError, match=told):
        source = source_at(str(tmp_path / "weather"))
        assert isinstance(source, Grid)
        source.cell_count()
