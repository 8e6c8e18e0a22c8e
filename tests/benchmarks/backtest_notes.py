"""What a site's own notes are worth, and a look at the buds on the usual date.

`python -m tests.benchmarks.backtest_notes [worth|usual|made]`: first flowers at the twelve Japanese stations,
seasons of 2006 and later, by the catalogue's rules, which are fitted on the years to 2005; then windows of
made yards on Nagano's weather. "Not yet" is what a grower notes who looks on the usual date and sees nothing.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping

import numpy as np

from season_engine.phenology.rule import Rule
from season_engine.phenology.station_record import StationRecord
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import StationForecaster, asked
from season_engine.verify.rules import rules_for
from season_engine.verify.scores import crps, day_by
from tests.benchmarks.backtest_japan import before, found_with, lead_word, observations
from tests.benchmarks.markdown import markdown_row
from tests.phenology.stations import LAST_TRAINED
from tests.windows.not_yet import SPECIES, looked_on_the_usual_date

LOG_YEARS = {"0": 0, "1": 1, "3": 3, "5": 5, "10": 10, "all": None}
PUBLISHED = {"0": "none", "3": "3", "all": "all"}  # numbers of notes for which it is known
LEADS = (2.0,)
USUAL_DATE = 0.0  # weeks before it


def worth() -> Iterator[str]:
    """Mean error by how many of the site's own dates are learnt from."""
    read = observations()
    found = {told: found_with(years, read, LEADS) for told, years in LOG_YEARS.items()}
    known = {told: before(notes).published for told, notes in PUBLISHED.items()}
    yield markdown_row(("Own dates", *LOG_YEARS))
    yield markdown_row(["---"] * (1 + len(LOG_YEARS)))
    for species, lead in found["all"]:
        cells = []
        for told, those in found.items():
            published = f" ({known[told][species, lead]['mae']:.2f})" if told in known else ""
            cells.append(f"{those[species, lead].summary.mae:.2f}{published}")
        when = "weather known" if lead == lead_word(None) else f"{lead} weeks ahead"
        yield markdown_row((f"{species}, {when}", *cells))


def usual() -> Iterator[str]:
    """Seasons in which nothing had come by the usual date: dated that day with and without knowing so."""
    read = observations()
    rules = rules_for(read, LAST_TRAINED, load_catalogue()).of_events
    yield from _table(
        (event.species, np.concatenate([_errors(rules[event], record) for record in records]))
        for event, records in read.records.items()
    )


def _errors(rule: Rule, record: StationRecord) -> np.ndarray:
    """Errors and CRPS in days, shape (cases, 5)."""
    cases = [one for one in asked(record, LAST_TRAINED, (USUAL_DATE,)) if one.lead_weeks == USUAL_DATE]
    if not cases:
        return np.empty((0, 5))
    forecaster = StationForecaster(rule, record, [one.season.year for one in cases])
    day = np.array([one.day for one in cases])
    tomorrow = np.array([one.issued_day + 1.0 for one in cases if one.issued_day is not None])
    known, blind = (forecaster.odds(cases, looked=looked) for looked in (True, False))
    middles = day_by(known, 0.5), day_by(blind, 0.5), np.maximum(day_by(blind, 0.5), tomorrow)
    off = [np.abs(middle - day) for middle in middles]
    return np.stack([*off, crps(known, day), crps(blind, day)], axis=1)


def _table(found: Iterator[tuple[str, np.ndarray]]) -> Iterator[str]:
    head = ("Cases", "MAE knowing it", "not knowing", "not, but never in the past", "CRPS knowing it", "not")
    yield markdown_row(("Nothing by the usual date", *head))
    yield markdown_row(["---"] * (1 + len(head)))
    for species, errors in found:
        yield markdown_row((species, str(len(errors)), *(f"{mean:.2f}" for mean in errors.mean(axis=0))))


def made() -> Iterator[str]:
    """The same with a note in the journal and the windows of the catalogue."""
    head = ("Seasons", "MAE with the note", "without", "without, but never in the past")
    yield markdown_row(("Nothing by the usual date", *head))
    yield markdown_row(["---"] * (1 + len(head)))
    for species, job in SPECIES:
        found = list(looked_on_the_usual_date(species, job, range(1996, 2025)))
        means = np.mean([one.errors for one in found], axis=0)
        seasons = str(len({one.year for one in found}))
        yield markdown_row((f"{species}, {job}", seasons, *(f"{mean:.2f}" for mean in means)))
        assert max(one.chance_in_the_past for one in found) == 0, "a chance is left before the note's day"


TABLES: Mapping[str, Callable[[], Iterator[str]]] = {"worth": worth, "usual": usual, "made": made}


def main(which: list[str]) -> None:
    for name in which:
        sys.stdout.write("\n".join(TABLES[name]()) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:] or list(TABLES))
