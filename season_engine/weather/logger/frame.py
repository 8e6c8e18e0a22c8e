"""A pandas data frame of temperatures, read as a logger's file is: any spelling, no guesses."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from season_engine.errors import GrowerError
from season_engine.weather.logger.reading import check_units, table_series
from season_engine.weather.logger.stamps import Clock
from season_engine.weather.logger.table import LoggerTable, columns_needed, names_of, says_when
from season_engine.weather.series import DailySeries

if TYPE_CHECKING:
    import pandas as pd

_FLOATS = (float, np.floating)
NAME = "data frame"  # as errors call it; its rows are lines, the first is 1


def frame_series(
    frame: pd.DataFrame, *, units: str = "degC", date_format: str | None = None, longitude_deg: float
) -> DailySeries:
    """Daily extremes [degC] from a frame; NaN on days without a reading.

    The options are those of `reading.read_logger`, and so are the columns. Dates or times may also be the
    index. Raises GrowerError, or InputErrors naming each row.
    """
    check_units(units)
    columns = _columns(frame)
    names, zone = names_of([name for name, _ in columns])
    places = columns_needed(names, NAME, None, units)
    if not len(frame):
        raise GrowerError("there is no reading.", file=NAME)
    texts = {
        role: _stamps(columns[place][1]) if role in ("date", "time") else _numbers(columns[place][1])
        for role, place in places.items()
    }
    headers = {role: names[place] for role, place in places.items()}
    table = LoggerTable(headers, texts, range(1, len(frame) + 1), zone)
    return table_series(table, file=NAME, units=units, clock=Clock(date_format, zone, longitude_deg))


def _columns(frame: pd.DataFrame) -> list[tuple[str, pd.Series[Any]]]:
    """Names and values of the columns; of the index too, where none of them says when."""
    import pandas as pd

    if not isinstance(frame, pd.DataFrame):
        raise GrowerError(f"a pandas DataFrame is needed, not a {type(frame).__name__}.")
    columns = [(str(name), frame.iloc[:, place]) for place, name in enumerate(frame.columns)]
    if any(says_when(name) for name, _ in columns):
        return columns
    named = str(frame.index.name or "")
    if not says_when(named):
        if pd.api.types.is_numeric_dtype(frame.index.dtype):
            return columns
        named = "date"
    return [(named, frame.index.to_series()), *columns]


def _stamps(values: pd.Series[Any]) -> list[str]:
    """Dates or times as text; pandas' own in ISO 8601, with their zone if they have one."""
    if values.dtype.kind == "M":
        values = values.dt.strftime("%Y-%m-%d %H:%M:%S%z")
    return ["" if missing else str(one) for one, missing in zip(values, values.isna(), strict=True)]


def _numbers(values: pd.Series[Any]) -> list[str]:
    """Temperatures as text with the digits they have, and never an exponent."""
    return [
        "" if missing else np.format_float_positional(one, trim="-") if isinstance(one, _FLOATS) else str(one)
        for one, missing in zip(values.to_numpy(), values.isna(), strict=True)
    ]
