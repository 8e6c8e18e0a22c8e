"""A batch's window on a grid as NetCDF, by the CF conventions."""

from __future__ import annotations

import io
from collections.abc import Mapping
from importlib.metadata import version
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError
from season_engine.maps.batch_rows import DATES, BatchRows, Dates, State
from season_engine.maps.dataset import GOOD
from season_engine.maps.libraries import of_the_extra
from season_engine.maps.places import Grid, grid_of, unrolled

DAYS = {"units": "days since 1970-01-01", "calendar": "standard"}
NO_DAY = {"_FillValue": np.iinfo(np.int32).min, "zlib": True}
LONG_NAMES: Mapping[str, str] = {
    "opens_p10": "date by which the window has opened with 1 chance in 10",
    "opens_p50": "date by which the window has opened with 5 chances in 10",
    "opens_p90": "date by which the window has opened with 9 chances in 10",
    "closes_p10": "date by which the window has closed with 1 chance in 10",
    "closes_p50": "date by which the window has closed with 5 chances in 10",
    "closes_p90": "date by which the window has closed with 9 chances in 10",
    "usual_opens": "middle opening date of past seasons, in the calendar of this one",
    "usual_closes": "middle closing date of past seasons, in the calendar of this one",
    "earliest_safe_monday": "first Monday on which the job goes well with the odds it wants",
    "floor": "odds this job wants",
    "chance_open": "chance that the window is open today",
    "chance_given": "chance that the season has this window",
    "chill_portions": "chill portions of the season so far",
    "heat_gdh": "growing degree hours of the season so far",
}
UNITS: Mapping[str, str] = {"heat_gdh": "K h"}
FLAGS: Mapping[str, tuple[str, ...]] = {
    "state": tuple(state.told for state in State),
    "verdict": ("wait", "soon", "open", "last-call", "closed", "not-here"),
    "today": ("do", "hold", "only-with-shelter", "no"),
}
NO_FLAG = -1


def map_netcdf(rows: BatchRows) -> bytes:
    """The bytes of a NetCDF 4 file with a variable a column of the batch, on latitude and longitude.

    Raises GrowerError where the sites lie on no grid.
    """
    grid = grid_of(rows.latitude, unrolled(rows.longitude))
    if grid is None:
        hint = "Write .geojson, which holds the same of scattered sites."
        raise GrowerError("NetCDF is written of grids, and these sites lie on none.", hint=hint)
    xarray = of_the_extra("xarray")
    of_the_extra("h5netcdf")
    dataset = xarray.Dataset(_variables(rows, grid), _coordinates(grid), _about(rows))
    file = io.BytesIO()
    dataset.to_netcdf(file, engine="h5netcdf")
    return file.getvalue()


def _coordinates(grid: Grid) -> dict[str, Any]:
    nothing = {"_FillValue": None}  # coordinates have no missing values
    latitude = {"standard_name": "latitude", "long_name": "latitude", "units": "degrees_north", "axis": "Y"}
    longitude = {"standard_name": "longitude", "long_name": "longitude", "units": "degrees_east", "axis": "X"}
    weeks = {"long_name": "weeks from the day the map is of", "units": "week"}
    return {
        "lat": ("lat", grid.latitudes, latitude, nothing),
        "lon": ("lon", grid.longitudes, longitude, nothing),
        "weeks_ahead": ("weeks_ahead", np.arange(len(GOOD), dtype=np.int8), weeks),
    }


def _variables(rows: BatchRows, grid: Grid) -> dict[str, Any]:
    """Variables with their dimensions, values, attributes and encoding, by name."""
    place = ("lat", "lon")
    found: dict[str, Any] = {name: _flags(rows, grid, name) for name in FLAGS}
    found["season"] = _season(rows, grid)
    for name in DATES:
        found[name] = (place, _days(rows.dates[name], grid), {"long_name": LONG_NAMES[name], **DAYS}, NO_DAY)
    chances = {"floor", "chance_open", "chance_given"}
    for name in ("floor", "chance_open", "chance_given", "chill_portions", "heat_gdh"):
        about: dict[str, Any] = {"long_name": LONG_NAMES[name], "units": UNITS.get(name, "1")}
        if name in chances:
            about |= {"valid_min": 0.0, "valid_max": 1.0}
        found[name] = (place, grid.laid(rows.numbers[name], np.nan), about, _kept())
    late = {"long_name": "days by which the middle opening comes later than usual", "units": "day"}
    found["days_after_usual"] = (place, grid.laid(rows.days_after_usual, np.nan), late, _kept())
    good = np.stack([grid.laid(rows.numbers[name], np.nan) for name in GOOD])
    well = {"long_name": "chance that the job goes well if done so many weeks ahead", "units": "1"}
    found["chance_good"] = (("weeks_ahead", *place), good, well, _kept())
    return found


def _days(dates: Dates, grid: Grid) -> NDArray[np.int32]:
    """Dates on the grid as numbers, by `DAYS`."""
    days = np.where(np.isnat(dates), NO_DAY["_FillValue"], dates.astype(np.int64)).astype(np.int32)
    return grid.laid(days, NO_DAY["_FillValue"])


def _kept() -> dict[str, Any]:
    return {"_FillValue": np.nan, "zlib": True}


def _flags(rows: BatchRows, grid: Grid, name: str) -> Any:
    """Words of a few kinds as numbers, named in the attributes; a cell without one has the fill value."""
    meanings = FLAGS[name]
    codes = rows.state if name == "state" else np.full(len(rows.sites), NO_FLAG, dtype=np.int8)
    if name != "state":
        for code, word in enumerate(meanings):
            codes[rows.texts[name] == word] = code
    about = {
        "long_name": {"state": "what is known of the cell", "today": "advice for today"}.get(name, name),
        "flag_values": np.arange(len(meanings), dtype=np.int8),
        "flag_meanings": " ".join(meanings),
    }
    cells = grid.laid(codes.astype(np.int8), NO_FLAG)
    return (("lat", "lon"), cells, about, {"_FillValue": np.int8(NO_FLAG), "zlib": True})


def _season(rows: BatchRows, grid: Grid) -> Any:
    years = np.array(
        [int(label.partition("/")[0]) if label else 0 for label in rows.texts["season"]], np.int16
    )
    about = {
        "long_name": "year in which the season judged began: 1 October north, 1 April south",
        "units": "1",
    }
    return (("lat", "lon"), grid.laid(years, 0), about, {"_FillValue": np.int16(0), "zlib": True})


def _about(rows: BatchRows) -> dict[str, Any]:
    return {
        "Conventions": "CF-1.11",
        "title": f"{rows.species}, {rows.job}, window {rows.window}, as of {rows.on.isoformat()}",
        "source": f"season_engine {version('season_engine')}",
        "species": rows.species,
        "job": rows.job,
        "window": rows.window,
        "as_of": rows.on.isoformat(),
        "missing_blocks": rows.missing_blocks,
        "comment": "Made of daily lowest and highest temperatures alone, which are not those of each yard. "
        "A cell without state had no data, such as the sea.",
    }
