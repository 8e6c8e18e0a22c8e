"""Which buds to look at: the engine's three beside three at random, by the error left after the answers.

`python -m tests.benchmarks.teaching [SEASONS]`, two hundred unless told. Each season is a real station's,
seen on a random day from mid-February to mid-June on which more than three buds could be asked about; the
grower keeps ten species, one to six trees of each. Each season is lived in by several yards, whose species
are off the catalogue's dates by draws of the catalogue's own error.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

import numpy as np

from season_engine.windows.looks import BUDS_TO_LOOK_AT
from season_engine.windows.teaching import choose
from tests.benchmarks.markdown import markdown_table, show
from tests.windows.made_seasons import MadeSeason, make_season

SEED = 11
YARDS = 20  # of a season


def errors(season: MadeSeason, rng: np.random.Generator, own_noise_days: float) -> list[float]:
    """Error in days with no answer, with those to three buds at random, with those to the engine's three."""
    chosen = [(name, lesson.question) for name, lesson in choose(season.subjects, BUDS_TO_LOOK_AT)]
    candidates = season.candidates
    found = []
    for _ in range(YARDS):
        yard = season.yard(rng, own_noise_days)
        picked = [candidates[n] for n in rng.choice(len(candidates), BUDS_TO_LOOK_AT, replace=False)]
        found.append([season.error_days(asked, yard) for asked in ([], picked, chosen)])
    return [float(error) for error in np.mean(found, axis=0)]


def table(seasons: int, own_noise_days: float) -> np.ndarray:
    """Errors of so many made seasons, shape (seasons, 3)."""
    rng = np.random.default_rng(SEED)
    rows: list[list[float]] = []
    while len(rows) < seasons:
        season = make_season(rng)
        if len(season.candidates) > BUDS_TO_LOOK_AT:
            rows.append(errors(season, rng, own_noise_days))
    return np.array(rows)


def rows(seasons: int) -> Iterator[tuple[str, ...]]:
    for own_noise_days in (0.0, 4.0):
        found = table(seasons, own_noise_days)
        better = found[:, 1] - found[:, 2]
        error = better.std(ddof=1) / np.sqrt(seasons)
        strays = f"each stage straying by {own_noise_days:g} days of its own"
        yield (
            strays if own_noise_days else "as the rules err",
            *(f"{days:.2f}" for days in found.mean(axis=0)),
            f"{better.mean():.2f} (standard error {error:.2f})",
            f"{(better > 0).mean():.0%} of seasons",
        )


def main(seasons: int = 200) -> None:
    head = ("No look", "Three at random", "The engine's three", "Less than at random", "Less in")
    show(*markdown_table((f"Error of {seasons} seasons, days", *head), rows(seasons)))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
