"""What a rule is off by, in a yard every year and from year to year, and what notes leave of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.base import Marker

FloatArray = NDArray[np.float64]

# Of a rule's error, what strays from year to year where no fit says: rules are off by nine days and stray by
# three to six at the forest of docs/evidence/buds.md, and by as large a share where they are good (cherries).
YEAR_SHARE = 0.6
WILD = 0.05  # chance that a note is a slip: another tree, another month
WILD_SPAN_DAYS = 120.0
DECAY = 0.15  # a year; trees and observers change
GRID_DAYS = np.linspace(-60.0, 60.0, 241)
# How much more or less than the rule says a year's date may stray in a yard: tried, and how likely.
STRAYS_MORE = np.exp(np.linspace(-0.8, 0.8, 5))
STRAYS_SPREAD = 0.35  # of its logarithm


@dataclass(frozen=True)
class RuleError:
    """What a rule is off by, parted into what a yard has every year and what strays from year to year."""

    yard_days: float
    year_days: float

    @classmethod
    def of(cls, markers: Sequence[Marker]) -> RuleError:
        """Of several markers together; where one doesn't say what strays, it is a share of its error."""
        parts = np.array([_parted(marker.sd_days, marker.year_sd_days) for marker in markers])
        return cls(*np.sqrt((parts**2).mean(axis=0)).tolist())

    @property
    def whole_days(self) -> float:
        """Both together."""
        return float(np.hypot(self.yard_days, self.year_days))


def _parted(sd_days: float, year_sd_days: float | None) -> tuple[float, float]:
    if year_sd_days is not None:
        return max(sd_days**2 - year_sd_days**2, 1.0) ** 0.5, year_sd_days
    year = YEAR_SHARE * sd_days
    return (sd_days**2 - year**2) ** 0.5, year


@dataclass(frozen=True)
class Posterior:
    """What notes leave of a rule's error; leading axes are cases."""

    shift_days: FloatArray  # shape (...)
    sd_days: FloatArray  # of a date, with what strays in a year, shape (...)
    odds: FloatArray  # of each shift and straying, shape (..., shifts, strayings)
    no_slip: FloatArray  # chance that each note is none, given those, shape (..., notes, shifts, strayings)

    @property
    def right(self) -> FloatArray:
        """Chance that each note is no slip, shape (..., notes)."""
        return np.asarray((self.no_slip * self.odds[..., None, :, :]).sum(axis=(-2, -1)))


def posterior(
    differences_days: FloatArray, weights: FloatArray, error: RuleError, mean_days: float = 0.0
) -> Posterior:
    """The yard's shift and how far its years stray, by Bayes' rule on a grid of both.

    The rule's error is the prior: what of it is not one year's noise is the yard's. Each note is either
    right, give or take a year's noise, or a slip that tells nothing; old notes count for less. How much years
    stray is itself learnt: some observers and trees keep closer to a rule than others.

    Parameters
    ----------
    differences_days : noted later than the rule gave in that season's weather, shape (..., notes), or
        (notes,) where all cases have the same.
    weights : of each note, shape (..., notes); 0 where there is none, whatever the difference.
    mean_days : what the yard's shift likely is before any note.
    """
    strays = error.year_days * STRAYS_MORE
    known = np.where(np.isfinite(differences_days), differences_days, 0.0)[..., None, None]
    right = np.exp(-0.5 * ((known - GRID_DAYS[:, None]) / strays) ** 2)
    right *= (1 - WILD) / (strays * np.sqrt(2 * np.pi))
    either = right + WILD / WILD_SPAN_DAYS
    log_odds = (weights[..., None, None] * np.log(either)).sum(axis=-3)
    log_odds -= 0.5 * ((GRID_DAYS[:, None] - mean_days) / error.yard_days) ** 2
    # centred so that a priori the years' mean square is the rule's
    log_odds -= 0.5 * (np.log(STRAYS_MORE) / STRAYS_SPREAD + STRAYS_SPREAD) ** 2
    odds = np.exp(log_odds - log_odds.max(axis=(-2, -1), keepdims=True))
    odds /= odds.sum(axis=(-2, -1), keepdims=True)
    shift = odds.sum(axis=-1) @ GRID_DAYS
    variance = odds.sum(axis=-1) @ GRID_DAYS**2 - shift**2 + odds.sum(axis=-2) @ strays**2
    return Posterior(shift, np.sqrt(variance), odds, right / either)


def with_its_draws(markers: Mapping[str, Marker], name: str) -> Marker:
    """A marker with the whole error of its date, where days are counted: the other's error and its own.

    Errors of different stages add as independent ones do: what a forest's buds stray by at breaking is no
    more than at the first swelling (docs/evidence/buds.md).
    """
    marker = markers[name]
    others = [with_its_draws(markers, one) for one in marker.draws_on]
    if not others:
        return marker
    other = max(others, key=lambda one: one.sd_days)
    year = None if other.year_sd_days is None else float(np.hypot(other.year_sd_days, marker.sd_days))
    whole = float(np.hypot(other.sd_days, marker.sd_days))
    return marker.model_copy(update={"sd_days": whole, "year_sd_days": year})
