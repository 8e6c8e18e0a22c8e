"""Where spring's warmth is counted from, and how: ways beside each other on dates they were not set to.

`python -m tests.benchmarks.spring_start`: the error, root mean square in days, of the first stage of buds
where its one number was set on the other climates of the growers' table, and of first flowers of cherries
where it was set on the other stations of the Japan Meteorological Agency.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter

from season_engine.markers.base import Marker
from season_engine.markers.registry import AnyMarker
from season_engine.markers.scene import Scene
from season_engine.phenology.dating import MEDIUM_POT
from season_engine.phenology.seasons import past_seasons
from season_engine.species.build import ordered
from season_engine.species.catalogue import Species, load_catalogue
from tests.benchmarks.fit_spring import NEEDS_TRIED, course, fitted, need_of
from tests.benchmarks.markdown import markdown_table, show
from tests.phenology.stations import twelve
from tests.practice.spring_targets import TABLE, targets

FloatArray = NDArray[np.float64]
CHERRY = "Prunus x yedoensis"
FIRST = ("buds_swelling", "buds_moving", "growth_starts", "candles_moving")
LITTLE_CHILL = ("Acer palmatum", "Acer buergerianum", "Chaenomeles speciosa", "Pinus thunbergii")
DEGREE_DAYS = {"kind": "heat_softened_by_chill", "unit": "growing degree days above 5 degC"}
BUDS = {"kind": "spring_warmth", "unit": "days of full warmth", "counted_as": "buds"}
WAYS: Mapping[str, tuple[dict[str, object], int]] = {
    "degree days from midwinter, chill softens little": (
        DEGREE_DAYS | {"after": "cool_season", "softening": 0.015},
        45,
    ),
    "degree days from midwinter, chill softens much": (
        DEGREE_DAYS | {"after": "cool_season", "softening": 0.03},
        45,
    ),
    "degree days from the end of rest at 45 portions": (
        DEGREE_DAYS | {"after": "rest_over", "softening": 0.03},
        45,
    ),
    "warm hours from midwinter": (BUDS | {"after": "cool_season"}, 45),
    "warm hours from the end of rest at 22 portions": (BUDS | {"after": "rest_over"}, 22),
    "warm hours from the end of rest at 45 portions": (BUDS | {"after": "rest_over"}, 45),
}


def counting(species: Species, name: str, way: Mapping[str, object], portions: float) -> Species:
    """A species with one marker counted that way, and rest over with so many portions."""
    head = {"label": "made up", "need": 10, "from": "memory"}
    marker: Marker = TypeAdapter(AnyMarker).validate_python({**head, **way})
    rested = species.markers["rested"].model_copy(update={"need": portions})
    return replace(species, markers=ordered({**species.markers, "rested": rested, name: marker}))


def at_growers(way: Mapping[str, object], portions: float) -> Iterator[tuple[str, float]]:
    """By species of the table, the error where a climate was left out."""
    dates = targets()
    for name, marker in TABLE:
        if marker in FIRST and len(dates[name, marker]) > 2:  # Monterey pine has one date
            species = counting(load_catalogue().find(name), marker, way, portions)
            wanted = dates[name, marker]
            courses = {one.climate: course(species, {}, marker, one.climate) for one in wanted}
            yield name, _root_mean_square(np.array(fitted(courses, wanted).left_out_days))


def at_stations(way: Mapping[str, object], portions: float) -> float:
    """The error of first flowers of cherries at stations left out."""
    seasons = past_seasons(twelve()[CHERRY], noted=True)
    species = counting(load_catalogue().find(CHERRY), "first_flowers", way, portions)
    dates: dict[str, FloatArray] = {}
    for name, marker in species.markers.items():
        progress = marker.progress(Scene(seasons.traces, dates, MEDIUM_POT))
        if name == "first_flowers":
            break
        dates[name] = progress.dates()
    start = seasons.traces.season_start
    amount = (progress.values * need_of(marker) / progress.need)[:, 0, start:]
    seen = amount[np.arange(len(amount)), seasons.observed.astype(int)]
    tried = np.geomspace(*np.percentile(seen, (5, 95)), NEEDS_TRIED)
    off = np.array([(amount >= need).argmax(axis=1) - seasons.observed for need in tried])
    left_out = []
    for station in np.unique(seasons.station):
        there = seasons.station == station
        left_out.append(off[np.square(off[:, ~there]).sum(axis=1).argmin(), there])
    return _root_mean_square(np.concatenate(left_out))


def _root_mean_square(off: FloatArray) -> float:
    return float(np.sqrt(np.square(off).mean()))


def rows() -> Iterator[tuple[str, ...]]:
    for words, (way, portions) in WAYS.items():
        found = dict(at_growers(way, portions))
        little = [error for name, error in found.items() if name in LITTLE_CHILL]
        others = [error for name, error in found.items() if name not in LITTLE_CHILL]
        errors = float(np.mean(others)), float(np.mean(little)), at_stations(way, portions)
        yield (words, *(f"{error:.1f}" for error in errors))


def main() -> None:
    head = ("Counted", "Most of the table", "Those of little chill", "Cherries at twelve stations")
    show(*markdown_table(head, rows()))


if __name__ == "__main__":
    main()
