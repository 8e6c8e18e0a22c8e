"""Whether the odds that growers are told hold: first flowers at the twelve Japanese stations.

`python -m tests.benchmarks.told_odds [earlier]`: seasons of 2006 and later by the catalogue's rules, which
are fitted on the years to 2005; "earlier": seasons of 1996 to 2005 by rules fitted on the years to 1995, on
which settings may be chosen. By how many of the site's own last dates are learnt from, each with its interval
by whole years: the CRPS skill against the calendar and the share held of ranges of 50, 80 and 95 in 100,
given that nothing had come by the day of issue; and how often "it has come by then" is true, by tenths of its
chance: by the day of issue where nobody looked, and some weeks on where somebody did and saw nothing.

To choose settings by it: `figures(measured(EARLIER))`, a table of numbers by name.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from season_engine.phenology.date_odds import DateOdds
from season_engine.phenology.rule import Rule
from season_engine.phenology.station_record import StationRecord
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import DAYS, TRACES_TOGETHER, Asked, Knowing, StationForecaster, asked
from season_engine.verify.rules import rules_for
from season_engine.verify.scores import crps, day_by
from tests.benchmarks.backtest_japan import EARLIER, LEADS, observations
from tests.benchmarks.markdown import markdown_table, show
from tests.benchmarks.told_claims import Claims, FloatArray, missed_if_true, skill_between
from tests.phenology.stations import LAST_TRAINED

NOTES = (0, 1, 3, 5, 10)
WEEKS = tuple(float(weeks) for weeks in range(6, -4, -1))  # of issue, before the usual date
RANGES = {50: (0.25, 0.75), 80: (0.1, 0.9), 95: (0.025, 0.975)}
DAYS_ON = (7, 14, 28)
TENTHS = 10
FEWEST = 20  # claims that a tenth is judged on
SHOWN = (0, 3, 10)  # notes of which the tenths are printed
TOGETHER = "All three"
MOST_OFF = 0.03  # of the share held of 80 in 100

Columns = Mapping[str, FloatArray]


@dataclass(frozen=True)
class Found:
    """What was told of all forecasts and came: by species and notes, columns of shape (forecasts,).

    `year`, `season` (a number for each of a station), `weeks` (of issue, before the usual date), `looked`
    (1: nothing had come by the day of issue), `crps`, `crps_calendar`; of each range ("80") whether it `held`
    the day, and the odds `before` it and `until` its end; of "it has come by" ("today", "7") whether it
    `came`, and the chance `said`. All but "today" is given that nothing had come by the day of issue.
    """

    told: Mapping[tuple[str, int], Columns]

    @property
    def species(self) -> list[str]:
        return list(dict.fromkeys(species for species, _ in self.told))

    @property
    def notes(self) -> list[int]:
        return list(dict.fromkeys(notes for _, notes in self.told))

    @cached_property
    def ranges(self) -> dict[tuple[str, float, int, int], Claims]:
        """Ranges by species, weeks ahead, notes, and how many in 100."""
        return {
            (species, lead, notes, hundredths): _range(columns, lead, hundredths)
            for (species, notes), columns in self.told.items()
            for lead in LEADS
            for hundredths in RANGES
        }

    @cached_property
    def tenths(self) -> dict[tuple[str, int, str, int], Claims]:
        """Claims "it has come by": by species or all, notes, question and tenth of their chance."""
        found = {}
        for notes in self.notes:
            for question in ("today", *map(str, DAYS_ON), "later"):
                by_species = {name: _come(self.told[name, notes], question) for name in self.species}
                by_species[TOGETHER] = Claims.joined(list(by_species.values()))
                for name, claims in by_species.items():
                    place = np.minimum((claims.said * TENTHS + 1e-9).astype(int), TENTHS - 1)
                    for tenth in np.unique(place).tolist():
                        found[name, notes, question, tenth] = claims.where(place == tenth)
        return found

    @property
    def judged(self) -> list[Claims]:
        """Tenths with claims enough, each question by itself."""
        return [
            claims
            for (_, _, question, _), claims in self.tenths.items()
            if question != "later" and len(claims) >= FEWEST
        ]


def _range(columns: Columns, lead: float, hundredths: int) -> Claims:
    which = (columns["weeks"] == lead) & (columns["looked"] == 1)
    said = np.full(columns["year"].size, hundredths / 100)
    held, before, until = (columns[f"{name} {hundredths}"] for name in ("held", "before", "until"))
    return Claims(said, held, before, until, columns["year"], columns["season"]).where(which)


def _come(columns: Columns, question: str) -> Claims:
    """Of "today", or so many days on ("later": all of these) from the weeks a backtest forecasts from."""
    if question == "later":
        return Claims.joined([_come(columns, str(days)) for days in DAYS_ON])
    said, came = columns[f"said {question}"], columns[f"came {question}"]
    which = np.ones(said.size, bool)
    if question != "today":
        which = np.isin(columns["weeks"], LEADS) & (columns["looked"] == 1)
    return Claims(said, came, np.zeros(said.size), said, columns["year"], columns["season"]).where(which)


def measured(train_until: int = LAST_TRAINED, notes: Sequence[int] = NOTES) -> Found:
    """All forecasts of the seasons after `train_until`; those after 1995 up to 2005 alone."""
    from joblib import Parallel, delayed

    read, jobs = observations(train_until), os.cpu_count() or 1
    rules = rules_for(read, train_until, load_catalogue(), jobs=jobs).of_events
    before_year = LAST_TRAINED if train_until < LAST_TRAINED else sys.maxsize
    pieces = [
        (place, rules[event], record)
        for event, records in read.records.items()
        for place, record in enumerate(records)
        if event in rules
    ]
    work = (delayed(station_columns)(*piece, train_until, before_year, notes) for piece in pieces)
    found = Parallel(n_jobs=jobs)(work)
    told: dict[tuple[str, int], Columns] = {}
    for species in dict.fromkeys(rule.species.name for _, rule, _ in pieces):
        parts = [
            part for (_, rule, _), part in zip(pieces, found, strict=True) if rule.species.name == species
        ]
        for count in notes:
            those = [part[count] for part in parts if part]
            told[species, count] = {key: np.concatenate([one[key] for one in those]) for key in those[0]}
    return Found(told)


def station_columns(
    place: int, rule: Rule, record: StationRecord, train_until: int, before_year: int, notes: Sequence[int]
) -> dict[int, Columns]:
    """Columns of one station's forecasts, by notes."""
    forecasts = [
        one
        for one in asked(record, train_until, WEEKS, come_too=True)
        if one.lead_weeks is not None and one.season.year < before_year
    ]
    if not forecasts:
        return {}
    forecasts.sort(key=lambda one: (-(one.lead_weeks or 0.0), one.season.year))
    forecaster = StationForecaster(rule, record, {one.season.year for one in forecasts})
    size = max(1, TRACES_TOGETHER // max(1, len(record.series) // DAYS))
    parts: dict[int, list[Columns]] = {count: [] for count in notes}
    for start in range(0, len(forecasts), size):
        together = forecasts[start : start + size]
        ways = [Knowing(count, looked) for count in notes for looked in (True, False)]
        odds = iter(forecaster.odds_by(together, ways))
        for count, looked, blind in zip(notes, odds, odds, strict=True):
            parts[count].append(_columns(place, together, looked, blind))
    return {
        count: {key: np.concatenate([one[key] for one in those]) for key in those[0]}
        for count, those in parts.items()
    }


def _columns(place: int, forecasts: Sequence[Asked], looked: DateOdds, blind: DateOdds) -> Columns:
    """What was told by those who looked and those who didn't, and what came."""
    year = np.array([one.season.year for one in forecasts])
    day, issued = (np.array([getattr(one, name) for one in forecasts]) for name in ("day", "issued_day"))
    calendar = [float(crps(one.calendar.forecast(one.issued_day), one.day)) for one in forecasts]
    found = {
        "year": year,
        "season": place * 10_000 + year,
        "weeks": np.array([one.lead_weeks for one in forecasts]),
        "looked": (day > issued) * 1.0,
        "crps": crps(looked, day),
        "crps_calendar": np.array(calendar),
        "said today": _by(blind, issued),
        "came today": (day <= issued) * 1.0,
    }
    for days in DAYS_ON:
        found |= {f"said {days}": _by(looked, issued + days), f"came {days}": (day <= issued + days) * 1.0}
    for hundredths, tails in RANGES.items():
        first, last = day_by(looked, tails)
        found[f"held {hundredths}"] = ((first <= day) & (day <= last)) * 1.0
        found |= {f"before {hundredths}": _by(looked, first - 1), f"until {hundredths}": _by(looked, last)}
    return found


def _by(odds: DateOdds, day: FloatArray) -> FloatArray:
    """Chance that it has come by a day of each forecast."""
    return np.asarray(np.where(odds.days <= day[:, None], odds.weights, 0.0).sum(axis=-1))


def figures(found: Found) -> dict[str, float]:
    """Numbers to choose settings by: CRPS [days], shares held, and claims that miss."""
    numbers = {}
    for notes in found.notes:
        scored = (_scored(found, species, lead, notes) for species in found.species for lead in LEADS)
        numbers[f"crps, {notes} notes"] = float(np.mean([ours.mean() for _, ours, _ in scored]))
    for hundredths, cells in _by_range(found).items():
        pooled = Claims.joined(cells)
        numbers |= {f"held of {hundredths}": pooled.share, f"odds in {hundredths}": pooled.in_odds}
    for name, claims in (("cells", list(found.ranges.values())), ("tenths", found.judged)):
        numbers[name] = len(claims)
        numbers[f"{name} missed"] = sum(one.misses for one in claims)
        numbers[f"{name} missed, by their odds"] = sum(one.misses_its_odds for one in claims)
    return numbers


def _by_range(found: Found) -> dict[int, list[Claims]]:
    """Cells by how many in 100."""
    return {size: [one for key, one in found.ranges.items() if key[3] == size] for size in RANGES}


def _scored(found: Found, species: str, lead: float, notes: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Years, CRPS, and that of the calendar."""
    columns = found.told[species, notes]
    which = (columns["weeks"] == lead) & (columns["looked"] == 1)
    return columns["year"][which], columns["crps"][which], columns["crps_calendar"][which]


def ranges_table(found: Found, notes: int) -> Iterator[str]:
    """One row an event and lead: skill, and share held of each range."""

    def row(species: str, lead: float) -> Sequence[str]:
        year, ours, calendar = _scored(found, species, lead, notes)
        low, high = skill_between(year, ours, calendar)
        held = [share_told(found.ranges[species, lead, notes, hundredths]) for hundredths in RANGES]
        skill = 1.0 - ours.sum() / calendar.sum()
        told = (
            f"{species}, {lead:g}",
            str(year.size),
            f"{ours.mean():.2f}",
            f"{skill:.2f} ({low:.2f} to {high:.2f})",
        )
        return *told, *held

    head = ("Event, weeks ahead", "Cases", "CRPS", "Skill", *(f"In {hundredths} %" for hundredths in RANGES))
    yield from markdown_table(head, (row(species, lead) for species in found.species for lead in LEADS))


def share_told(claims: Claims) -> str:
    """Share that came true with its interval; marked where that leaves out what was said."""
    low, high = claims.between
    return f"{claims.share:.0%} ({low:.0%} to {high:.0%}){'*' if claims.misses else ''}"


def tenths_table(found: Found, notes: int, question: str) -> Iterator[str]:
    """One row a tenth: said, came, and of how many, by species and of all."""

    def cell(species: str, tenth: int) -> str:
        claims = found.tenths.get((species, notes, question, tenth))
        if claims is None or len(claims) < FEWEST:
            return f"{0 if claims is None else len(claims)} claims"
        return f"{claims.mean_said:.0%}: {share_told(claims)}, {len(claims)}"

    columns = (*found.species, TOGETHER)
    rows = (
        (f"{tenth * 10} to {tenth * 10 + 10} %", *(cell(species, tenth) for species in columns))
        for tenth in range(TENTHS)
    )
    yield from markdown_table(("Said", *columns), rows)


def verdicts(found: Found) -> Iterator[str]:
    """Shares held over all cells, and how many claims miss beside those of a perfect forecaster."""
    by_range = _by_range(found)
    for hundredths, cells in by_range.items():
        pooled = Claims.joined(cells)
        low, high = pooled.between
        told = f"{pooled.share:.1%} ({low:.1%} to {high:.1%}) of {len(pooled)} held"
        if hundredths == 80:
            told += f", {'within' if abs(pooled.share - 0.8) <= MOST_OFF else 'not within'} 77 to 83"
        yield f"- In {hundredths} %, all cells: {told}; their odds have {pooled.in_odds:.1%} there"
    yield ""
    named = {f"Cells, in {hundredths} %": cells for hundredths, cells in by_range.items()}
    yield from markdown_table(
        (
            "Miss",
            "Of",
            "Found",
            "If true: seasons apart",
            "years alike",
            "Their odds: found",
            "apart",
            "years alike",
        ),
        (_missed(name, claims) for name, claims in (named | {"Tenths": found.judged}).items()),
    )


def _missed(name: str, claims: Sequence[Claims]) -> Sequence[str]:
    """How many miss what they say, and what their odds have; found, and as of a perfect forecaster."""
    alone, shared = (missed_if_true(claims, shared_years=shared).tolist() for shared in (False, True))
    said = (str(sum(one.misses for one in claims)), f"{alone[0]:.0f}", f"{shared[0]:.0f}")
    odds = (str(sum(one.misses_its_odds for one in claims)), f"{alone[1]:.0f}", f"{shared[1]:.0f}")
    return name, str(len(claims)), *said, *odds


def main(train_until: int = LAST_TRAINED) -> None:
    found = measured(train_until)
    for notes in found.notes:
        show(f"**Notes: {notes}**", "", *ranges_table(found, notes), "")
    for notes in SHOWN:
        show(f"**Come by the day of issue, nobody looked; notes: {notes}**", "")
        show(*tenths_table(found, notes, "today"), "")
        show(f"**Come 7, 14 or 28 days on, nothing seen on the day of issue; notes: {notes}**", "")
        show(*tenths_table(found, notes, "later"), "")
    show(*verdicts(found))


if __name__ == "__main__":
    main(EARLIER if "earlier" in sys.argv[1:] else LAST_TRAINED)
