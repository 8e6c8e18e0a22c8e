"""What notes of a few yards are worth for the catalogue: `python -m tests.benchmarks.pooled_yards`.

First flowers of cherry at Japanese stations, each station a yard that noted so many springs up to 2005: the
error told of the rule, and the one it then has after 2005 at the stations that gave nothing. Then made yards:
how often a rule is written where warmth decides, and where the calendar alone does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cache

import numpy as np

from season_engine.phenology.rule import Rule, catalogue_rule, days_off
from season_engine.phenology.station_record import StationRecord
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.verify.backtest import known_until
from season_engine.verify.pooled_fit import EventFit, fit_event
from season_engine.verify.station_files import Event
from season_engine.weather.checks import check_and_fill
from season_engine.weather.sources.origins import GivenOrigin
from tests.benchmarks.markdown import markdown_row, markdown_table, show
from tests.phenology.stations import LAST_TRAINED, twelve
from tests.verify.simple import made_records, season_softened

CHERRY, BUDS = Event("Prunus x yedoensis", 61), Event("Acer palmatum", 1)
DRAWS, SEEDS = 6, 10
STATIONS, SPRINGS = (2, 4, 8), (3, 10)
MADE = ((2, 5), (3, 4), (6, 4))  # yards and springs
SD_DAYS = 5.0
Dates = Callable[[float], float]  # of the record -> noted


def last(record: StationRecord, springs: int) -> StationRecord:
    years = sorted(record.observed)[-springs:]
    return replace(record, observed={year: record.observed[year] for year in years})


def size(rule: Rule, records: Sequence[StationRecord]) -> float:
    return float(np.abs(days_off(rule, records).days).mean())


def rule_of(fit: EventFit, kind: Species) -> Rule:
    assert fit.marker is not None
    rule = catalogue_rule(replace(kind, markers={**kind.markers, fit.name: fit.marker}), fit.event.bbch)
    assert rule is not None
    return rule


def stations() -> Iterator[list[str]]:
    kind = load_catalogue().find(CHERRY.species)
    ours = catalogue_rule(kind, CHERRY.bbch)
    assert ours is not None
    before = known_until(twelve()[CHERRY.species], LAST_TRAINED)
    later = {
        one.site.name: replace(one, observed={y: day for y, day in one.observed.items() if y >= LAST_TRAINED})
        for one in twelve()[CHERRY.species]
    }
    for yards in STATIONS:
        for springs in SPRINGS:
            random = np.random.default_rng(1)
            found = []
            for _ in range(DRAWS):
                giving = random.choice(len(before), yards, replace=False).tolist()
                given = [last(before[place], springs) for place in giving]
                others = [later[one.site.name] for place, one in enumerate(before) if place not in giving]
                others = [one for one in others if one.observed]
                fit = fit_event(CHERRY, kind, given)
                if fit.marker is not None and fit.errors is not None:
                    told = fit.errors.left_out, fit.errors.mean_date
                    found.append((*told, size(rule_of(fit, kind), others), size(ours, others)))
            middle = np.median(found, axis=0) if found else np.full(4, np.nan)
            figures = (f"{days:.1f}" if np.isfinite(days) else "" for days in middle)
            yield [str(yards), str(springs), f"{len(found)} of {DRAWS}", *figures]


@cache
def made() -> tuple[StationRecord, ...]:
    records, _ = made_records(6, need=40.0, sd_days=0.0, levels=season_softened)
    return tuple(
        replace(one, series=check_and_fill(one.series, source=GivenOrigin("made")).series) for one in records
    )


def made_yards() -> Iterator[list[str]]:
    kind = load_catalogue().find(BUDS.species)
    middle = float(np.median([day for record in made() for day in record.observed.values()]))
    for decides, of in (("warmth", lambda day: day), ("the calendar", lambda _day: middle)):
        for yards, springs in MADE:
            fits = [_noted(kind, yards, springs, of, seed) for seed in range(SEEDS)]
            errors = [(one.errors.left_out, one.errors.mean_date) for one in fits if one.errors is not None]
            written = sum(one.outcome == "fitted" for one in fits)
            figures = (f"{days:.1f}" for days in np.mean(errors, axis=0))
            yield [decides, str(yards), str(springs), f"{written} of {SEEDS}", *figures]


def _noted(kind: Species, yards: int, springs: int, of: Dates, seed: int) -> EventFit:
    random = np.random.default_rng(seed)
    records = [last(one, springs) for one in made()[:yards]]
    noted = [
        {year: float(round(of(day) + random.normal(0, SD_DAYS))) for year, day in one.observed.items()}
        for one in records
    ]
    return fit_event(
        BUDS, kind, [replace(one, observed=days) for one, days in zip(records, noted, strict=True)]
    )


def main() -> None:
    head = ("Yards", "Springs each", "Written", "Told: at a yard left out", "Mean date")
    show(*markdown_table((*head, "After 2005, elsewhere", "The catalogue's rule there"), []))
    for row in stations():
        show(markdown_row(row))
    show("", *markdown_table(("What decides", *head), []))
    for row in made_yards():
        show(markdown_row(row))


if __name__ == "__main__":
    main()
