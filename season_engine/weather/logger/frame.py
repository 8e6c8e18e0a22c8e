"""A pandas data frame of temperatures, read as a logger's file is: any spelling, no guesses."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.weather.logger.columns import plan_of
from season_engine.weather.logger.head import Head, name_unit
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import Layout
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.reading import LoggerRecord, check_units, record_of_tables
from season_engine.weather.logger.vocabulary import says

if TYPE_CHECKING:
    import pandas as pd

_FLOATS = (float, np.floating)
_FIRST_ROWS = 600  # by which the columns are told
NAME = "data frame"  # as errors call it; its rows are lines, the first is 1


def frame_record(frame: pd.DataFrame, how: ReadAs, site: Site) -> LoggerRecord:
    """What a frame says, as `reading.read_record` reads it of a file. Dates or times may also be its index.

    Raises GrowerError, or InputErrors naming each row.
    """
    check_units(how.units or "degC")
    columns = _columns(frame)
    if not len(frame):
        raise GrowerError("there is no reading.", file=NAME)
    names = [name.strip() for name, _ in columns]
    head = Head(names, [name_unit(name) for name in names], None)
    first = [_texts(values.iloc[:_FIRST_ROWS]) for _, values in columns]
    plan = plan_of(head, list(zip(*first, strict=True)), how, NAME)
    texts = {role: _texts(columns[at][1]) for role, at in plan.needed.items()}
    table = LoggerTable(NAME, head, plan, Layout(","), texts, range(1, len(frame) + 1))
    return record_of_tables([(table, "none")], how, site)


def _columns(frame: pd.DataFrame) -> list[tuple[str, pd.Series[Any]]]:
    """Names and values of the columns; of the index too, where none of them says when."""
    import pandas as pd

    if not isinstance(frame, pd.DataFrame):
        raise GrowerError(f"a pandas DataFrame is needed, not a {type(frame).__name__}.")
    columns = [(str(name), frame.iloc[:, place]) for place, name in enumerate(frame.columns)]
    if any(says(name, "date", "time", "year") for name, _ in columns):
        return columns
    named = str(frame.index.name or "")
    if not says(named, "date", "time"):
        if pd.api.types.is_numeric_dtype(frame.index.dtype):
            return columns
        named = "date"
    return [(named, frame.index.to_series()), *columns]


def _texts(values: pd.Series[Any]) -> list[str]:
    """Cells as text: pandas' own dates in ISO 8601, with their zone if any, numbers with their digits."""
    if values.dtype.kind == "M":
        return ["" if one is None or one != one else one for one in values.dt.strftime("%Y-%m-%d %H:%M:%S%z")]
    return [
        "" if missing else np.format_float_positional(one, trim="-") if isinstance(one, _FLOATS) else str(one)
        for one, missing in zip(values.to_numpy(), values.isna(), strict=True)
    ]
