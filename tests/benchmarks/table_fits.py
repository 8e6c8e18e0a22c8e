"""Errors of the catalogue's rules that are fits, on the years they are fitted on and on later ones.

`python -m tests.benchmarks.table_fits`: first flowers at the twelve Japanese stations, the season's weather
known, in days; `python -m tests.benchmarks.fit_catalogue` fits the rules themselves.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

import numpy as np

from season_engine.phenology.rule import catalogue_rule
from season_engine.phenology.seasons import past_seasons
from season_engine.species.catalogue import load_catalogue
from tests.benchmarks.fit_catalogue import STAGE, days_off, mean_error
from tests.benchmarks.markdown import markdown_row
from tests.phenology.stations import LAST_TRAINED, twelve

HEADER = (
    *("Mean error", "Seasons", f"To {LAST_TRAINED}", "By station", "Its own log known"),
    *(f"After {LAST_TRAINED}", "Its own log known", "Later than the rule", "By station, all years"),
)


def lines() -> Iterator[str]:
    yield markdown_row(HEADER)
    yield markdown_row(["---"] * len(HEADER))
    for species, records in twelve().items():
        rule = catalogue_rule(load_catalogue().find(species), STAGE)
        assert rule is not None
        found = []
        for record in records:
            fitted = past_seasons([record], noted=True).years < LAST_TRAINED
            found.append((*days_off(rule, record), fitted))
        plain, logged, fitted = (np.concatenate(part) for part in zip(*found, strict=True))
        each = [mean_error(off[then]) for off, _, then in found if then.any()]
        later = [float(off.mean()) for off, *_ in found if off.size]
        yield markdown_row(
            (
                *(species, str(int(fitted.sum())), f"{mean_error(plain[fitted]):.1f}"),
                *(f"{min(each):.1f} to {max(each):.1f}", f"{mean_error(logged[fitted]):.1f}"),
                *(f"{mean_error(plain[~fitted]):.1f}", f"{mean_error(logged[~fitted]):.1f}"),
                *(f"{plain[~fitted].mean():+.1f}", f"{min(later):+.1f} to {max(later):+.1f}"),
            )
        )


if __name__ == "__main__":
    sys.stdout.write("\n".join(lines()) + "\n")
