"""Chances of frost and heat within six weeks at the twelve Japanese stations.

`python -m tests.benchmarks.table_hazards [FIRST [LAST]]`: every fifteen days of 2007 to 2024 on which past
years leave it open. A table of cases, the share in which it came, and the mean chance and Brier score from
past years as they were and as they are moved.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections import defaultdict

import numpy as np

from season_engine.traces.record import Record
from season_engine.traces.remainder import YEAR_DAYS, KnownDays
from tests.benchmarks.fit_remainder import station_series
from tests.benchmarks.markdown import markdown_row

AHEAD = np.arange(1, 43)
FROST_C, HEAT_C = (0.0, -2.0, -4.0), (30.0, 33.0, 35.0)
OPEN = (0.02, 0.98)  # chances over past years between which it is worth asking


def main(first: int = 2007, last: int = 2024) -> None:
    found: defaultdict[str, list[tuple[float, float, bool]]] = defaultdict(list)
    for _, series in station_series(dt.date(last, 12, 31)):
        record = Record(series)
        mean_c = (record.tmin_c + record.tmax_c) / 2
        for today in range(YEAR_DAYS * first - record.first, record.tmin_c.size - AHEAD.size, 15):
            back = np.arange(2, (today - 30) // YEAR_DAYS + 1)
            borrowed = (today + AHEAD) - YEAR_DAYS * back[:, None]
            so_far = KnownDays(mean_c, *np.array([[today + 1], [today + 1]]))
            (warmer,) = so_far.warmer_c(back[None], AHEAD[None])
            for sign, word, extreme, levels in (
                (-1, "colder", record.tmin_c, FROST_C),
                (1, "hotter", record.tmax_c, HEAT_C),
            ):
                for level in levels:
                    plain, moved = (
                        float((sign * (extreme[borrowed] + by) >= sign * level).any(axis=1).mean())
                        for by in (0.0, warmer)
                    )
                    came = bool((sign * extreme[today + AHEAD] >= sign * level).any())
                    if OPEN[0] < plain < OPEN[1]:
                        found[f"{level:g} degC or {word}"].append((plain, moved, came))
    head = ("Foreseen, as they were", "Moved", "Brier score, as they were", "Moved")
    sys.stdout.write(f"{markdown_row(('Within six weeks', 'Cases', 'Came', *head))}\n")
    sys.stdout.write(f"{markdown_row(['---'] * 7)}\n")
    for name, cases in found.items():
        plain, moved, came = np.array(cases).T
        chances = (f"{chance.mean():.1%}" for chance in (came, plain, moved))
        scores = (f"{np.mean((chance - came) ** 2):.3f}" for chance in (plain, moved))
        sys.stdout.write(f"{markdown_row((name, str(came.size), *chances, *scores))}\n")


if __name__ == "__main__":
    main(*(int(value) for value in sys.argv[1:]))
