"""A batch's window as GeoJSON (RFC 7946): a point a site, or a cell of a grid, with its dates and odds."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import numpy as np

from season_engine.maps.batch_rows import DATES, NUMBERS, BatchRows, State
from season_engine.maps.places import Grid, grid_of, unrolled

Ring = list[list[float]]

DECIMALS = 6  # of degrees: a decimetre


def map_geojson(rows: BatchRows, *, as_dots: bool = False) -> str:
    """A feature a site, in the batch's order: its cell where the sites lie on a grid, else its point.

    Longitudes lie between -180 and 180; a cell on the date line is cut there into two. Dates are ISO 8601,
    odds 0 to 1, and what isn't known is null. What holds for all stands beside ``features``.
    """
    longitude = unrolled(rows.longitude)
    grid = None if as_dots else grid_of(rows.latitude, longitude)
    geometry = _cells(grid) if grid else _points(rows)
    table = _properties(rows)
    features = [
        {
            "type": "Feature",
            "geometry": geometry(place),
            "properties": {name: values[place] for name, values in table.items()},
        }
        for place in range(len(rows.sites))
    ]
    of_all = {
        "as_of": rows.on.isoformat(),
        "species": rows.species,
        "common_name": rows.common_name or None,
        "job": rows.job,
        "window": rows.window,
        "missing_blocks": rows.missing_blocks,
    }
    document = {"type": "FeatureCollection", **of_all, "features": features}
    return json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def _properties(rows: BatchRows) -> dict[str, list[Any]]:
    """The values of all sites by their names."""
    table: dict[str, list[Any]] = {
        "site": list(rows.sites),
        "state": [State(state).told for state in rows.state],
        **{name: [text or None for text in rows.texts[name]] for name in ("season", "verdict", "today")},
    }
    for name in DATES:
        texts = np.datetime_as_string(rows.dates[name])
        table[name] = [None if text == "NaT" else text for text in texts.tolist()]
    numbers = {name: rows.numbers[name] for name in NUMBERS} | {"days_after_usual": rows.days_after_usual}
    for name, values in numbers.items():
        table[name] = [None if np.isnan(value) else round(value, 6) for value in values.tolist()]
    table["refusal"] = [text or None for text in rows.texts["refusal"]]
    return table


def _points(rows: BatchRows) -> Callable[[int], dict[str, Any]]:
    def point(place: int) -> dict[str, Any]:
        where = [_wrapped(rows.longitude[place]), round(float(rows.latitude[place]), DECIMALS)]
        return {"type": "Point", "coordinates": where}

    return point


def _cells(grid: Grid) -> Callable[[int], dict[str, Any]]:
    latitudes, longitudes = grid.edges
    latitudes = np.clip(latitudes, -90.0, 90.0)

    def cell(place: int) -> dict[str, Any]:
        row, column = grid.row[place], grid.column[place]
        south, north = latitudes[row], latitudes[row + 1]
        parts = _cut_at_date_line(longitudes[column], longitudes[column + 1])
        rings = [[_ring(west, east, south, north)] for west, east in parts]
        if len(rings) == 1:
            return {"type": "Polygon", "coordinates": rings[0]}
        return {"type": "MultiPolygon", "coordinates": rings}

    return cell


def _cut_at_date_line(west: float, east: float) -> list[tuple[float, float]]:
    """The longitudes of a cell between -180 and 180, in two parts where it lies across the date line."""
    turns = np.floor((west + 180.0) / 360.0) * 360.0
    west, east = round(west - turns, DECIMALS), round(east - turns, DECIMALS)
    if west >= 180.0:  # by rounding
        west, east = west - 360.0, east - 360.0
    return [(west, east)] if east <= 180.0 else [(west, 180.0), (-180.0, east - 360.0)]


def _ring(west: float, east: float, south: float, north: float) -> Ring:
    """The corners against the clock, the first one again at the end."""
    corners = ((west, south), (east, south), (east, north), (west, north), (west, south))
    return [[round(float(x), DECIMALS), round(float(y), DECIMALS)] for x, y in corners]


def _wrapped(longitude: float) -> float:
    return round(float((longitude + 180.0) % 360.0 - 180.0), DECIMALS)
