"""When growers decandle black pines in five climates, and the seasons of each.

Common practice, written from memory, no source: two tables, written without sight of each other, where they
agree; good to a fortnight. The yards' weather is made up from monthly normals (from memory), the stations'
is real.
"""

from __future__ import annotations

import datetime as dt
from functools import cache

from season_engine.traces import TraceSet
from season_engine.tree import Size
from tests.phenology.stations import twelve
from tests.yards import NORTH, SOUTH, view, view_on

# climate and size: first and last day, as (month, day)
GROWERS: dict[tuple[str, Size], tuple[tuple[int, int], tuple[int, int]]] = {
    ("Sapporo", "small"): ((6, 14), (6, 30)),
    ("Nagano", "large"): ((6, 4), (6, 20)),
    ("Nagano", "medium"): ((6, 11), (6, 27)),
    ("Nagano", "small"): ((6, 19), (7, 4)),
    ("Tokyo", "large"): ((6, 10), (6, 25)),
    ("Tokyo", "medium"): ((6, 19), (7, 5)),
    ("Tokyo", "small"): ((6, 30), (7, 16)),
    ("north", "medium"): ((6, 5), (6, 20)),
    ("north", "small"): ((6, 10), (6, 27)),
    ("south", "large"): ((12, 5), (12, 22)),
    ("south", "medium"): ((12, 13), (1, 5)),
    ("south", "small"): ((12, 24), (1, 18)),
}
YARDS = {NORTH.name: (NORTH, dt.date(2024, 11, 1)), SOUTH.name: (SOUTH, dt.date(2024, 5, 1))}


@cache
def seasons_of(climate: str) -> TraceSet:
    """Whole past seasons of one of the yards, or of one of the twelve stations by its name."""
    if climate in YARDS:
        return view(*YARDS[climate]).past
    record = next(one for one in twelve()["Prunus mume"] if one.site.name.casefold() == climate.casefold())
    return view_on(record.site, record.series, dt.date(2024, 11, 1)).past


def column_of(traces: TraceSet, month: int, day: int) -> int:
    """The column of a day of the season's summer, from spring to spring."""
    start = traces.season.start + dt.timedelta(days=180)
    year = start.year + ((month, day) < (start.month, start.day))
    return int(traces.column(dt.date(year, month, day)))
