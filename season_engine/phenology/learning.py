"""What a grower's own notes say about a species in this yard: how far its dates run from the catalogue's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from season_engine.species.catalogue import Species

FloatArray = NDArray[np.float64]

YEAR_NOISE_DAYS = 6.0  # what one year's date strays from a perfect rule; best agency records: 2 to 7
WILD = 0.05  # chance that a note is a slip: another tree, another month
WILD_SPAN_DAYS = 120.0
DECAY = 0.15  # a year; trees and observers change
BUD_STAGES = 10  # buds pass through the codes below this by the week, flowers and leaves through two in days
GRID_DAYS = np.linspace(-60.0, 60.0, 481)


@dataclass(frozen=True, slots=True)
class StageNote:
    """A stage seen, or looked for and not seen yet, in one season."""

    season: int  # its first year
    column: int  # day in the trace
    bbch: int
    seen: bool = True


@dataclass(frozen=True)
class Learnt:
    """What notes change for one species: its dates in general, and this season's in particular."""

    shift_days: float = 0.0  # later than the catalogue
    spread: float = 1.0  # factor on the error of the rules
    notes: int = 0  # of past seasons, that this rests on
    seen: Mapping[str, int] = field(default_factory=dict)  # marker -> column, this season
    not_yet: Mapping[str, int] = field(default_factory=dict)


NOTHING = Learnt()


def stage_marker(species: Species, bbch: int) -> str | None:
    """The marker that stands for a growth stage, or the nearest to it; None where none is near."""
    staged = {name: marker.bbch for name, marker in species.markers.items() if marker.bbch is not None}
    near = sorted((abs(stage - bbch), name) for name, stage in staged.items())
    if not near:
        return None
    apart, name = near[0]
    return name if apart <= (1 if min(bbch, staged[name]) < BUD_STAGES else 2) else None


def learn(
    species: Species,
    notes: Iterable[StageNote],
    dated: Mapping[str, Mapping[int, float]],
    season: int,
) -> Learnt:
    """Read the notes of past seasons as a shift, and those of `season` as what is known of it.

    Parameters
    ----------
    dated : each marker's column in each past season's own weather, by the season's first year.
    season : first year of the season that is looked ahead into.
    """
    residuals, ages, errors = [], [], []
    seen: dict[str, int] = {}
    not_yet: dict[str, int] = {}
    for note in notes:
        marker = stage_marker(species, note.bbch)
        if marker is None:
            continue
        if note.season == season:
            _remember(seen if note.seen else not_yet, marker, note)
        elif note.seen and np.isfinite(column := dated[marker].get(note.season, np.inf)):
            residuals.append(note.column - column)
            ages.append(season - note.season)
            errors.append(species.markers[marker].sd_days)
    if not residuals:
        return Learnt(seen=seen, not_yet=not_yet)
    shift, left = _posterior(residuals, ages, float(np.mean(errors)))
    whole = float(np.mean(errors))
    spread = min(1.0, float(np.hypot(left, min(YEAR_NOISE_DAYS, whole))) / whole)
    return Learnt(shift, spread, len(residuals), seen, not_yet)


def _remember(known: dict[str, int], marker: str, note: StageNote) -> None:
    """The first day a stage was seen; the last on which it was looked for in vain."""
    before = known.get(marker, note.column)
    known[marker] = min(before, note.column) if note.seen else max(before, note.column)


def _posterior(residuals: Sequence[float], ages: Sequence[int], sd_days: float) -> tuple[float, float]:
    """Mean and spread of the yard's shift, by Bayes' rule on a grid.

    The catalogue's error is the prior: what of it is not one year's noise is the yard's. Each note is either
    right, give or take a year's noise, or a slip that tells nothing; old notes count for less.
    """
    yard = np.sqrt(max(sd_days**2 - YEAR_NOISE_DAYS**2, 4.0))
    log_odds = -0.5 * (GRID_DAYS / yard) ** 2
    for residual, age in zip(residuals, ages, strict=True):
        right = np.exp(-0.5 * ((residual - GRID_DAYS) / YEAR_NOISE_DAYS) ** 2)
        right /= YEAR_NOISE_DAYS * np.sqrt(2 * np.pi)
        log_odds = log_odds + np.exp(-DECAY * age) * np.log((1 - WILD) * right + WILD / WILD_SPAN_DAYS)
    odds = np.exp(log_odds - log_odds.max())
    odds /= odds.sum()
    mean = float(odds @ GRID_DAYS)
    return mean, float(np.sqrt(odds @ (GRID_DAYS - mean) ** 2))
