"""How many planted faults the checks find, and how many good days they flag: ``python -m`` this module."""

from __future__ import annotations

import sys
from collections import Counter

import numpy as np

from season_engine.weather.logger.reading import read_logger
from season_engine.weather.quality.examine import examine
from season_engine.weather.second.yard_terms import in_yard_terms
from season_engine.weather.series import DailySeries
from tests.benchmarks.planting import FLAGRANT, SMALL, Planted, plant
from tests.yards import STATIONS

SEEDS = range(10)


def flagged(series: DailySeries, neighbour: DailySeries | None) -> tuple[np.ndarray, Counter[str]]:
    """Days on which any reading was left out, and how many days each check left out."""
    likely = None if neighbour is None else in_yard_terms(neighbour, series)
    _, flags = examine(series, second=likely)
    days = np.zeros(len(series), dtype=bool)
    counts: Counter[str] = Counter()
    for flag in flags:
        if flag.leaves_out:
            days[flag.finding.first : flag.finding.last + 1] = True
            counts[flag.check.kind] += flag.finding.last - flag.finding.first + 1
    return days, counts


def measure(
    series: DailySeries, neighbour: DailySeries | None, kinds: tuple[str, ...]
) -> tuple[dict[str, float], float]:
    """Share of the planted days of each kind that are flagged, and share of good days that are."""
    found: Counter[str] = Counter()
    planted_days: Counter[str] = Counter()
    false = good = 0
    for seed in SEEDS:
        planted: Planted = plant(series, seed=seed, kinds=kinds)
        days, _ = flagged(planted.series, neighbour)
        planted_days.update(planted.kind[planted.kind != ""].tolist())
        found.update(planted.kind[days & (planted.kind != "")].tolist())
        # The day a stuck sensor first read is no fault of its own, and yet part of the streak.
        before = np.isin(np.roll(planted.kind, -1), ("stuck", "stuck-single")) & (planted.kind == "")
        clean = (planted.kind == "") & ~before
        false += int(np.count_nonzero(days & clean))
        good += int(np.count_nonzero(clean))
    return {kind: found[kind] / planted_days[kind] for kind in kinds}, false / good


def steps_found(series: DailySeries, neighbour: DailySeries | None, size_c: float) -> tuple[float, int]:
    """Share of planted shifts of the highest reading that are found within two months, and of other finds."""
    found = other = 0
    for seed in SEEDS:
        day = int(np.random.default_rng(seed).integers(800, len(series) - 800))
        shifted = DailySeries(series.first_day, series.tmin_c, series.tmax_c.copy())
        shifted.tmax_c[day:] += size_c
        likely = None if neighbour is None else in_yard_terms(neighbour, shifted)
        near = [
            abs(flag.finding.first - day) <= 60
            for flag in examine(shifted, second=likely)[1]
            if flag.check.kind == "step"
        ]
        found += any(near)
        other += len(near) - sum(near)
    return found / len(SEEDS), other


def main() -> None:
    nagano, takayama = (read_logger(STATIONS / f"{name}.csv") for name in ("nagano", "takayama"))
    write = sys.stdout.write
    write("Days with planted faults that are found, Nagano 1976-2025, 1 % of days, 10 seeds\n")
    columns = [
        {**measure(nagano, second, FLAGRANT)[0], **measure(nagano, second, SMALL)[0]}
        for second in (None, takayama)
    ]
    write(f"| {'Fault':14} | alone | beside Takayama |\n|---|---|---|\n")
    for kind in (*FLAGRANT, *SMALL):
        write(f"| {kind:14} | {columns[0][kind]:6.1%} | {columns[1][kind]:6.1%} |\n")
    for second, name in ((None, "alone"), (takayama, "beside Takayama")):
        shares, false = measure(nagano, second, FLAGRANT)
        write(f"{name}: all but small spikes {np.mean(list(shares.values())):.1%}; good days {false:.3%}\n")
    write("A sensor moved: shifts of the highest reading that are found (and false finds), 10 seeds\n")
    for size_c in (0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0):
        (alone, false), (beside, also_false) = (steps_found(nagano, x, size_c) for x in (None, takayama))
        write(
            f"{size_c:.1f} degC: alone {alone:.0%} ({false}), beside Takayama {beside:.0%} ({also_false})\n"
        )
    write("Good days flagged by each check, nothing planted, of 18,263\n")
    for series, second, name in (
        (nagano, None, "nagano"),
        (takayama, None, "takayama"),
        (read_logger(STATIONS / "kagoshima.csv"), None, "kagoshima"),
        (nagano, takayama, "nagano beside takayama"),
        (takayama, nagano, "takayama beside nagano"),
    ):
        write(f"{name}: {dict(flagged(series, second)[1]) or 'none'}\n")


if __name__ == "__main__":
    main()
