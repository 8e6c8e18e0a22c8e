"""From a public station, or any long record, to this yard: the difference learnt from days that both have."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter

from season_engine.files.whole import write_whole
from season_engine.weather.logger.cache import cache_name
from season_engine.weather.notices import YardFit
from season_engine.weather.quality.examine import examine
from season_engine.weather.quality.readings import both_read
from season_engine.weather.second.yard_terms import FEWEST_COMMON_DAYS, laid_on
from season_engine.weather.series import DailySeries, FloatArray

LEARNT_VERSION = 1  # to be raised whenever learning changes
BLOCK_DAYS = 30  # left out together when the learning is checked
FEWEST_BLOCKS, MOST_BLOCKS = 3, 12
SEASON_MONTHS = 10  # of the calendar with common days, from which on the time of year may count
BETTER, BETTER_UNSEEN = (
    0.97,
    0.90,
)  # of the error without: a correction does better, or isn't made; the second
# where most of the year was never seen
PENALTY = 1.0  # on the size of coefficients of scaled terms
YEAR_DAYS = 365.25
WILD = 1e6  # no number that is learnt from temperatures comes near it


@dataclass(frozen=True)
class Correction:
    """What is added to the station's extremes [degC] to get the yard's; both extremes in this order."""

    days: int  # common days it was learnt from
    seasonal: bool  # whether the time of year counts
    intercept: tuple[float, float]
    coefficients: tuple[tuple[float, ...], ...]  # of scaled terms, one row an extreme; none: no correction
    middle: tuple[float, ...]  # of each term
    scale: tuple[float, ...]
    reach: tuple[tuple[float, float], ...]  # lowest and highest value met: no term is taken beyond it
    error_before_c: tuple[float, float]  # mean absolute error without a correction
    error_after_c: tuple[float, float]  # with it, on blocks of days that were left out

    @property
    def used(self) -> bool:
        """Whether it is any better than none."""
        return bool(self.coefficients)

    @property
    def fit(self) -> YardFit | None:
        """How good it is; None where there was too little to learn from."""
        if self.days < FEWEST_COMMON_DAYS:
            return None
        after_c = self.error_after_c if self.used else None
        return YardFit(self.days, self.error_before_c, after_c, self.seasonal)


def corrected(station: DailySeries, correction: Correction) -> DailySeries:
    """The station's extremes as the yard would have read them."""
    if not correction.used:
        return station
    low, high = np.array(correction.reach).T
    terms = np.clip(_terms(station, seasonal=correction.seasonal), low, high)
    scaled = np.nan_to_num((terms - np.array(correction.middle)) / np.array(correction.scale))
    added = scaled @ np.array(correction.coefficients).T + np.array(correction.intercept)
    tmin_c, tmax_c = np.array([station.tmin_c, station.tmax_c]) + added.T
    middle, crossed = (tmin_c + tmax_c) / 2, tmin_c > tmax_c
    return DailySeries(
        station.first_day, np.where(crossed, middle, tmin_c), np.where(crossed, middle, tmax_c)
    )


def as_this_yard(
    station: DailySeries, yard: DailySeries, *, cache: Path, site: str
) -> tuple[DailySeries, YardFit | None]:
    """A long record as this yard would have read it, and how well that is known; None: not at all.

    Both must have been cut at the day that counts as today. False readings of either aren't learnt from.
    """
    good = examine(station)[0]
    correction = correction_for(good, examine(yard)[0], cache=cache, site=site)
    return corrected(good, correction), correction.fit


def correction_for(station: DailySeries, yard: DailySeries, *, cache: Path, site: str) -> Correction:
    """As `learnt`, from `cache` if these very readings were learnt from before.

    A cache that is damaged or can't be written is no error: it is learnt again.
    """
    station, yard = _common_part(station, yard)
    content = b"".join(part.tobytes() for part in (station.tmin_c, station.tmax_c, yard.tmin_c, yard.tmax_c))
    about = repr((LEARNT_VERSION, station.first_day)).encode()
    key = hashlib.sha256(about + b"\0" + content).hexdigest()
    kept_in = (cache / cache_name(site).replace("logger-", "yard-", 1)).with_suffix(".json")
    correction = _load(kept_in, key)
    if correction is None:
        correction = learnt(station, yard)
        _keep(kept_in, key, correction)
    return correction


def learnt(station: DailySeries, yard: DailySeries) -> Correction:
    """Learn the difference by a robust regression (Huber) on the station's weather and the time of year.

    Both must have been cut at the day that counts as today, and their false readings taken out. Blocks of a
    month are left out in turn to see how well the rest foretells them; a correction that does no better than
    none isn't made.
    """
    station, yard = _common_part(station, yard)
    near, here = (np.array([series.tmin_c, series.tmax_c]) for series in (station, yard))
    common = both_read(near) & both_read(here)
    days = int(np.count_nonzero(common))
    months = np.unique(station.days[common].astype("datetime64[M]").astype(np.int64) % 12)
    seasonal = months.size >= SEASON_MONTHS
    terms = _terms(station, seasonal=seasonal)[common]
    difference = (here - near)[:, common].T
    before = _mean_error(difference)
    nothing = Correction(days, seasonal, (0.0, 0.0), (), (), (), (), before, before)
    if days < FEWEST_COMMON_DAYS:
        return nothing
    foretold = np.empty_like(difference)
    blocks = _blocks(days)
    for block in range(blocks[-1] + 1):
        fit = _Fit(terms[blocks != block], difference[blocks != block])
        foretold[blocks == block] = fit.foretold(terms[blocks == block])
    after = _mean_error(difference - foretold)
    better = [
        new <= (BETTER if seasonal else BETTER_UNSEEN) * old for new, old in zip(after, before, strict=True)
    ]
    if not any(better):
        return nothing
    low, high = (new if good else old for good, new, old in zip(better, after, before, strict=True))
    return _Fit(terms, difference).correction(nothing, better, (low, high))


class _Fit:
    """A regression for each extreme on scaled terms."""

    def __init__(self, terms: FloatArray, difference: FloatArray) -> None:
        from sklearn.linear_model import HuberRegressor

        self.reach = np.nanmin(terms, axis=0), np.nanmax(terms, axis=0)
        self.middle, self.scale = np.nanmean(terms, axis=0), np.maximum(np.nanstd(terms, axis=0), 1e-6)
        scaled = self._scaled(terms)
        self.models = [
            HuberRegressor(alpha=PENALTY, max_iter=500).fit(scaled, target) for target in difference.T
        ]

    def _scaled(self, terms: FloatArray) -> FloatArray:
        scaled: FloatArray = np.nan_to_num((np.clip(terms, *self.reach) - self.middle) / self.scale)
        return scaled

    def foretold(self, terms: FloatArray) -> FloatArray:
        return np.column_stack([model.predict(self._scaled(terms)) for model in self.models])

    def correction(
        self, nothing: Correction, better: list[bool], error_after_c: tuple[float, float]
    ) -> Correction:
        """The fit as plain numbers; an extreme for which it is no better gets nothing added."""
        low, high = (
            float(model.intercept_) if good else 0.0 for model, good in zip(self.models, better, strict=True)
        )
        return replace(
            nothing,
            intercept=(low, high),
            coefficients=tuple(
                tuple((model.coef_ * good).tolist()) for model, good in zip(self.models, better, strict=True)
            ),
            middle=tuple(self.middle.tolist()),
            scale=tuple(self.scale.tolist()),
            reach=tuple(zip(*(limit.tolist() for limit in self.reach), strict=True)),
            error_after_c=error_after_c,
        )


def _terms(station: DailySeries, *, seasonal: bool) -> FloatArray:
    """What the difference may depend on, shape (days, terms): weather of this day and the last, season."""
    low, high = station.tmin_c, station.tmax_c
    spread = high - low
    columns = [low, high, spread, _day_before(low), _day_before(high)]
    if seasonal:
        year = (station.days.astype(np.int64) % YEAR_DAYS) * (2.0 * np.pi / YEAR_DAYS)
        waves = [np.cos(year), np.sin(year), np.cos(2.0 * year), np.sin(2.0 * year)]
        columns += [*waves, *(wave * spread for wave in waves[:2])]
    return np.column_stack(columns)


def _day_before(values: FloatArray) -> FloatArray:
    return np.concatenate(([np.nan], values))[: values.size]


def _blocks(days: int) -> NDArray[np.int64]:
    """Number of the block each common day belongs to; blocks are runs of days."""
    count = min(MOST_BLOCKS, max(FEWEST_BLOCKS, days // BLOCK_DAYS))
    return np.arange(days) * count // days


def _mean_error(difference: FloatArray) -> tuple[float, float]:
    low, high = np.abs(difference).mean(axis=0).tolist() if difference.size else (0.0, 0.0)
    return low, high


def _common_part(station: DailySeries, yard: DailySeries) -> tuple[DailySeries, DailySeries]:
    """Both on the days from the later start to the earlier end."""
    first_day = max(station.first_day, yard.first_day)
    days = max(0, (min(station.last_day, yard.last_day) - first_day).days + 1)
    return laid_on(station, first_day, days), laid_on(yard, first_day, days)


def _load(path: Path, key: str) -> Correction | None:
    try:
        kept = json.loads(path.read_text("utf-8"))
        if kept.pop("key") != key:
            return None
        correction = TypeAdapter(Correction).validate_python(kept)
        parts = (correction.intercept, correction.middle, *correction.coefficients, *correction.reach)
        if not (np.abs(np.concatenate(parts)) < WILD).all():  # nor for NaN
            return None
        with np.errstate(all="raise"):
            corrected(DailySeries(dt.date(2000, 1, 1), np.zeros(2), np.ones(2)), correction)
        return correction
    except Exception:  # a damaged file fails in many ways, and all mean the same: learn it again
        return None


def _keep(path: Path, key: str, correction: Correction) -> None:
    try:
        write_whole(path, json.dumps({"key": key, **asdict(correction)}, indent=1) + "\n")
    except OSError:
        return  # a read-only folder costs time, not results
