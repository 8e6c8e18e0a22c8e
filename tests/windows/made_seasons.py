"""Seasons made from real weather, with yards whose trees are off the catalogue's dates by its own error."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.dating import DRAWS, Dating, date_markers
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.tree import Tree
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect
from season_engine.windows.looks import Kept, NearDate, from_today, near_dates, subject
from season_engine.windows.opening import open_window
from season_engine.windows.teaching import Subject, middle
from tests.yards import KAGOSHIMA, NAGANO, TAKAYAMA, readings, view, view_on

FloatArray = NDArray[np.float64]

STATIONS = (NAGANO, TAKAYAMA, KAGOSHIMA)
YEARS = range(2000, 2024)
SPECIES_KEPT = 10
MOST_TREES = 6
FIRST_DAY, LAST_DAY = (2, 15), (6, 15)  # the busy part of a northern season
SURE = 0.02  # an answer this sure isn't a question


@dataclass(frozen=True)
class Yard:
    """The truth about one yard: the answers to all questions, and the days of each species' near dates."""

    answers: dict[tuple[str, str], bool]  # by species and marker
    truth: dict[str, FloatArray]  # days from today, in the order of `Subject.dates`


@dataclass(frozen=True)
class MadeSeason:
    """What could be asked on one day at one site, and the weather that came."""

    near: dict[str, list[NearDate]]
    subjects: dict[str, Subject]
    came: dict[str, Dating]  # each species' dates in the weather that came

    @property
    def candidates(self) -> list[tuple[str, str]]:
        """Species and marker of every question whose answer isn't sure beforehand."""
        asked = [(name, marker) for name, one in self.subjects.items() for marker in one.questions]
        return [
            (name, marker)
            for name, marker in asked
            if SURE < self.subjects[name].weights @ self.subjects[name].questions[marker] < 1 - SURE
        ]

    def yard(self, rng: np.random.Generator, own_noise_days: float = 0.0) -> Yard:
        """A yard off the catalogue's dates by one draw a species; each marker may stray by itself as well."""
        answers: dict[tuple[str, str], bool] = {}
        truth = {}
        for name, near in self.near.items():
            prospect = near[0].kept.prospect
            came = _drawn(prospect.species, self.came[name], rng, own_noise_days)
            today = came.traces.column(prospect.view.on)
            for marker in self.subjects[name].questions:
                answers[name, marker] = bool(came.dates[marker][0, 0] <= today)
            truth[name] = np.concatenate([_true_days(date, came, today) for date in near])
        return Yard(answers, truth)

    def error_days(self, asked: list[tuple[str, str]], yard: Yard) -> float:
        """Mean distance of the middle dates from the true ones, by how much they matter."""
        missed, mattered = 0.0, 0.0
        for name, one in self.subjects.items():
            questions = [marker for species, marker in asked if species == name]
            weights = answered(one, questions, [yard.answers[name, marker] for marker in questions])
            order = np.argsort(one.dates, axis=1)
            middles = [middle(days[row], weights[row]) for days, row in zip(one.dates, order, strict=True)]
            missed += float(one.matters @ np.abs(np.array(middles) - yard.truth[name]))
            mattered += float(one.matters.sum())
        return missed / mattered


def make_season(rng: np.random.Generator) -> MadeSeason:
    """A station on a day of one of its years, and trees of some of the catalogue's species."""
    site = STATIONS[rng.integers(len(STATIONS))]
    year = int(rng.choice(YEARS))
    first, last = (dt.date(year, *day) for day in (FIRST_DAY, LAST_DAY))
    on = first + dt.timedelta(int(rng.integers((last - first).days + 1)))
    seen, season = view_on(site, readings(site), on), site.season_on(on)
    after = season.last_trace_day + dt.timedelta(days=1)
    whole = view(site, after).season(season.year - site.season_on(after).year)
    assert len(whole) == 1, "the season as it came"
    catalogue = list(load_catalogue().species.values())
    near = {}
    for place in rng.choice(len(catalogue), SPECIES_KEPT, replace=False):
        species, trees = catalogue[place], int(rng.integers(1, MOST_TREES + 1))
        own = tuple(History(Tree(f"t{n}", site.name, species.name)) for n in range(trees))
        prospect = Prospect(seen, species)
        near[species.name] = near_dates([Kept(prospect, one, own) for one in medium_bench_windows(species)])
    near = {name: dates for name, dates in near.items() if dates}
    came = {name: date_markers(load_catalogue().find(name), whole) for name in near}
    return MadeSeason(near, {name: subject(dates) for name, dates in near.items()}, came)


def medium_bench_windows(species: Species) -> list[Window]:
    """Windows of the jobs that are told in full, for a tree of middle size."""
    full = (one for one in species.windows if JOBS[one.job].told_in_full)
    return [one for one in full if one.size in (None, "medium")]


def _true_days(date: NearDate, came: Dating, today: int) -> FloatArray:
    opening = open_window(came, date.kept.window.opens, date.kept.window.closes)
    return from_today(opening.opens if date.end == "opens" else opening.closes, today)


def _drawn(species: Species, dating: Dating, rng: np.random.Generator, own_noise_days: float) -> Dating:
    """One draw of the catalogue's error for the species."""
    draw = rng.standard_normal()
    dates = {}
    for marker, columns in dating.dates.items():
        own = rng.normal(0, own_noise_days) if species.markers[marker].sd_days else 0.0
        date = float(np.interp(draw, DRAWS, columns[0])) + own if np.isfinite(columns).all() else np.inf
        dates[marker] = np.array([[date]])
    return replace(dating, dates=dates)


def answered(subject: Subject, questions: Sequence[str], answers: Sequence[bool]) -> FloatArray:
    """Weights once so many questions are answered, sum 1; as they were where no chance is left."""
    weights = subject.weights
    for question, answer in zip(questions, answers, strict=True):
        left = np.where(subject.questions[question] == answer, weights, 0.0)
        weights = left / left.sum() if left.any() else weights
    return weights
