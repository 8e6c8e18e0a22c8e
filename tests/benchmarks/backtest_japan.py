"""First flowers at the twelve Japanese stations, beside the figures published before.

`python -m tests.benchmarks.backtest_japan [none|3|all|earlier]`: seasons of 2006 and later by the catalogue's
rules, which are fitted on the years to 2005; with none, three or all of the site's own dates before each
season. "earlier": seasons of 1996 to 2005 by rules fitted on the years to 1995, with all of them.
`published.csv` keeps what was reached before on the same cases: "published" by a forecaster of its own, whose
figures had been published before, and "advice" by the dates that growers were told at that time.
"""

from __future__ import annotations

import csv
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np

from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import backtest
from season_engine.verify.cases import Row, rows
from season_engine.verify.observations import Observations, read_observations
from season_engine.verify.rules import rules_for
from tests.benchmarks.markdown import markdown_row
from tests.phenology.stations import LAST_TRAINED, TWELVE

PUBLISHED = Path(__file__).with_name("published.csv")
LEADS = (6.0, 4.0, 2.0, 1.0, 0.0)
EARLIER = 1995
NOTES: dict[str, int | None] = {"none": 0, "3": 3, "all": None}
WORDS = {
    "none": "No notes, as in a yard where nobody has noted anything yet",
    "3": "The last three notes",
    "all": "All notes",
}
HEADER = (
    *("Event, weeks ahead", "Cases", "MAE", "Calendar", "Skill", "CRPS", "Calendar"),
    *("In 50 %", "In 80 %", "80 % wide"),
)
DIGITS = {"mae": 2, "skill": 2, "crps": 2, "coverage50": 2, "coverage80": 2, "width80": 1}
Key = tuple[str, str]  # species, and weeks ahead or "known"
Known = Mapping[Key, Mapping[str, float]]


class Before(NamedTuple):
    """Figures reached before on the same cases."""

    published: Known
    advice: Known


def before(notes: str) -> Before:
    """What was reached before with so many notes."""
    found: dict[str, dict[Key, dict[str, float]]] = {"published": {}, "advice": {}}
    with PUBLISHED.open(encoding="utf-8", newline="") as file:
        for line in csv.DictReader(file):
            if line["notes"] == notes:
                numbers = {name: float(line[name]) for name in ("n", *DIGITS)}
                found[line["forecaster"]][line["species"], line["lead_weeks"]] = numbers
    return Before(**found)


def against_the_calendar(known: Before, found: Mapping[Key, Row]) -> Before:
    """The same with their skill against the calendar of now, on the same cases: it was cut less before."""

    def restated(those: Known) -> Known:
        return {
            key: {**numbers, "skill": 1 - numbers["mae"] / found[key].mae_calendar}
            for key, numbers in those.items()
        }

    return Before(*map(restated, known))


def observations(train_until: int = LAST_TRAINED) -> Observations:
    """All that is known of the twelve stations, mended as it could be at the end of a year."""
    files = (TWELVE / name for name in ("sites.csv", "weather.csv.gz", "events.csv"))
    return read_observations(*files, train_until)


def found_with(
    log_years: int | None,
    read: Observations,
    lead_weeks: Sequence[float] = LEADS,
    *,
    train_until: int = LAST_TRAINED,
    before_year: int | None = None,
) -> dict[Key, Row]:
    """The rows of a backtest that learns from so many of each site's own dates.

    Of seasons that begin before `before_year` alone, where it is given.
    """
    jobs = os.cpu_count() or 1
    rules = rules_for(read, train_until, load_catalogue(), jobs=jobs)
    done = backtest(read, train_until, lead_weeks, rules.of_events, log_years=log_years, jobs=jobs)
    cases = [case for case in done.cases if before_year is None or case.season.year < before_year]
    return {(row.subject.species, lead_word(row.lead_weeks)): row for row in rows(cases)}


def lead_word(lead_weeks: float | None) -> str:
    return "known" if lead_weeks is None else f"{lead_weeks:g}"


def figures(row: Row) -> dict[str, float]:
    """Those that are kept, by their columns."""
    assert row.skill is not None
    return {name: row.skill if name == "skill" else getattr(row.summary, name) for name in DIGITS}


def table(found: Mapping[Key, Row], known: Known | None) -> Iterator[str]:
    """One line a row; figures published before, where there are any, in brackets."""
    yield markdown_row(HEADER)
    yield markdown_row(["---"] * len(HEADER))
    for (species, lead), row in found.items():
        ours = figures(row)
        told = {name: shown(name, ours) for name in DIGITS}
        if known:
            theirs = known[species, lead]
            assert row.summary.n == theirs["n"], "other cases than before"
            told = {name: f"{now} ({shown(name, theirs)})" for name, now in told.items()}
        yield markdown_row(
            (
                *(f"{species}, {'weather known' if lead == 'known' else lead}", str(row.summary.n)),
                *(told["mae"], f"{row.mae_calendar:.2f}", told["skill"], told["crps"]),
                *(f"{row.crps_calendar:.2f}", told["coverage50"], told["coverage80"], told["width80"]),
            )
        )


def shown(name: str, numbers: Mapping[str, float]) -> str:
    if name.startswith("coverage"):
        return f"{numbers[name]:.0%}"
    return f"{numbers[name]:.{DIGITS[name]}f}"


def verdicts(found: Mapping[Key, Row], known: Before) -> Iterator[str]:
    """Means over the leads beside both earlier engines, rows that are worse, and whether ranges hold."""
    ours = {key: figures(row) for key, row in found.items()}
    for species in dict.fromkeys(species for species, _ in found):
        told = []
        for name, label, digits in (("mae", "MAE", 2), ("skill", "skill", 3), ("crps", "CRPS", 2)):
            now, published, advice = (f"{mean(of, species, name):.{digits}f}" for of in (ours, *known))
            told.append(f"{label} {now} (published {published}, advice {advice})")
        yield f"- {species}, mean over the leads: {'; '.join(told)}"
    for name, label, sign in (("skill", "skill", -1), ("crps", "CRPS", 1)):
        yield f"- Worse than published, {label}: " + named(
            (key, f"{ours[key][name]:.3f} for {theirs[name]:.3f}")
            for key, theirs in known.published.items()
            if sign * (ours[key][name] - theirs[name]) > 0
        )
    yield _calendar_better(found)
    yield from _held(found, known)


def _calendar_better(found: Mapping[Key, Row]) -> str:
    return "- CRPS worse than the calendar's: " + named(
        (key, f"{row.summary.crps:.2f} for {row.crps_calendar:.2f}")
        for key, row in found.items()
        if row.summary.crps > row.crps_calendar
    )


def _held(found: Mapping[Key, Row], known: Before) -> Iterator[str]:
    """Ranges of 80 in 100, the weather still to come."""
    ours = {key: row.summary.coverage80 for key, row in found.items()}
    ahead = {key: row.summary.n for key, row in found.items() if key[1] != "known"}
    weights = list(ahead.values())
    now, published, advice = (
        f"{np.average([shares[key] for key in ahead], weights=weights):.1%}"
        for shares in (ours, *({key: one["coverage80"] for key, one in of.items()} for of in known))
    )
    least, most = (pick(ours[key] for key in ahead) for pick in (min, max))
    yield (
        f"- In 80 %, all leads: {now} held (published {published}, advice {advice}); by event and lead "
        f"{least:.0%} to {most:.0%}"
    )
    yield "- In 80 %, further from 80 than the advice before: " + named(
        (key, f"{ours[key]:.0%} for {theirs['coverage80']:.0%}")
        for key, theirs in known.advice.items()
        if abs(ours[key] - 0.8) > abs(theirs["coverage80"] - 0.8) + 0.005
    )


def mean(figures_of: Known, species: str, name: str) -> float:
    """Over the leads, each counting once."""
    return float(np.mean([numbers[name] for key, numbers in figures_of.items() if key[0] == species]))


def named(rows_told: Iterator[tuple[Key, str]]) -> str:
    """Rows by species, each with what is to be told of it."""
    leads: dict[str, list[str]] = {}
    for (species, lead), told in rows_told:
        leads.setdefault(species, []).append(f"{lead} ({told})")
    return "; ".join(f"{species} {', '.join(those)}" for species, those in leads.items()) or "never"


def beside_before(notes: str) -> Iterator[str]:
    """The table with so many notes, and what it says."""
    found = found_with(NOTES[notes], observations())
    known = against_the_calendar(before(notes), found)
    yield from (f"**{WORDS[notes]}**", "", *table(found, known.published), "", *verdicts(found, known))


def earlier() -> Iterator[str]:
    """Ten years that the choices were not looked at on."""
    found = found_with(None, observations(EARLIER), train_until=EARLIER, before_year=LAST_TRAINED)
    shares = [row.summary.coverage80 for (_, lead), row in found.items() if lead != "known"]
    weights = [row.summary.n for (_, lead), row in found.items() if lead != "known"]
    yield from (*table(found, None), "", _calendar_better(found))
    yield (
        f"- In 80 %, all leads: {np.average(shares, weights=weights):.1%} held; by event and lead "
        f"{min(shares):.0%} to {max(shares):.0%}"
    )


def main(which: Sequence[str]) -> None:
    parts = (earlier() if word == "earlier" else beside_before(word) for word in which)
    sys.stdout.write("\n\n".join("\n".join(lines) for lines in parts) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:] or tuple(NOTES))
