"""Fit the catalogue's first-flower markers on the twelve Japanese stations and print them as TOML.

``python -m tests.benchmarks.fit_catalogue``. Years up to and including 2005: the later ones are for tests.
Of the near-equal models that the fit keeps the one that errs least without a log is taken, for a catalogue
serves yards that have none yet. Errors are of whole days as the engine dates them.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import numpy as np

from season_engine.phenology.season_rows import SeasonRows, season_rows
from season_engine.phenology.softened_fit import SoftenedModel, dated, fit_softened, log_shift, log_weights
from tests.phenology.stations import LAST_TRAINED, twelve


def main() -> None:
    for species, records in twelve().items():
        stations = [season_rows(record) for record in records]
        models = fit_softened(stations, LAST_TRAINED)
        found = [(model, *errors(stations, model)) for model in models]
        sys.stdout.write(toml(species, *min(found, key=lambda one: mean_error(np.concatenate(one[1])))))


Errors = list[np.ndarray]  # an array a station


def errors(stations: Sequence[SeasonRows], model: SoftenedModel) -> tuple[Errors, Errors]:
    """Days off in each noted season of the fit, without and with the station's log."""
    plain: Errors = []
    with_log: Errors = []
    for rows in stations:
        whole_days = np.ceil(dated(rows, [model])) - 1
        used = ~np.isnan(rows.observed) & (rows.years < LAST_TRAINED)
        off = np.where(used, rows.observed - whole_days, np.nan)
        shift = log_shift(off, log_weights(used, rows.years, np.zeros_like(rows.years)))
        plain.append(off[used])
        with_log.append((off - shift)[used])
    return plain, with_log


def mean_error(off: np.ndarray) -> float:
    return float(np.abs(off).mean())


def toml(species: str, model: SoftenedModel, plain: Errors, with_log: Errors) -> str:
    off = np.concatenate(plain)
    by_station = [mean_error(one) for one in plain if one.size]
    source = (
        f"first flowers of {species} at {len(by_station)} stations in Japan to {LAST_TRAINED}, "
        f"Japan Meteorological Agency, n = {off.size}; mean error {mean_error(off):.1f} days "
        f"({min(by_station):.1f} to {max(by_station):.1f} by station), "
        f"{mean_error(np.concatenate(with_log)):.1f} with the station's own log"
    )
    return f"""
# {species}; counted from day {model.start} of the season; mean of what it is off {off.mean():+.2f} days
[marker.first_flowers]
kind = "softened_forcing"
label = "the first flowers open"
bbch = 61
need = {model.need:.3g}
unit = "days of full warmth"
steepness_per_c = {model.steepness_per_c:g}
middle_c = {model.middle_c:g}
softening = {model.softening:g}
sd_days = {off.std():.1f}
from = "fit"
source = "{source}"
"""


if __name__ == "__main__":
    main()
