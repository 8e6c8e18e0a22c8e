"""Bud stages of trees in a forest, by tree and spring (tests/data/harvard), beside its weather."""

from __future__ import annotations

import csv
import datetime as dt
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np

from season_engine.phenology.seasons import PastSeasons, past_seasons
from season_engine.phenology.station_record import StationRecord
from season_engine.verify.station_files import read_sites
from season_engine.verify.weather_file import read_weather

FOLDER = Path(__file__).parents[1] / "data" / "harvard"
STATION = "harvard-forest"
SWELLING, BREAKING = 1, 7  # slightly swollen; breaking
STAGES = (SWELLING, 2, 3, BREAKING)


@dataclass(frozen=True)
class Bud:
    """One tree in one spring: the day of the season of each stage seen, less half the gap before."""

    species: str
    tree: str
    year: int  # the spring's
    days: dict[int, float]

    @property
    def in_order(self) -> bool:
        """Whether no later stage was seen before an earlier one."""
        seen = [self.days[stage] for stage in STAGES if stage in self.days]
        return all(first <= then for first, then in pairwise(seen))


@cache
def seasons() -> PastSeasons:
    """The whole seasons of the forest's own weather; the year of a season is that of its autumn."""
    site = read_sites(FOLDER / "sites.csv")[STATION]
    series = read_weather(FOLDER / "weather.csv.gz", [STATION])[0][STATION]
    return past_seasons([StationRecord(site, series, {})])


@cache
def buds() -> tuple[Bud, ...]:
    """Every tree and spring of which the forest's weather is known."""
    days: dict[tuple[str, str, int], dict[int, float]] = {}
    known = {int(year) + 1 for year in seasons().years}
    with (FOLDER / "stages.csv").open(encoding="utf-8", newline="") as file:
        for line in csv.DictReader(file):
            date = dt.date.fromisoformat(line["date"])
            if date.year in known:
                column = (date - dt.date(date.year - 1, 10, 1)).days - int(line["days_since_last_look"]) / 2
                key = line["species"], line["tree"], date.year
                days.setdefault(key, {})[int(line["bbch"])] = column
    return tuple(Bud(*key, found) for key, found in days.items())


def by_spring(species: str, stage: int) -> dict[int, list[float]]:
    """Days of the season on which the trees of a species came to a stage, by spring."""
    found: dict[int, list[float]] = {}
    for bud in buds():
        if bud.species == species and stage in bud.days:
            found.setdefault(bud.year, []).append(bud.days[stage])
    return found


def between_trees(springs: dict[int, list[float]]) -> float:
    """Standard deviation of trees about their spring's mean; NaN where no spring has two."""
    off = [day - np.mean(days) for days in springs.values() if len(days) > 1 for day in days]
    free = sum(len(days) - 1 for days in springs.values())
    return float(np.sqrt(np.square(off).sum() / free)) if free else float("nan")


def between_springs(springs: dict[int, list[float]]) -> float:
    """Standard deviation of springs' means; NaN for a single one."""
    means = [float(np.mean(days)) for days in springs.values()]
    return float(np.std(means, ddof=1)) if len(means) > 1 else float("nan")
