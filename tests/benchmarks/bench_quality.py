"""How many planted faults the checks find, and how many good days they flag.

Run with `python -m tests.benchmarks.bench_quality`.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from season_engine.weather.logger.reading import read_logger
from season_engine.weather.quality.examine import examine
from season_engine.weather.second.yard_terms import in_yard_terms
from season_engine.weather.series import DailySeries
from tests.benchmarks.markdown import markdown_table, show
from tests.benchmarks.planting import FLAGRANT, SMALL, Planted, plant
from tests.yards import STATIONS

SEEDS = range(10)
FAULTS = {
    "naught": "nought in both",
    "range": "codes of a sensor",
    "crossed": "Tmin and Tmax swapped",
    "copied": "a week or two pasted in twice",
    "stuck": "stuck for 5 days and more",
    "stuck-single": "the same, one of the extremes",
    "units": "degF among degC, for 1 to 10 days",
    "sign": "the minus of a hard frost lost",
    "spike": "a spike of 15 to 25 degC",
    "small spike": "a spike of 3 to 12 degC",
}
SHIFTS_C = (0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0)


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


def share(value: float) -> str:
    return f"{value:.0%}" if value in (0.0, 1.0) else f"{value:.1%}"


def faults_found(station: DailySeries, neighbour: DailySeries) -> None:
    """The table of planted faults."""
    columns = []
    for second in (None, neighbour):
        found, false = measure(station, second, FLAGRANT)
        small, _ = measure(station, second, SMALL)
        all_of_these = float(np.mean(list(found.values())))
        columns.append(
            (*map(share, found.values()), share(all_of_these), f"{false:.2%}", *map(share, small.values()))
        )
    flagrant, small_ones = ([FAULTS[kind] for kind in kinds] for kinds in (FLAGRANT, SMALL))
    names = (*flagrant, "all of these", "good days flagged", *small_ones)
    rows = zip(names, *columns, strict=True)
    show(*markdown_table(("Fault planted", "Nagano alone", "Beside Takayama"), rows))


def shifts_found(station: DailySeries, neighbour: DailySeries) -> None:
    """The table of moved sensors: how many of ten are told, and how many that never were."""
    rows = []
    for size_c in SHIFTS_C:
        told = (steps_found(station, second, size_c) for second in (None, neighbour))
        rows.append((f"{size_c:.1f} degC", *(f"{of_ten:.0%}, {false} false" for of_ten, false in told)))
    show("", *markdown_table(("A sensor moved by", "Nagano alone", "Beside Takayama"), rows))


def good_days_flagged(*records: tuple[str, DailySeries, DailySeries | None]) -> None:
    """The table of days flagged with nothing planted."""
    rows = []
    for name, series, second in records:
        counts = flagged(series, second)[1]
        told = ", ".join(f"{kind} {days}" for kind, days in sorted(counts.items()))
        rows.append((name, f"{len(series):,}", str(sum(counts.values())), told or "-"))
    show("", *markdown_table(("Nothing planted", "Days", "Left out", "By which check"), rows))


def main() -> None:
    names = ("nagano", "takayama", "kagoshima")
    nagano, takayama, kagoshima = (read_logger(STATIONS / f"{name}.csv") for name in names)
    faults_found(nagano, takayama)
    shifts_found(nagano, takayama)
    good_days_flagged(
        ("Nagano", nagano, None),
        ("Takayama", takayama, None),
        ("Kagoshima", kagoshima, None),
        ("Nagano beside Takayama", nagano, takayama),
        ("Takayama beside Nagano", takayama, nagano),
    )


if __name__ == "__main__":
    main()
