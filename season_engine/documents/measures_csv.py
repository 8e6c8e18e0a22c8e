"""Daily chill and heat as CSV, in the names of the outside contract."""

from __future__ import annotations

import csv
import io
import math

import numpy as np

from season_engine.traces.measured_days import MeasuredDays

DECIMALS = 12  # more than any reader needs, and short of a float's own noise


def measures_csv(measured: MeasuredDays) -> str:
    """One row a day; nothing between the commas where there is no number."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(["date", *measured.columns])
    # + 0.0: no minus nought
    numbers = np.round(np.column_stack([*measured.columns.values()]), DECIMALS) + 0.0
    for day, row in zip(measured.days, numbers.tolist(), strict=True):
        writer.writerow([str(day), *("" if math.isnan(value) else value for value in row)])
    return file.getvalue()
