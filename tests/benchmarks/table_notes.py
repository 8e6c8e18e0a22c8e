"""What notes bring a made yard: mean error in days by their number, and what odd and old ones count for.

`python -m tests.benchmarks.table_notes`: growth of trees that need a fifth more or less warmth than the
catalogue says, on Nagano's weather, seasons of 1995 to 2018; each note strays by two days, twenty times over.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from season_engine.phenology.dating import date_markers
from season_engine.phenology.learning import learn
from season_engine.phenology.stages import StageNote
from season_engine.species.catalogue import Species, load_catalogue
from tests.benchmarks.markdown import markdown_row
from tests.yards import NAGANO, view

YARDS = (
    ("Acer palmatum", "buds_swelling", 1.2),
    ("Pinus thunbergii", "candles_moving", 1.2),
    ("Larix decidua", "buds_swelling", 1.2),
    ("Pinus thunbergii", "candles_moving", 0.8),
)
WORDS = {1.2: "a fifth more", 0.8: "a fifth less"}
NOTES = (0, 1, 3, 5, 10)
SEASONS = range(1995, 2019)
NOISE_DAYS, DRAWS = 2.0, 20
PAST = view(NAGANO, dt.date(2021, 3, 1)).past
LAST = 2019  # the season looked ahead into when single notes are told of


def dated(species: Species) -> dict[str, dict[int, float]]:
    """Columns of each marker by season, in its own weather."""
    plain = date_markers(species, PAST).plain
    return {name: dict(zip(PAST.labels.tolist(), days.tolist(), strict=True)) for name, days in plain.items()}


def errors(name: str, marker: str, factor: float) -> list[float]:
    """Mean error in days by the number of notes."""
    species = load_catalogue().find(name)
    ours = species.markers[marker]
    needier = ours.model_copy(update={"need": ours.need * factor})
    truth = dated(replace(species, markers={**species.markers, marker: needier}))[marker]
    rule = dated(species)
    rng = np.random.default_rng(5)
    found = np.zeros((DRAWS, len(NOTES)))
    for draw in range(DRAWS):
        noted = {year: round(day + rng.normal(0.0, NOISE_DAYS)) for year, day in truth.items()}
        for place, count in enumerate(NOTES):
            off = []
            for season in SEASONS:
                last = range(season - count, season)
                notes = [StageNote(year, noted[year], ours.bbch) for year in last]
                shift = learn(species, notes, rule, season).shift_days
                off.append(abs(rule[marker][season] + shift - truth[season]))
            found[draw, place] = np.mean(off)
    return found.mean(axis=0).tolist()


def single_notes() -> Iterator[str]:
    """What old notes and odd ones move a Japanese maple by."""
    species = load_catalogue().find("Acer palmatum")
    rule = dated(species)

    def shift_days(late: Sequence[tuple[int, float]]) -> float:
        swelling = rule["buds_swelling"]
        notes = [
            StageNote(LAST - age, round(swelling[LAST - age] + days), species.markers["buds_swelling"].bbch)
            for age, days in late
        ]
        return learn(species, notes, rule, LAST).shift_days

    old, new = [(age, 10.0) for age in (11, 12, 13)], [(age, 0.0) for age in (1, 2, 3)]
    yield (
        "Acer palmatum: three notes ten days late, eleven to thirteen years old, move the dates by "
        f"{shift_days(old):.1f} days alone and by {shift_days([*new, *old]):.1f} beside three of the last "
        f"years, on time; a single note 10, 20 and 40 days late moves them by {shift_days([(1, 10.0)]):.1f}, "
        f"{shift_days([(1, 20.0)]):.1f} and {shift_days([(1, 40.0)]):.1f}."
    )


def lines() -> Iterator[str]:
    yield markdown_row(("Notes", *map(str, NOTES)))
    yield markdown_row(["---"] * (1 + len(NOTES)))
    for name, marker, factor in YARDS:
        told = (f"{days:.1f}" for days in errors(name, marker, factor))
        yield markdown_row((f"{name}, {WORDS[factor]}", *told))
    yield ""
    yield from single_notes()


if __name__ == "__main__":
    sys.stdout.write("\n".join(lines()) + "\n")
