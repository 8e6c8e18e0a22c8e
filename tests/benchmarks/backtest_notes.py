"""What a site's own notes are worth, and a look at the buds on the usual date; two tables.

`python -m tests.benchmarks.backtest_notes`: first flowers at the twelve Japanese stations, learnt to 2005,
seasons of 2006 and later; then windows of made yards on Nagano's weather. "Not yet" is what a grower notes
who looks on the usual date and sees nothing. The rule is learnt from all twelve stations to 2005.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator

import numpy as np

from season_engine.phenology.train import SoftenedForecaster, train_forecaster
from season_engine.verify.backtest import backtest, known_until
from season_engine.verify.calendar import Calendar
from season_engine.verify.cases import rows
from season_engine.verify.observations import Observations, read_observations
from season_engine.verify.scores import crps
from tests.benchmarks.backtest_japan import REFERENCE, TWELVE
from tests.windows.not_yet import SPECIES, looked_on_the_usual_date

TRAIN_UNTIL = 2005
LOG_YEARS = (0, 1, 3, 5, 10, None)
ENOUGH = 0.3  # days by which five years of notes may miss the reference, which had ten


def by_log_years(observations: Observations) -> Iterator[str]:
    """Mean error with the season's weather known, by how many of the site's own dates are learnt from."""
    found: dict[int | None, dict[str, float]] = {}
    trained = {
        event: train_forecaster(known_until(records, TRAIN_UNTIL), TRAIN_UNTIL)
        for event, records in observations.records.items()
    }
    for years in LOG_YEARS:
        cases = []
        for event, records in observations.records.items():
            only = Observations({event: records}, ())
            cases += backtest(
                only, TRAIN_UNTIL, (), lambda *_, e=event: trained[e], log_years=years, jobs=1
            ).cases
        found[years] = {row.subject.species: row.summary.mae for row in rows(cases)}
    head = ("Own dates", *("all" if years is None else str(years) for years in LOG_YEARS), "Reference, ten")
    yield f"| {' | '.join(head)} |"
    yield "|" + " --- |" * len(head)
    for species in found[0]:
        reference = REFERENCE["MAE"][species, None]
        cells = (species, *(f"{found[years][species]:.2f}" for years in LOG_YEARS), f"{reference:.2f}")
        yield f"| {' | '.join(cells)} |"
    for species in found[0]:
        short = found[5][species] - REFERENCE["MAE"][species, None]
        yield f"{species}: five dates {short:+.2f} d from the reference: {'yes' if short <= ENOUGH else 'NO'}"


def on_the_usual_date(observations: Observations) -> Iterator[str]:
    """Seasons in which nothing had come by the usual date: forecast that day with and without knowing so."""
    for event, records in observations.records.items():
        forecaster = train_forecaster(known_until(records, TRAIN_UNTIL), TRAIN_UNTIL)
        errors = [error for record in records for error in _errors(forecaster, record)]
        yield f"{event.species}, {len(errors)} cases: {_told(errors)}"


def _errors(forecaster: SoftenedForecaster, record) -> Iterator[tuple[float, ...]]:
    at_site = forecaster.at(record)
    for year, day in sorted(record.observed.items()):
        log = [noted for season, noted in sorted(record.observed.items()) if season < year]
        if year < TRAIN_UNTIL or len(log) < 5:
            continue
        issued = Calendar.of(log).issue_day(0)
        if day <= issued:
            continue
        looked, blind = (at_site.forecast(year, issued, looked=known) for known in (True, False))
        middle = blind.quantile(0.5)
        yield (
            abs(looked.quantile(0.5) - day),
            abs(middle - day),
            abs(max(middle, issued + 1) - day),
            crps(looked, day),
            crps(blind, day),
        )


def _told(errors: list[tuple[float, ...]]) -> str:
    known, blind, clipped, known_crps, blind_crps = np.mean(errors, axis=0)
    return (
        f"MAE {known:.2f} knowing it, {blind:.2f} not, {clipped:.2f} not but never in the past; "
        f"CRPS {known_crps:.2f} and {blind_crps:.2f}"
    )


def on_made_yards() -> Iterator[str]:
    """The same with a note in the journal and the windows of the catalogue."""
    for species, job in SPECIES:
        found = list(looked_on_the_usual_date(species, job, range(1996, 2025)))
        known, blind, clipped = np.mean([one.errors for one in found], axis=0)
        yield (
            f"{species}, {job}, {len({one.year for one in found})} seasons: MAE {known:.2f} with the note, "
            f"{blind:.2f} without, {clipped:.2f} without but never in the past; "
            f"chance before the note's day {max(one.chance_in_the_past for one in found):.3f}"
        )


def main() -> None:
    files = (TWELVE / name for name in ("sites.csv", "weather.csv.gz", "events.csv"))
    observations = read_observations(*files, TRAIN_UNTIL)
    for table in (by_log_years(observations), on_the_usual_date(observations), on_made_yards()):
        for line in (*table, ""):
            sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    main()
