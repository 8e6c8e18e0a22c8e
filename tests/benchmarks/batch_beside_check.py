"""Hold sites judged side by side to each by itself: `python -m tests.benchmarks.batch_beside_check [SITES]`.

Two species, thirty years of days, four days of the year in turn; ends with an error at the first difference.
"""

from __future__ import annotations

import sys
from collections import Counter

from season_engine.batch.asked import Asked, catalogue_here
from season_engine.batch.judging import judge_block
from tests.batch.made import made_sites
from tests.batch.test_same_as_check import DAYS, hold_to_the_single_pass, readings
from tests.benchmarks.markdown import markdown_table, show

SPECIES = ("Pinus thunbergii", "Acer palmatum")
JOBS = ("repotting", "decandling", "needle-work", "structural-pruning")


def main(count: str = "200") -> None:
    rows = []
    for place, day in enumerate(DAYS):
        made = made_sites(int(count), day)[place :: len(DAYS)]
        asked = Asked(SPECIES, JOBS, day)
        results = judge_block([one.site for one in made], map(readings, made), asked)
        hold_to_the_single_pass(made, results, asked)
        windows = sum(len(found) for _, found in asked.windows(catalogue_here()))
        verdicts = Counter(found.judged.verdict for result in results for found in result.windows)
        met = ", ".join(f"{verdict} {times}" for verdict, times in sorted(verdicts.items()))
        rows.append((day.isoformat(), f"{len(made)}", f"{windows * len(made):,}", met))
    show(*markdown_table(("Day", "Sites", "Windows, all the same", "Of them"), rows))


if __name__ == "__main__":
    main(*sys.argv[1:])
