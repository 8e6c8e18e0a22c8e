"""Fit the catalogue's first-flower markers on the twelve Japanese stations and print them as TOML.

``make fits``. Years up to and including 2005: the later ones are for tests. Errors are of whole days as the
engine dates them, each station left out of its own fit in the last figure.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import numpy as np
from sklearn.model_selection import LeaveOneGroupOut

from season_engine.phenology.rule import Rule, dates_of, errors_of, fitted_rule
from season_engine.phenology.seasons import past_seasons
from season_engine.phenology.station_log import learn_log
from season_engine.phenology.station_record import StationRecord
from season_engine.verify.backtest import known_until
from tests.phenology.stations import LAST_TRAINED, twelve

STAGE = 61


def main() -> None:
    for species, records in twelve().items():
        known = known_until(records, LAST_TRAINED)
        rule = fitted_rule(species, STAGE, known)
        sys.stdout.write(toml(rule, known, left_out(species, known)))


def days_off(rule: Rule, record: StationRecord) -> tuple[np.ndarray, np.ndarray]:
    """Days off in each noted season of one station, without and with what its log taught before."""
    seasons = past_seasons([record], noted=True)
    ruled = dates_of(rule, seasons)
    off = seasons.observed - ruled
    if not off.size:
        return off, off
    learnt = learn_log(rule.species, rule.marker, seasons.years, seasons.observed, ruled, seasons.years)
    return off, off - np.asarray(learnt.shift_days)


def left_out(species: str, records: Sequence[StationRecord]) -> np.ndarray:
    """Days off at each station by a rule fitted on all the others."""
    places = np.arange(len(records))
    off = []
    for others, (alone,) in LeaveOneGroupOut().split(places, groups=places):
        rule = fitted_rule(species, STAGE, [records[place] for place in others])
        off.append(days_off(rule, records[alone])[0])
    return np.concatenate(off)


def mean_error(off: np.ndarray) -> float:
    return float(np.abs(off).mean())


def toml(rule: Rule, records: Sequence[StationRecord], elsewhere: np.ndarray) -> str:
    by_station = [parts for record in records if (parts := days_off(rule, record))[0].size]
    plain, logged = (np.concatenate(part) for part in zip(*by_station, strict=True))
    errors = [mean_error(off) for off, _ in by_station]
    sd_days, year_sd_days = errors_of(rule, records)
    lines = "".join(
        f"  {{ from_day = {one.from_day}, steepness_per_c = {one.steepness_per_c:g}, "
        f"middle_c = {one.middle_c:g}, softening = {one.softening:g}, need = {one.need:.4g} }},\n"
        for one in rule.of_event.rules
    )
    return f'''
# {rule.species.name}: mean of what it is off {plain.mean():+.2f} days
[marker.first_flowers]
kind = "softened_forcings"
label = "the first flowers open"
bbch = {STAGE}
rules = [
{lines}]
sd_days = {sd_days:.1f}
year_sd_days = {year_sd_days:.1f}
fitted_until = {LAST_TRAINED}
from = "fit"
source = """{rule.species.name} at {len(by_station)} stations, years to {LAST_TRAINED}, n = {plain.size}; \\
mean error {mean_error(plain):.1f} days ({min(errors):.1f} to {max(errors):.1f} by \\
station; {mean_error(elsewhere):.1f} at a station left out), {mean_error(logged):.1f} with the station's \\
own log; ..."""
'''


if __name__ == "__main__":
    main()
