"""The twelve stations of tests/data/japan/twelve."""

from __future__ import annotations

from functools import cache, partial
from pathlib import Path

from season_engine.phenology.station_record import StationRecord
from season_engine.verify.observations import read_observations
from season_engine.verify.station_files import Event
from tests.once import once_a_run

TWELVE = Path(__file__).parents[1] / "data" / "japan" / "twelve"
LAST_TRAINED = 2005


@cache
def twelve() -> dict[str, tuple[StationRecord, ...]]:
    """Records of each species' first flowers; the years after 2005 are mended without looking ahead."""
    files = (TWELVE / name for name in ("sites.csv", "weather.csv.gz", "events.csv"))
    found = once_a_run("twelve stations", partial(read_observations, *files, LAST_TRAINED))
    return {event.species: records for event, records in found.records.items() if isinstance(event, Event)}
