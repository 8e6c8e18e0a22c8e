"""What a station's log of one event teaches, as a journal does, for many seasons at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.learning import LearntArrays, of_autumn
from season_engine.phenology.own_dates import LASTING_DAYS, NotedDate, rule_is_beaten
from season_engine.phenology.rule_error import DECAY, RuleError, posterior, with_its_draws
from season_engine.species.catalogue import Species

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


def learn_log(
    species: Species,
    marker: str,
    years: IntArray,
    noted: FloatArray,
    ruled: FloatArray,
    seasons: IntArray,
    newest: int | None = None,
) -> LearntArrays:
    """What a log of one event teaches for each of many seasons, from its years before; shapes of `seasons`.

    Parameters
    ----------
    marker : the one that stands for the event.
    years : first years of the noted seasons, rising, shape (notes,).
    noted : the days on which it came, shape (notes,); NaN where nobody saw it.
    ruled : the days that its rule gave in those seasons' weather, infinite for none, shape (notes,).
    seasons : first years of the seasons looked ahead into, shape (cases,).
    newest : how many of the last noted seasons count; None: all.
    """
    age = seasons[:, None] - years
    later = np.cumsum((age > 0)[:, ::-1], axis=1)[:, ::-1]  # this one and those noted after it
    off = noted - ruled
    counts = (age > 0) & np.isfinite(off) & (later <= (years.size if newest is None else newest))
    weights = np.where(counts, np.exp(-DECAY * age), 0.0)
    error = RuleError.of([with_its_draws(species.markers, marker)])
    moved = posterior(off, weights, error)
    untaught = ~counts.any(axis=1)
    spread = np.where(untaught, 1.0, moved.sd_days / error.whole_days)
    shift = np.where(untaught, 0.0, moved.shift_days)
    own = np.array(
        [of_autumn(species, marker) or rule_is_beaten(noted[its], ruled[its], years[its]) for its in counts]
    )
    if not own.any():
        return LearntArrays(shift, spread)
    usual = _means(np.where(np.isfinite(ruled), ruled, 0.0), counts)
    known = posterior(noted - usual[:, None], weights, RuleError(LASTING_DAYS, error.year_days))
    column = np.where(own & ~untaught, usual + known.shift_days, np.nan)
    return LearntArrays(shift, spread, own_dates={marker: NotedDate(column, known.sd_days)})


def _means(values: FloatArray, counts: NDArray[np.bool_]) -> FloatArray:
    """Mean of those values that count in each case, shape (cases,); 0 where none does."""
    return np.asarray((counts * values).sum(axis=1) / np.maximum(counts.sum(axis=1), 1))
