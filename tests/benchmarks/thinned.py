"""What readings three hours apart miss of a day's extremes: `python -m tests.benchmarks.thinned`.

The exports that have readings within the day, at most an hour apart, are thinned to the hours at which
weather services read, and the extremes of the days are held against those of all readings.
"""

from __future__ import annotations

import numpy as np

from season_engine.weather.series import FloatArray
from tests.benchmarks.logger_exports import EXPORTS, Export, exports
from tests.benchmarks.markdown import markdown_table, show

SETS = ("known", "held_out", "later", "fourth")
HOUR, DAY = 3600, 86_400
_NEAR_SECONDS = 30 * 60  # the reading that stands for an hour is no farther from it
_FULL_DAY = 20  # hours of a day that have readings


def missed(export: Export, hours: int) -> FloatArray:
    """By how much thinned extremes are too mild [degC], shape (days, 2): of the lowest, of the highest."""
    rows = export.truth()
    utc_s = np.array([row[0].rstrip("Z") for row in rows], dtype="datetime64[s]").astype(np.int64)
    seconds = utc_s + round(export.about["utc_offset_hours"] * HOUR)
    temp_c = np.array([float(row[1]) for row in rows])
    found = []
    for day in np.unique(seconds // DAY):
        here = seconds // DAY == day
        of_day, its_c = seconds[here] - day * DAY, temp_c[here]
        if np.unique(of_day // HOUR).size < _FULL_DAY:
            continue
        wanted = np.arange(0, DAY, hours * HOUR)
        apart = np.abs(of_day[:, None] - wanted[None, :])
        nearest = apart.argmin(axis=0)
        if (apart.min(axis=0) > _NEAR_SECONDS).any():
            continue
        thin_c = its_c[nearest]
        found.append((thin_c.min() - its_c.min(), its_c.max() - thin_c.max()))
    return np.array(found).reshape(-1, 2)


def main() -> None:
    """Print it for each interval."""
    within = [
        one
        for which in SETS
        if (EXPORTS / which).is_dir()
        for one in exports(which)
        if one.about["kind"] == "readings"
    ]
    rows = []
    for hours in (2, 3):
        days = [missed(one, hours) for one in within]
        days = [one for one in days if len(one)]
        whole = np.concatenate(days)
        rows.append(
            (
                str(hours),
                str(len(days)),
                f"{len(whole):,}",
                *(f"{one:.2f}" for one in whole.mean(axis=0)),
                *(f"{one:.2f}" for one in np.quantile(whole, 0.95, axis=0)),
            )
        )
    show(
        *markdown_table(
            (
                "Hours apart",
                "Exports",
                "Days",
                "Lowest too warm [degC]",
                "Highest too cold [degC]",
                "1 day in 20: lowest by",
                "1 day in 20: highest by",
            ),
            rows,
        )
    )


if __name__ == "__main__":
    main()
