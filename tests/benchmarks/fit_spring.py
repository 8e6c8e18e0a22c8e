"""Set the needs of spring's markers to the dates of `tests/practice/spring_targets.py`.

`python -m tests.benchmarks.fit_spring [--write] [--species NAME]`: by marker its need, how far its usual
dates are off with it, and how far off in each climate where that one is left out of the fit. With
`--write` the needs, and the spread of the errors left out, go into `species/groups`. A need is the only
number that is set; the rest of a rule is left alone.
"""

from __future__ import annotations

import argparse
import datetime as dt
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.base import Marker
from season_engine.markers.scene import Scene
from season_engine.phenology.dating import MEDIUM_POT
from season_engine.species.catalogue import Species, load_catalogue
from tests.benchmarks.markdown import markdown_table, show
from tests.practice.climates import view
from tests.practice.spring_targets import Key, Target, targets

FloatArray = NDArray[np.float64]
ROOM = Path(__file__).parents[2] / "season_engine"
NEEDS_TRIED = 80
# What springs stray from a rule, and trees from one another, in a forest (harvard_buds): growers' dates are
# of usual springs and of no one tree.
SPRINGS_STRAY_DAYS, TREES_APART_DAYS = 4.0, 4.0
LEAST_SD_DAYS = 5.0  # over climates: no rule from practice claims less
ENOUGH_CLIMATES = 4  # to tell how far off a rule is where it was not set


@dataclass(frozen=True)
class Course:
    """How a marker's amount grows in the past seasons of one climate."""

    climate: str
    amount: FloatArray  # shape (traces, days): where the need is a given number, it is met at that amount
    start: FloatArray  # shape (traces,)

    def off_days(self, need: float, date: str) -> float:
        """The usual date with such a need, less the date given; far off where it is not reached."""
        days = np.arange(self.amount.shape[-1])
        met = (self.amount >= need) & (days >= self.start[:, None])
        columns = np.where(met.any(axis=1), met.argmax(axis=1), days.size - 1)
        return float(np.median(columns)) - self.column(date)

    def there(self, date: str) -> float:
        """The usual amount on a date."""
        return float(np.median(self.amount[:, self.column(date)]))

    def column(self, date: str) -> int:
        """The column of a date MM-DD in the season."""
        traces = view(self.climate).past
        start = traces.season.start
        this_year = dt.date.fromisoformat(f"{start.year}-{date}")
        return traces.column(this_year if this_year >= start else this_year.replace(year=start.year + 1))


@dataclass(frozen=True)
class Fit:
    """A need, with the days it is off at its targets, and in the mean at those of each climate left out."""

    need: float
    off_days: tuple[float, ...]
    left_out_days: tuple[float, ...]

    @property
    def sd_days(self) -> float | None:
        """Of the days left out, springs and trees together, where there are climates enough to tell."""
        if not self.left_out_days:
            return None
        climates = max(LEAST_SD_DAYS, float(np.sqrt(np.mean(np.square(self.left_out_days)))))
        return round(float(np.hypot(np.hypot(climates, SPRINGS_STRAY_DAYS), TREES_APART_DAYS)), 1)


def course(species: Species, needs: Mapping[str, float], name: str, climate: str) -> Course:
    """With the needs of the species' markers that are set already."""
    traces = view(climate).past
    plain: dict[str, FloatArray] = {}
    for one, marker in species.markers.items():
        scene = Scene(traces, plain, MEDIUM_POT)
        if one == name:
            progress = marker.progress(scene)
            return Course(climate, progress.values * need_of(marker) / progress.need, progress.start)
        set_already = marker.model_copy(update={"need": needs[one]}) if one in needs else marker
        plain[one] = set_already.progress(scene).dates()
    raise KeyError(name)


def need_of(marker: Marker) -> float:
    need = dict(marker)["need"]
    assert isinstance(need, float)
    return need


def fitted(courses: Mapping[str, Course], dates: Sequence[Target]) -> Fit:
    """The need of least squared days off, weighted by how certain each date is."""
    tried = np.geomspace(*_range(courses, dates), NEEDS_TRIED)
    off = np.array([[courses[one.climate].off_days(need, one.date) for one in dates] for need in tried])
    weights = np.array([one.certainty for one in dates])
    climates = np.array([one.climate for one in dates])

    def best(counted: NDArray[np.bool_]) -> int:
        return int((np.square(off) * weights)[:, counted].sum(axis=1).argmin())

    whole = best(np.full(len(dates), True))
    left_out: list[float] = []
    if np.unique(climates).size >= ENOUGH_CLIMATES:
        for climate in dict.fromkeys(climates.tolist()):
            left_out.append(float(off[best(climates != climate), climates == climate].mean()))
    return Fit(float(tried[whole]), tuple(off[whole].tolist()), tuple(left_out))


def _range(courses: Mapping[str, Course], dates: Sequence[Target]) -> tuple[float, float]:
    """From the least to the most that is there on the dates given, and somewhat beyond."""
    there = [courses[one.climate].there(one.date) for one in dates]
    return max(min(there) * 0.8, 0.05), max(there) * 1.25 + 0.1


def fits(only: str = "") -> Iterator[tuple[Key, Sequence[Target], Fit]]:
    """Of every marker, each after those it is counted from."""
    wanted = targets()
    for name in dict.fromkeys(species for species, _ in wanted):
        if only and only != name:
            continue
        species = load_catalogue().find(name)
        needs: dict[str, float] = {}
        for marker in species.markers:
            dates = wanted.get((name, marker))
            if dates:
                courses = {one.climate: course(species, needs, marker, one.climate) for one in dates}
                fit = fitted(courses, dates)
                needs[marker] = float(f"{fit.need:.3g}")
                yield (name, marker), dates, fit


def write(key: Key, fit: Fit) -> None:
    """Put a need, and its spread where there is one, into the table it stands in."""
    name, marker = key
    path = ROOM / load_catalogue().find(name).files[marker]
    text = path.read_text("utf-8")
    heads = (f'[species."{name}".marker.{marker}]\n', f"[marker.{marker}]\n")
    head = next(one for one in heads if one in text)
    before, table, after = re.split(rf"({re.escape(head)}(?:(?!\[)[^\n]*\n)*)", text, maxsplit=1)
    table = re.sub(r"^need = .*$", f"need = {float(f'{fit.need:.3g}'):g}", table, flags=re.MULTILINE)
    if fit.sd_days:
        table = re.sub(r"^sd_days = .*$", f"sd_days = {fit.sd_days:g}", table, flags=re.MULTILINE)
    path.write_text(before + table + after, "utf-8")


def _cells(key: Key, dates: Sequence[Target], fit: Fit) -> tuple[str, ...]:
    off = ", ".join(f"{one.climate} {days:+.0f}" for one, days in zip(dates, fit.off_days, strict=True))
    left_out = ", ".join(f"{days:+.0f}" for days in fit.left_out_days)
    return (*key, f"{fit.need:.3g}", off, left_out, f"{fit.sd_days or ''}")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--write", action="store_true", help="put the needs into species/groups")
    parser.add_argument("--species", default="", help="this one alone")
    told = parser.parse_args()
    found = [*fits(told.species)]
    head = ("Species", "Marker", "Need", "Days off", "Left out", "Spread")
    show(*markdown_table(head, (_cells(*one) for one in found)))
    for key, _, fit in found if told.write else ():
        write(key, fit)


if __name__ == "__main__":
    main()
