"""Fit the catalogue's first-flower markers on the twelve Japanese stations and print them as TOML.

``python -m tests.benchmarks.fit_catalogue``. Years up to and including 2005: the later ones are for tests.
Of near-equal models the best is taken, for a catalogue holds one rule. Its error is that of whole days
as the engine dates them, first without and then with the station's own log of earlier years.
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
        model = fit_softened(stations, LAST_TRAINED)[0]
        sys.stdout.write(toml(species, model, *errors(stations, model)))


def errors(stations: Sequence[SeasonRows], model: SoftenedModel) -> tuple[np.ndarray, np.ndarray]:
    """Days off in each noted season of the fit, without and with the station's log."""
    plain, with_log = [], []
    for rows in stations:
        whole_days = np.ceil(dated(rows, [model])) - 1
        used = ~np.isnan(rows.observed) & (rows.years < LAST_TRAINED)
        off = np.where(used, rows.observed - whole_days, np.nan)
        shift = log_shift(off, log_weights(used, rows.years, np.zeros_like(rows.years)))
        plain.append(off[used])
        with_log.append((off - shift)[used])
    return np.concatenate(plain), np.concatenate(with_log)


def toml(species: str, model: SoftenedModel, plain: np.ndarray, with_log: np.ndarray) -> str:
    source = (
        f"first flowers of {species} at twelve stations in Japan to {LAST_TRAINED}, "
        f"Japan Meteorological Agency, n = {plain.size}; mean error {np.abs(plain).mean():.1f} days, "
        f"{np.abs(with_log).mean():.1f} with the station's own log"
    )
    return f"""
# {species}; counted from day {model.start} of the season; mean of what it is off {plain.mean():+.2f} days
[marker.first_flowers]
kind = "softened_forcing"
label = "the first flowers open"
bbch = 61
need = {model.need:.3g}
unit = "days of full warmth"
steepness_per_c = {model.steepness_per_c:g}
middle_c = {model.middle_c:g}
softening = {model.softening:g}
sd_days = {plain.std():.1f}
from = "fit"
source = "{source}"
"""


if __name__ == "__main__":
    main()
