"""Maps as GeoJSON, held to RFC 7946: types by a library, rules of rings and of the date line here."""

from __future__ import annotations

import json

import numpy as np
import pytest
from geojson_pydantic import FeatureCollection

from season_engine.documents.map_geojson import map_geojson
from season_engine.maps.batch_files import read_rows
from season_engine.maps.batch_rows import DATES, NUMBERS, TEXTS
from tests.made_country import ON, a_row, country, scattered, write_batch

RINGS = {
    "Polygon": lambda parts: parts,
    "MultiPolygon": lambda parts: [ring for part in parts for ring in part],
}


def document_of(folder, rows, **options):
    text = map_geojson(read_rows(write_batch(folder, rows)), **options)
    FeatureCollection.model_validate_json(text, strict=False)
    return json.loads(text, parse_constant=lambda name: pytest.fail(f"{name} is no JSON"))


def area(ring):
    """Twice the area within a ring [x, y], positive where it runs against the clock."""
    x, y = np.array(ring).T
    return float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))


def rings_of(document):
    for feature in document["features"]:
        shape = feature["geometry"]
        yield feature, RINGS[shape["type"]](shape["coordinates"])


def test_scattered_sites_are_points_between_the_date_lines_in_their_order(tmp_path):
    given = scattered(60)
    document = document_of(tmp_path, given)
    assert [one["properties"]["site"] for one in document["features"]] == [row["site"] for row in given]
    for feature, row in zip(document["features"], given, strict=True):
        assert feature["geometry"] == {"type": "Point", "coordinates": [row["longitude"], row["latitude"]]}
        for name in (*DATES, *NUMBERS, *TEXTS):
            told, value = feature["properties"][name], row[name]
            if name in DATES and value is not None:
                assert told == value.isoformat()
            elif name in NUMBERS and value is not None:
                assert told == pytest.approx(value, abs=1e-6)
            else:
                assert told == value, name
    longitudes = {one["geometry"]["coordinates"][0] > 0 for one in document["features"]}
    assert longitudes == {True, False}, "sites on both sides of the date line"


def test_what_holds_for_all_stands_beside_the_features(tmp_path):
    document = document_of(tmp_path, scattered(20))
    assert {name: value for name, value in document.items() if name != "features"} == {
        "type": "FeatureCollection",
        "as_of": ON.isoformat(),
        "species": "Acer palmatum",
        "common_name": "Japanese maple",
        "job": "repotting",
        "window": "spring",
        "missing_blocks": 0,
    }


def test_states_are_told_apart(tmp_path):
    document = document_of(tmp_path, country(step=2.0))
    told = {}
    for feature in document["features"]:
        told.setdefault(feature["properties"]["state"], []).append(feature["properties"])
    assert set(told) == {"dated", "not-here", "refused"}
    assert all(one["opens_p50"] and one["refusal"] is None for one in told["dated"])
    assert all(one["opens_p50"] is None and one["verdict"] == "not-here" for one in told["not-here"])
    assert all(one["refusal"] and one["chance_open"] is None for one in told["refused"])
    late = [one["days_after_usual"] for one in told["dated"]]
    assert all(isinstance(one, float) for one in late) and len(set(late)) > 5


@pytest.mark.parametrize("middle", [(-40.0, 174.0), (-17.0, -179.5), (60.0, 179.75)])
def test_cells_of_a_grid_are_rings_against_the_clock_cut_at_the_date_line(tmp_path, middle):
    rows = country(middle=middle, size=8.0, step=0.5, peak=(middle[0], middle[1] + 2))
    document = document_of(tmp_path, rows)
    split = 0
    for (feature, rings), row in zip(rings_of(document), rows, strict=True):
        assert feature["properties"]["site"] == row["site"]
        split += len(rings) == 2
        assert len(rings) in (1, 2)
        for ring in rings:
            assert len(ring) == 5 and ring[0] == ring[-1]
            assert area(ring) > 0
            assert np.ptp(np.array(ring), axis=0).max() <= 0.5 + 1e-6, "no cell runs around the earth"
            assert np.abs(np.array(ring)).max(axis=0).tolist() <= [180, 90]
        assert sum(map(area, rings)) == pytest.approx(2 * 0.5**2, abs=1e-4)
    across = middle[1] % 0.5 == 0
    assert (split > 0) == across, "cells whose middle is 180 lie on both sides"


def test_cells_at_a_pole_end_there(tmp_path):
    given = [a_row(f"{up}/{east}", up, east, ON) for up in (88, 89, 90) for east in (0, 1, 2)]
    document = document_of(tmp_path, given)
    tops = {max(y for ring in rings for _, y in ring) for _, rings in rings_of(document)}
    assert tops == {88.5, 89.5, 90}


def test_sites_on_a_grid_may_be_taken_for_points(tmp_path):
    document = document_of(tmp_path, country(step=2.0), as_dots=True)
    assert {one["geometry"]["type"] for one in document["features"]} == {"Point"}
