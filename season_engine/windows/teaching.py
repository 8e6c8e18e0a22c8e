"""What an answer teaches: by how much a yes or no would bring the dates that matter nearer to the truth.

A chance is one trace with one draw of the rules' error; all of a species' markers share the draw, so an
answer about one of them tells of the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

# Of some date's error; for less it isn't worth a walk.
LEAST_SPARED_DAYS = 2.0
LEAST_SPARED_SHARE = 0.1


@dataclass(frozen=True)
class Subject:
    """One species: its chances, the dates that matter, and the questions that could be asked.

    `weights` has shape (chances,), sum 1; `dates` holds a column of finite days for each date that matters,
    shape (dates, chances), and `matters` how much each does; a question has its answer in each chance.
    """

    weights: FloatArray
    dates: FloatArray
    matters: FloatArray
    questions: Mapping[str, BoolArray]


@dataclass(frozen=True)
class Lesson:
    """One question, what its answer is worth, and the error of each date before and after; shape (dates,)."""

    question: str
    chance: float  # of a yes, before any other answer
    worth: float  # days of error spared, times how much they matter
    before_days: FloatArray
    after_days: FloatArray  # as is to be expected once the answer is known


def choose(subjects: Mapping[str, Subject], most: int) -> list[tuple[str, Lesson]]:
    """The questions worth asking, best first, each judged as if the ones before it were answered."""
    known = {name: np.zeros(subject.weights.size, np.int64) for name, subject in subjects.items()}
    best = {name: _best(subject, known[name]) for name, subject in subjects.items()}
    chosen: list[tuple[str, Lesson]] = []
    while len(chosen) < most:
        offers = [(lesson.worth, name, lesson) for name, lesson in best.items() if lesson is not None]
        if not offers:
            break
        _, name, lesson = max(offers, key=lambda offer: offer[0])
        chosen.append((name, lesson))
        known[name] = 2 * known[name] + subjects[name].questions[lesson.question]
        best[name] = _best(subjects[name], known[name])
    return chosen


def lessons(subject: Subject, known: IntArray) -> list[Lesson]:
    """What each question would teach, where it is known to which group a chance belongs; shape (chances,)."""
    before = errors_days(subject, known)
    told = []
    for question, answer in subject.questions.items():
        after = errors_days(subject, 2 * known + answer)
        worth = max(0.0, float(subject.matters @ (before - after)))  # less than nothing only by rounding
        told.append(Lesson(question, float(subject.weights @ answer), worth, before, after))
    return told


def _best(subject: Subject, known: IntArray) -> Lesson | None:
    """The question that teaches most, of those that teach enough."""
    enough = [
        lesson
        for lesson in lessons(subject, known)
        if worth_a_walk(lesson.before_days, lesson.after_days).any()
    ]
    return max(enough, key=lambda lesson: lesson.worth, default=None)


def worth_a_walk(before_days: FloatArray, after_days: FloatArray) -> BoolArray:
    """Of which dates an answer takes away enough of the error, shape (dates,)."""
    least = np.maximum(LEAST_SPARED_DAYS, LEAST_SPARED_SHARE * before_days)
    return np.asarray(before_days - after_days >= least)


def errors_days(subject: Subject, groups: IntArray) -> FloatArray:
    """Mean distance from the middle date, as is to be expected once the group is known, shape (dates,)."""
    return np.array([_error_days(dates, subject.weights, groups) for dates in subject.dates])


def _error_days(dates: FloatArray, weights: FloatArray, groups: IntArray) -> float:
    order = np.argsort(dates, kind="stable")
    dates, weights, groups = dates[order], weights[order], groups[order]
    error = 0.0
    for group in np.unique(groups):
        inside = groups == group
        error += float(weights[inside] @ np.abs(dates[inside] - middle(dates[inside], weights[inside])))
    return error


def middle(dates: FloatArray, weights: FloatArray) -> float:
    """The date by which half the weight lies at or below; dates in rising order."""
    so_far = np.cumsum(weights)
    place = int(np.searchsorted(so_far, so_far[-1] / 2 - 1e-12))
    return float(dates[min(place, dates.size - 1)])
