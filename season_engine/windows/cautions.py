"""What can hurt whoever does a job: by the job, what the species has in it, and the size of the tree."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from season_engine.facts import NO_TEXT, Text
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS, CautionKind
from season_engine.tree import Size
from season_engine.weather.series import Weather
from season_engine.windows.weights import heavy_to_lift

# Common practice, no source.
WORK_STOPS_C = 35.0
HOT_SPELL_DAYS = 7  # so long after a day as hot as that it is told still


@dataclass(frozen=True, slots=True)
class Caution:
    """One thing that can hurt somebody."""

    kind: CautionKind
    parts: Text = NO_TEXT  # of the plant, where it is the plant that harms


def cautions_of(job: str, species: Species, size: Size, pot_l: float) -> tuple[Caution, ...]:
    """What to mind when doing a job on a tree of that species and size in such a pot, each kind once."""
    known = JOBS[job]
    found = [Caution(kind) for kind in known.cautions if _is_of(kind, size, pot_l)]
    if known.cuts and species.poison:
        found.append(Caution("poison", species.poison.parts))
    if known.cuts and species.skin:
        found.append(Caution("skin", species.skin.parts))
    return tuple(found)


def cautions_of_heat(weather: Weather, on: dt.date) -> tuple[Caution, ...]:
    """That nobody works in the sun, where it has been as hot lately or is forecast to be."""
    lately = weather.series.cut(on)
    first = (on - dt.timedelta(days=HOT_SPELL_DAYS) - lately.first_day).days
    read = bool(np.any(lately.tmax_c[max(0, first) :] >= WORK_STOPS_C))
    ahead = any(day.tmax_c >= WORK_STOPS_C for day in weather.forecast.days if day.date >= on)
    return (Caution("heat"),) if read or ahead else ()


def _is_of(kind: CautionKind, size: Size, pot_l: float) -> bool:
    """A small tree is cut with scissors, and what one person lifts needs no word."""
    if kind == "lifting":
        return heavy_to_lift(pot_l)
    return kind != "blades" or size != "small"
