"""Files of notes as growers would give them, from stations' records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from season_engine.documents.shared_yard import shared_zip
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season
from season_engine.verify.shared_yard import LeftBehind, SharedNote, SharedYard
from season_engine.verify.station_files import Event
from season_engine.weather.series import DailySeries


def given_yard(
    record: StationRecord, event: Event, *, trees: Sequence[float] = (0.0,), code: str = "yard"
) -> SharedYard:
    """A yard that noted an event once a tree and season, each tree so many days later than the record."""
    site = record.site
    seasons = tuple(Season(year, site.hemisphere) for year in sorted(record.observed))
    notes = (
        SharedNote(
            season.date_of(int(record.observed[season.year] + later)),
            event.species,
            event.bbch,
            "seen",
            number,
        )
        for season in seasons
        for number, later in enumerate(trees, start=1)
    )
    place = type(site)(code, round(site.latitude, 1), round(site.longitude, 1), site.elevation_m)
    weather = tuple(_season(record.series, season) for season in seasons)
    return SharedYard(place, tuple(sorted(notes, key=lambda one: one.date)), seasons, weather, LeftBehind())


def _season(series: DailySeries, season: Season) -> DailySeries:
    first = (season.start - series.first_day).days
    last = (season.shifted(1).start - series.first_day).days
    return DailySeries(
        season.start, np.round(series.tmin_c[first:last], 1), np.round(series.tmax_c[first:last], 1)
    )


def write_exports(folder: Path, yards: Mapping[str, SharedYard]) -> list[Path]:
    """A .zip each, by name."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, yard in yards.items():
        (folder / f"{name}.zip").write_bytes(shared_zip([yard]))
    return [folder / f"{name}.zip" for name in yards]
