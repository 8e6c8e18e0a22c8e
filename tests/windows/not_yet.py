"""A made yard on a real station's weather, whose grower looks on the usual date and sees nothing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from season_engine.note import Note
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.species.schema import Window
from season_engine.windows.assess import Prospect
from season_engine.windows.opening import Opening, open_window
from tests.yards import NAGANO, view

SPECIES = (("Acer palmatum", "repotting"), ("Pinus thunbergii", "repotting"), ("Larix decidua", "repotting"))


@dataclass(frozen=True)
class Looked:
    """One season and one way the rule may have erred, in which nothing had come by the usual date."""

    year: int
    errors: tuple[float, float, float]  # with the note; without; without, but never in the past
    chance_in_the_past: float  # that is left with the note


def staged_window(species: str, job: str) -> tuple[Species, Window, str]:
    """A window and the one of its opening markers that a grower can see."""
    kind = load_catalogue().find(species)
    for window in kind.windows:
        staged = [name for name in window.opens if kind.markers[name].bbch is not None]
        if window.job == job and staged:
            return kind, window, staged[0]
    raise AssertionError(f"{species} has no such window")


def prospect(kind: Species, on: dt.date, *notes: Note) -> Prospect:
    return Prospect(view(NAGANO, on), kind, "medium", notes)


def not_yet(kind: Species, marker: str, on: dt.date) -> Note:
    """A stage looked for in vain."""
    return Note(on, NAGANO.name, species=kind.name, bbch=kind.markers[marker].bbch, sighting="not-yet")


def looked_on_the_usual_date(species: str, job: str, years: range) -> Iterator[Looked]:
    """Truths are the window's dates in the season's own weather, one for each draw of the rule's error."""
    kind, window, marker = staged_window(species, job)
    whole = prospect(kind, dt.date(2025, 12, 31))
    past = open_window(whole.past, window.opens, window.closes)
    labels = past.traces.labels.tolist()
    middles = np.median(past.opens, axis=1) - past.traces.season_start
    for year in years:
        place = labels.index(year - 1)  # the season that opens in the spring of `year`
        season = NAGANO.season_on(dt.date(year, 3, 1))
        usual = int(np.ceil(np.median(middles[max(place - 15, 0) : place])))
        on = season.date_of(usual)
        stage = whole.past.dates[marker][place] - past.traces.season_start
        came = past.opens[place] - past.traces.season_start
        yet_to_come = stage > usual
        if not yet_to_come.any():
            continue
        blind = days_and_weights(prospect(kind, on).opening(window, 0))
        known = days_and_weights(prospect(kind, on, not_yet(kind, marker, on)).opening(window, 0))
        middle, told = (_quantile(*found) for found in (blind, known))
        chance = float(known[1][known[0] <= usual].sum())
        for day in came[yet_to_come]:
            errors = abs(told - day), abs(middle - day), abs(max(middle, usual + 1) - day)
            yield Looked(year, errors, chance)


def days_and_weights(opening: Opening) -> tuple[np.ndarray, np.ndarray]:
    order = np.argsort(opening.opens, axis=None)
    return opening.opens.ravel()[order] - opening.traces.season_start, opening.weights.ravel()[order]


def _quantile(days: np.ndarray, weights: np.ndarray) -> float:
    return float(days[np.searchsorted(np.cumsum(weights), 0.5 * weights.sum())])
