"""Rules for the catalogue fitted on many yards' pooled dates, where these prove better than what is there.

A rule is judged at yards it has not seen: against the mean date of the yard's other years, and against the
catalogue's rule, where that has not seen the dates either.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from season_engine.facts import Progress
from season_engine.markers.kinds.softened_forcings import ForcingRule, SoftenedForcings
from season_engine.phenology.fit import fit_rules
from season_engine.phenology.rule import (
    MOST_SD_DAYS,
    DaysOff,
    FloatArray,
    Rule,
    catalogue_rule,
    days_off,
    spread_of,
)
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season
from season_engine.species.build import ordered
from season_engine.species.catalogue import Catalogue, Species
from season_engine.verify.pooled_notes import Pool
from season_engine.verify.rules import FEWEST_TRAINED, seen_until
from season_engine.verify.station_files import Event

# Two yards are the least of which one can be left out, and ten dates what a backtest asks of a fit. What has
# no more passes only where it beats the mean date at yards that the fit has not seen.
FEWEST_YARDS, FEWEST_DATES = 2, FEWEST_TRAINED
MOST_FOLDS = 10  # of more yards so many lots are left out in turn
STAGES = (*range(1, 20), *range(51, 70))  # BBCH: buds and leaves, flowers
_YEAR = Season(2001, "north")
SPRING = _YEAR.day_of(_YEAR.shortest_day), _YEAR.day_of(_YEAR.longest_day)  # when warmth decides over buds
# A date is a slip where it is both so far from what its yard is off by and so many spreads: with four, whole
# years of a real network's apricots, which no rule of warmth dates well, would be slips.
FARTHEST_DAYS, FARTHEST_SPREADS = 21.0, 6.0
SPREAD_OF_MEDIAN = 1.4826  # standard deviation by the median size of errors, where these are normal
FEWEST_OF_YARD = 3  # dates that tell what a yard is off by
START = "season_start"
EARLY_STARTS = ("cool_season", START)  # that warmth may be counted from, the one that needs a winter first
MUCH_THE_SAME = 1.02  # of two errors

Outcome = Literal["fitted", "too few", "no marker", "not of spring", "mean date", "catalogue"]


@dataclass(frozen=True, slots=True)
class Slip:
    """A date that is left out, being far from what its yard's other dates and all yards' rule give."""

    yard: str
    event: Event
    date: dt.date
    days: float  # later than that


@dataclass(frozen=True, slots=True)
class Errors:
    """Mean sizes of errors [days] on the same dates."""

    left_out: float  # of the rule fitted without the yard's dates
    mean_date: float  # of the mean date of the yard's other years, or of other yards where it has none
    catalogue: float  # of the catalogue's rule
    catalogue_better: bool | None  # on dates that it has not seen; None: there are too few of these


@dataclass(frozen=True)
class EventFit:
    """What became of one stage of a species."""

    event: Event
    yards: int
    dates: int
    outcome: Outcome
    name: str = ""  # of the marker it stands for
    errors: Errors | None = None
    slips: tuple[Slip, ...] = ()
    marker: SoftenedForcings | None = None  # with the errors it has at yards it has not seen
    within: float = 0.0  # mean size of its errors on the dates it was fitted on [days]


def fit_pool(
    pool: Pool, catalogue: Catalogue, *, jobs: int = 1, progress: Progress | None = None
) -> tuple[EventFit, ...]:
    """Fit each event of a pool; `jobs` processes share the yards left out, `progress` is told of events."""
    found: list[EventFit] = []
    for event, records in pool.records.items():
        found.append(fit_event(event, catalogue.find(event.species), records, jobs=jobs))
        if progress:
            progress(len(found), len(pool.records))
    return tuple(found)


def fit_event(event: Event, species: Species, records: Sequence[StationRecord], *, jobs: int = 1) -> EventFit:
    """Fit one stage of a species on records that hold whole seasons of their dates."""
    dates = sum(len(record.observed) for record in records)
    name = next((key for key, one in species.markers.items() if one.bbch == event.bbch), "")
    found = EventFit(event, len(records), dates, _refusal(event, name, records) or "fitted", name)
    if found.outcome != "fitted":
        return found
    rules = fit_rules(records)
    trial = _Trial(species, name, event.bbch).counted_from_the_best(rules, records)
    off = _left_out(trial, records, jobs)
    slips = _slips(event, records, off)
    if slips:
        records = _without(records, slips)
        rules, off = fit_rules(records), _left_out(trial, records, jobs)
    errors = _errors(trial, records, off)
    found = replace(found, dates=off.days.size, slips=slips, errors=errors)
    if errors.left_out >= errors.mean_date:
        return replace(found, outcome="mean date")
    if errors.catalogue_better:
        return replace(found, outcome="catalogue")
    sd_days, year_sd_days = spread_of(off)
    sd_days = min(sd_days * of_few_yards(len(records)), MOST_SD_DAYS)
    marker = trial.marker(rules).model_copy(
        update={"sd_days": sd_days, "year_sd_days": year_sd_days, "fitted_until": int(off.years.max()) + 1}
    )
    return replace(found, marker=marker, within=_size(days_off(trial.rule(rules), records).days))


def of_few_yards(yards: int) -> float:
    """How much wider the error is at one yard more: mean and spread of so few are themselves uncertain.

    The standard deviation of one more normal value by that of `yards`, of yards - 1 degrees of freedom.
    """
    return float(np.sqrt((yards + 1) / (yards - 1)))


@dataclass(frozen=True)
class _Trial:
    """A species with rules tried in the place of one of its markers."""

    species: Species
    name: str
    bbch: int
    after: str = START

    def marker(self, rules: Sequence[ForcingRule]) -> SoftenedForcings:
        old = self.species.markers[self.name]
        told = old.look_for or old.label
        table = {
            "kind": "softened_forcings",
            "label": f"stage {self.bbch:02d}" if told.values else told.template,
            "bbch": self.bbch,
            "after": self.after,
            "rules": tuple(rules),
            "from": "fit",
            "source": "pooled dates",
        }
        return SoftenedForcings.model_validate(table)

    def rule(self, rules: Sequence[ForcingRule] = ()) -> Rule:
        """With these rules; without any, the species' own."""
        new = {self.name: self.marker(rules)} if rules else {}
        kind = replace(self.species, markers=ordered({**self.species.markers, **new}))
        rule = catalogue_rule(kind, self.bbch)
        assert rule is not None  # the marker is of this very stage
        return rule

    def counted_from_the_best(self, rules: Sequence[ForcingRule], records: Sequence[StationRecord]) -> _Trial:
        """Counted from what asks for a winter, unless its warmth then begins too late for the dates."""
        markers = self.species.markers
        own = getattr(markers[self.name], "after", START)
        early = own in markers and markers[own].bbch is None
        first = [own] if early and markers[self.name].kind == "softened_forcings" else []
        tried = [replace(self, after=one) for one in (*first, *EARLY_STARTS) if one in markers]
        sizes = [_size(days_off(one.rule(rules), records).days) for one in tried]
        return next(one for one, size in zip(tried, sizes, strict=True) if size <= MUCH_THE_SAME * min(sizes))


def _refusal(event: Event, name: str, records: Sequence[StationRecord]) -> Outcome | None:
    """Why an event is not fitted at all."""
    days = [day for record in records for day in record.observed.values()]
    if event.bbch not in STAGES or not SPRING[0] <= np.median(days) <= SPRING[1]:
        return "not of spring"
    if not name:
        return "no marker"
    return "too few" if len(records) < FEWEST_YARDS or len(days) < FEWEST_DATES else None


def _left_out(trial: _Trial, records: Sequence[StationRecord], jobs: int) -> DaysOff:
    """What rules are off at yards that they were not fitted on, in the order of the records and years."""
    from joblib import Parallel, delayed

    folds = range(min(len(records), MOST_FOLDS))
    parts = [(records[fold :: len(folds)], _others(records, fold, len(folds))) for fold in folds]
    found = Parallel(n_jobs=jobs)(delayed(_fold)(trial, alone, others) for alone, others in parts)
    days, years = (np.concatenate([getattr(one, part) for one in found]) for part in ("days", "years"))
    station = np.concatenate(
        [fold + len(folds) * one.station for fold, one in zip(folds, found, strict=True)]
    )
    order = np.lexsort((years, station))
    return DaysOff(days[order], years[order], station[order])


def _others(records: Sequence[StationRecord], fold: int, folds: int) -> list[StationRecord]:
    return [record for place, record in enumerate(records) if place % folds != fold]


def _fold(trial: _Trial, alone: Sequence[StationRecord], others: Sequence[StationRecord]) -> DaysOff:
    return days_off(trial.rule(fit_rules(others)), alone)


def _slips(event: Event, records: Sequence[StationRecord], off: DaysOff) -> tuple[Slip, ...]:
    days = np.where(np.isfinite(off.days), off.days, np.nan)
    middle = np.full(days.size, np.nanmedian(days)) if np.isfinite(days).any() else np.zeros(days.size)
    for place in range(len(records)):
        own = off.station == place
        if np.isfinite(days[own]).sum() >= FEWEST_OF_YARD:
            middle[own] = np.nanmedian(days[own])
    apart = np.nan_to_num(days - middle)
    farthest = max(FARTHEST_DAYS, FARTHEST_SPREADS * SPREAD_OF_MEDIAN * float(np.median(np.abs(apart))))
    return tuple(
        Slip(record.site.name, event, season.date_of(int(record.observed[season.year])), float(apart[at]))
        for at in np.flatnonzero(np.abs(apart) > farthest)
        for record in [records[off.station[at]]]
        for season in [Season(int(off.years[at]), record.site.hemisphere)]
    )


def _without(records: Sequence[StationRecord], slips: Sequence[Slip]) -> list[StationRecord]:
    left = {(slip.yard, slip.date) for slip in slips}
    kept = []
    for record in records:
        seasons = (Season(year, record.site.hemisphere) for year in record.observed)
        observed = {
            season.year: day
            for season in seasons
            if (record.site.name, season.date_of(int(day := record.observed[season.year]))) not in left
        }
        if observed:
            kept.append(replace(record, observed=observed))
    return kept


def _errors(trial: _Trial, records: Sequence[StationRecord], off: DaysOff) -> Errors:
    observed = np.array(
        [records[place].observed[int(year)] for place, year in zip(off.station, off.years, strict=True)]
    )
    rule = trial.rule()
    present = days_off(rule, records).days
    unseen = off.years >= seen_until(rule)  # of seasons that ended after it
    judged = int(unseen.sum()) >= FEWEST_DATES
    better = _size(present[unseen]) <= _size(off.days[unseen]) if judged else None
    mean_date = _size(_off_mean_date(observed, off.station))
    return Errors(_size(off.days), mean_date, _size(present), better)


def _off_mean_date(observed: FloatArray, station: np.ndarray) -> FloatArray:
    """What each date is off from the mean of its yard's others; of a single one from the other yards'."""
    count = np.bincount(station).astype(np.float64)
    total = np.bincount(station, weights=observed)
    means = total[count > 0] / count[count > 0]
    elsewhere = (means.sum() - observed) / max(means.size - 1, 1)
    own = (total[station] - observed) / np.maximum(count[station] - 1, 1)
    return np.asarray(observed - np.where(count[station] > 1, own, elsewhere))


def _size(off: FloatArray) -> float:
    """Mean size of errors; a date that never comes is as far off as any."""
    return float(np.minimum(np.abs(off), MOST_SD_DAYS).mean())
