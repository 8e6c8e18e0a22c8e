"""Gridded daily extremes: a site's are those of the cell nearest to it, or each cell is a site."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from season_engine.batch.sources.source import FloatArray, Readings, daily_series, file_system, stamps_of
from season_engine.errors import GrowerError, WeatherError
from season_engine.files.text import listed
from season_engine.site import Site
from season_engine.weather.sources.origins import GivenOrigin

if TYPE_CHECKING:
    import xarray

IntArray = NDArray[np.int64]

LOWEST, HIGHEST = ("tmin", "tasmin"), ("tmax", "tasmax")
ACROSS, ALONG, TIME = ("latitude", "lat"), ("longitude", "lon"), ("time", "date")
DEGREES_C = ("degc", "deg_c", "celsius", "degree_celsius", "degrees_celsius", "°c", "c")
KELVIN = ("k", "kelvin", "degk")
KELVIN_OFFSET = 273.15
FARTHEST_CELLS = 1.0  # from the nearest cell's middle, along either side
CLASSIC = b"CDF"  # how files of the older NetCDF begin
ENDINGS = (".nc", ".nc4", ".cdf")


@dataclass(frozen=True, slots=True)
class Grid:
    """A file of NetCDF, a folder of several that follow one another in time, or a Zarr store."""

    path: str

    def cell_count(self) -> int:
        """How many cells there are, sea or land."""
        latitude, longitude = self._axes()
        return latitude.size * longitude.size

    def cells(self, first: int, stop: int) -> list[Site]:
        """Cells as sites, named by their middles, row by row."""
        latitude, longitude = self._axes()
        places = np.arange(first, min(stop, latitude.size * longitude.size))
        rows, columns = np.divmod(places, longitude.size)
        east = (longitude + 180.0) % 360.0 - 180.0
        middles = zip(latitude[rows].tolist(), east[columns].tolist(), strict=True)
        return [Site(f"{north:.4f} {east:.4f}", north, east) for north, east in middles]

    def read(self, sites: Sequence[Site]) -> Iterator[Readings]:
        """Each site's readings, those of the nearest cell, in order."""
        latitude, longitude = self._axes()
        rows, off_rows = _nearest(latitude, np.array([site.latitude for site in sites]), around=False)
        columns, off_columns = _nearest(longitude, np.array([site.longitude for site in sites]), around=True)
        beyond = (off_rows > FARTHEST_CELLS) | (off_columns > FARTHEST_CELLS)
        days, low_c, high_c = self._values(rows, columns)
        for place, site in enumerate(sites):
            name = f"grid's cell {latitude[rows[place]]:.4f} {longitude[columns[place]]:.4f}"
            yield self._of_site(site, name, bool(beyond[place]), days, low_c[:, place], high_c[:, place])

    def files(self) -> Mapping[str, str]:
        """The files of the grid."""
        return stamps_of(*file_system(self.path))

    def _of_site(
        self, site: Site, name: str, beyond: bool, days: Any, low_c: FloatArray, high_c: FloatArray
    ) -> Readings:
        origin = GivenOrigin(name)
        if beyond:
            problem = f"{site.name}: the grid doesn't reach here; its nearest cell is the {name}."
            return Readings(origin, WeatherError(problem, hint="Check latitude and longitude."))
        try:
            return Readings(origin, daily_series(days, low_c, high_c, name))
        except GrowerError as error:
            return Readings(origin, error)

    def _axes(self) -> tuple[FloatArray, FloatArray]:
        """Latitudes and longitudes of the cells' middles."""
        with self._opened(self._parts()[0]) as part:
            return _axis(part, ACROSS, self.path), _axis(part, ALONG, self.path)

    def _values(self, rows: IntArray, columns: IntArray) -> tuple[Any, FloatArray, FloatArray]:
        """Days, and both extremes [degC] of some cells, each of shape (days, cells)."""
        found = []
        for part in self._parts():
            with self._opened(part) as grid:
                found.append(self._values_of(grid, rows, columns))
        days, low_c, high_c = zip(*found, strict=True)
        return np.concatenate(days), np.concatenate(low_c), np.concatenate(high_c)

    def _values_of(
        self, grid: xarray.Dataset, rows: IntArray, columns: IntArray
    ) -> tuple[Any, FloatArray, FloatArray]:
        import xarray

        across, along, time = (_named(grid, names, self.path) for names in (ACROSS, ALONG, TIME))
        if grid[time].dtype.kind != "M":
            raise GrowerError("Its calendar is not that of our years.", file=self.path, field=time)
        at = {across: xarray.DataArray(rows, dims="cell"), along: xarray.DataArray(columns, dims="cell")}
        low_c, high_c = (self._in_c(grid, names, at, time) for names in (LOWEST, HIGHEST))
        return grid[time].to_numpy().astype("datetime64[D]"), low_c, high_c

    def _in_c(self, grid: xarray.Dataset, names: Sequence[str], at: Any, time: str) -> FloatArray:
        variable = grid[_named(grid, names, self.path)]
        offset = _offset_c(variable, self.path)
        values = variable.isel(at).transpose(time, "cell").to_numpy().astype(np.float64)
        return np.asarray(values - offset)

    def _parts(self) -> list[str]:
        """The files one after another, or the store."""
        system, within = file_system(self.path)
        if is_zarr(system, within) or not system.isdir(within):
            return [within]
        found = sorted(name for name in system.find(within) if name.endswith(ENDINGS))
        if not found:
            raise GrowerError("There is no NetCDF file in this folder.", file=self.path)
        return [str(name) for name in found]

    def _opened(self, within: str) -> xarray.Dataset:
        import xarray

        system, _ = file_system(self.path)
        try:
            if is_zarr(system, within):
                found: xarray.Dataset = xarray.open_zarr(system.get_mapper(within), chunks=None)
                return found
            engine = "scipy" if system.cat_file(within, 0, len(CLASSIC)) == CLASSIC else "h5netcdf"
            return xarray.open_dataset(system.open(within, "rb"), engine=engine)
        except FileNotFoundError:
            raise GrowerError("This file does not exist.", file=self.path) from None
        except (ValueError, KeyError, TypeError) as error:
            raise GrowerError(f"This grid can't be read: {error}.", file=within) from None


def is_zarr(system: Any, within: str) -> bool:
    """Whether a path is a Zarr store's."""
    marks = (".zgroup", ".zmetadata", "zarr.json")
    return any(system.exists(f"{within.rstrip('/')}/{mark}") for mark in marks)


def _named(grid: xarray.Dataset, names: Sequence[str], path: str) -> str:
    for name in names:
        if name in grid.variables:
            return name
    raise GrowerError(
        f"There is no variable {listed(names)}.", hint="Rename the one that is meant.", file=path
    )


def _axis(grid: xarray.Dataset, names: Sequence[str], path: str) -> FloatArray:
    name = _named(grid, names, path)
    if grid[name].ndim != 1:
        problem = (
            f"{name} has {grid[name].ndim} dimensions; rows of latitude and columns of longitude are read."
        )
        raise GrowerError(problem, hint="Bring the grid onto such a one first.", file=path, field=name)
    return grid[name].to_numpy().astype(np.float64)


def _nearest(axis: FloatArray, asked: FloatArray, *, around: bool) -> tuple[IntArray, FloatArray]:
    """The nearest place on an axis, and how far away it is in cells; shape of `asked`."""
    apart = np.abs(axis[None, :] - asked[:, None])
    if around:
        apart = np.minimum(apart % 360.0, 360.0 - apart % 360.0)
    place = apart.argmin(axis=1)
    step = np.abs(np.diff(axis)).min() if axis.size > 1 else 1.0
    return place, apart[np.arange(asked.size), place] / step


def _offset_c(variable: xarray.DataArray, path: str) -> float:
    """What is taken off to bring a variable to degC; raises GrowerError where its units aren't told."""
    units = str(variable.attrs.get("units", "")).strip()
    if units.casefold() in DEGREES_C:
        return 0.0
    if units.casefold() in KELVIN:
        return KELVIN_OFFSET
    told = f'its units are "{units}"' if units else "it says no units"
    raise GrowerError(
        f"{variable.name}: {told}.", hint='Set its attribute units to "degC" or "K".', file=path
    )
