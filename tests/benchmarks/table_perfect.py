"""What a perfect forecast of the days ahead would be worth at the twelve Japanese stations.

`python -m tests.benchmarks.table_perfect`: CRPS skill of first flowers against the calendar, seasons of 2006
and later by the catalogue's rules with all notes: as the forecasts are made, and had the first days after the
day of issue been known too. No forecast can give more than that.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from joblib import Parallel, delayed

from season_engine.phenology.rule import Rule
from season_engine.phenology.seasons import DAYS
from season_engine.phenology.station_record import StationRecord
from season_engine.site import day_number
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import Asked, StationForecaster, asked
from season_engine.verify.rules import rules_for
from season_engine.verify.scores import crps, scores
from tests.benchmarks.backtest_japan import observations
from tests.benchmarks.markdown import markdown_table, show
from tests.phenology.stations import LAST_TRAINED

LEADS = (6.0, 4.0, 2.0, 1.0)
AHEAD = (0, 5, 9)  # days; 9 is the most that a forecast here has
TOGETHER = 20  # forecasts in one go: more take memory and save nothing
Sums = tuple[float, float, int]  # CRPS of the forecasts and of the calendar, and cases


@dataclass(frozen=True)
class Foreseen(Asked):
    """A forecast for which so many days after the day of issue are known as well."""

    days_ahead: int = 0

    @property
    def last_known(self) -> int:
        """Number of the last day whose weather may be used."""
        return super().last_known + self.days_ahead


def station_sums(rule: Rule, record: StationRecord) -> Iterator[tuple[float, int, Sums]]:
    """Sums by weeks and by days ahead; the same cases for all of them."""
    found = [one for one in asked(record, LAST_TRAINED, LEADS) if one.lead_weeks is not None]
    found = [one for one in found if _ends_within(one, record)]
    if not found:
        return
    forecaster = StationForecaster(rule, record, {one.season.year for one in found})
    for lead in LEADS:
        of_lead = [one for one in found if one.lead_weeks == lead]
        calendar = sum(float(crps(one.calendar.forecast(one.issued_day), one.day)) for one in of_lead)
        for days in AHEAD:
            ours = 0.0
            for start in range(0, len(of_lead), TOGETHER):
                some = [Foreseen(**vars(one), days_ahead=days) for one in of_lead[start : start + TOGETHER]]
                scored = scores(forecaster.odds(some), np.array([one.day for one in some]))
                ours += sum(one.crps for one in scored)
            yield lead, days, (ours, calendar, len(of_lead))


def _ends_within(one: Asked, record: StationRecord) -> bool:
    """Whether the season has all the days that may be known."""
    last = day_number(record.series.last_day)
    issued = one.issued_day if one.issued_day is not None else DAYS
    return issued + max(AHEAD) < DAYS and one.last_known + max(AHEAD) <= last


def main() -> None:
    read = observations()
    rules = rules_for(read, LAST_TRAINED, load_catalogue(), jobs=os.cpu_count() or 1).of_events
    work = [(event.species, rule, one) for event, rule in rules.items() for one in read.records[event]]
    done = Parallel(n_jobs=-1)(delayed(_listed)(rule, record) for _, rule, record in work)
    sums: dict[tuple[str, float, int], np.ndarray] = {}
    for (species, _, _), part in zip(work, done, strict=True):
        for lead, days, found in part:
            for subject in (species, "All three"):
                key = (subject, lead, days)
                sums[key] = sums.get(key, np.zeros(3)) + np.array(found)
    lines = []
    for subject in dict.fromkeys(subject for subject, _, _ in sums if subject != "All three"):
        lines += list(_lines(subject, sums))
    lines += list(_lines("All three", sums))
    head = ("As they are made", *(f"{days} days known" for days in AHEAD[1:]))
    show(*markdown_table(("Event, weeks ahead", "Cases", *head), lines))


def _listed(rule: Rule, record: StationRecord) -> list[tuple[float, int, Sums]]:
    return list(station_sums(rule, record))


def _lines(subject: str, sums: dict[tuple[str, float, int], np.ndarray]) -> Iterator[tuple[str, ...]]:
    for lead in LEADS:
        found = [sums[subject, lead, days] for days in AHEAD]
        skills = [1 - ours / calendar for ours, calendar, _ in found]
        more = (f"{skill:.3f} ({skill - skills[0]:+.3f})" for skill in skills[1:])
        yield f"{subject}, {lead:g}", f"{found[0][2]:.0f}", f"{skills[0]:.3f}", *more


if __name__ == "__main__":
    main()
