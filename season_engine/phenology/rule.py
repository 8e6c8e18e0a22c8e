"""How one dated event is foretold: a marker of the catalogue, or one fitted on stations' own dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.base import Marker, behind
from season_engine.markers.kinds.season_day import SeasonDay
from season_engine.markers.kinds.softened_forcings import SoftenedForcings
from season_engine.phenology.dating import date_markers
from season_engine.phenology.fit import fit_rules
from season_engine.phenology.seasons import DAYS, IntArray, PastSeasons, past_seasons
from season_engine.phenology.stages import stage_marker
from season_engine.phenology.station_record import StationRecord
from season_engine.species.catalogue import Species

FloatArray = NDArray[np.float64]

SEASON, EVENT = "season", "event"  # markers of a fitted rule
LEAST_SD_DAYS, MOST_SD_DAYS = 0.5, 40.0
STATIONS_TOGETHER = 10  # dated in one go


@dataclass(frozen=True)
class Rule:
    """A species with the markers that one event hangs on, and the name of that event's marker."""

    species: Species
    marker: str

    @property
    def of_event(self) -> Marker:
        """The marker that stands for the event."""
        return self.species.markers[self.marker]


def catalogue_rule(species: Species, bbch: int) -> Rule | None:
    """The species' own rule for a stage, as it dates that stage for a grower; None where it has none."""
    name = stage_marker(species, bbch)
    if name is None:
        return None
    needed = behind([name], species.markers)
    markers = {key: marker for key, marker in species.markers.items() if key in needed}
    return Rule(replace(species, markers=markers, windows=()), name)


def fitted_rule(species: str, bbch: int, records: Sequence[StationRecord]) -> Rule:
    """A rule fitted on all the dates of the records, with the error it has there.

    Raises GrowerError where no date falls into a season with temperatures.
    """
    rules, source = fit_rules(records), f"{len(records)} records of {species}"
    start = SeasonDay.model_validate(
        {"kind": "season_day", "label": "the season begins", "day": 0, "from": "fit", "source": source}
    )
    event = SoftenedForcings.model_validate(
        {
            "kind": "softened_forcings",
            "label": f"it reaches stage {bbch:02d}",
            "bbch": bbch,
            "after": SEASON,
            "rules": rules,
            "from": "fit",
            "source": source,
        }
    )
    kind = Species(species, "", (species,), (), {SEASON: start, EVENT: event}, (), {})
    sd_days, year_sd_days = errors_of(Rule(kind, EVENT), records)
    known = event.model_copy(update={"sd_days": sd_days, "year_sd_days": year_sd_days})
    return Rule(replace(kind, markers={SEASON: start, EVENT: known}), EVENT)


def errors_of(rule: Rule, records: Sequence[StationRecord]) -> tuple[float, float]:
    """Standard deviation [days] of what a rule is off by, and of what of it strays from year to year."""
    return spread_of(days_off(rule, records))


@dataclass(frozen=True)
class DaysOff:
    """By how much a rule dates noted seasons too early, each station's years in order; shapes (seasons,)."""

    days: FloatArray  # infinite where it gives no date
    years: IntArray
    station: IntArray  # place in the records


def days_off(rule: Rule, records: Sequence[StationRecord]) -> DaysOff:
    """What a rule is off by in every noted season that lies within its station's record."""
    found = []
    for first in range(0, len(records), STATIONS_TOGETHER):
        seasons = past_seasons(records[first : first + STATIONS_TOGETHER], noted=True)
        apart = seasons.observed - dates_of(rule, seasons)
        found.append((apart, seasons.years, seasons.station + first))
    return DaysOff(*(np.concatenate(part) for part in zip(*found, strict=True)))


def spread_of(off: DaysOff) -> tuple[float, float]:
    """The two standard deviations [days] of `errors_of`.

    The second is taken from one season to the next at a station: half their mean squared difference (von
    Neumann), so that what a station is off for years, and slowly changes, has no part in it.
    """
    known = np.isfinite(off.days)
    errors, years, station = off.days[known], off.years[known], off.station[known]
    step = np.diff(errors)[(np.diff(years) == 1) & (np.diff(station) == 0)]
    whole = max(float(np.sqrt((errors**2).mean())), LEAST_SD_DAYS) if errors.size else MOST_SD_DAYS
    year = float(np.sqrt((step**2).mean() / 2)) if step.size else whole
    return min(whole, MOST_SD_DAYS), min(max(year, LEAST_SD_DAYS), whole, MOST_SD_DAYS)


def dates_of(rule: Rule, seasons: PastSeasons) -> FloatArray:
    """Day of the season a rule gives each past season in its own weather, shape (seasons,)."""
    if not seasons.years.size:
        return np.zeros(0)
    days = date_markers(rule.species, seasons.traces).plain[rule.marker][:, 0]
    return np.where(days < DAYS, days, np.inf)
