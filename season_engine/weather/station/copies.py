"""What was fetched of stations, kept in plain form: a warm run reads it with NumPy alone."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import io
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from pydantic import AwareDatetime, TypeAdapter

from season_engine.files.foreign_values import year_served
from season_engine.files.whole import write_whole
from season_engine.site import Site
from season_engine.weather.series import DailySeries
from season_engine.weather.station.choice import STATION_ID, Station

T = TypeVar("T")

FORMAT_VERSION = 1  # to be raised whenever what is kept changes its meaning
TRIED_AGAIN_AFTER = dt.timedelta(hours=1)


@dataclass(frozen=True)
class Trouble:
    """What could not be fetched: why, which years (none: the directory), and whether older data stand in."""

    cause: str
    years: tuple[int, ...]
    older_used: bool


@dataclass(frozen=True)
class Fetch:
    """When something was fetched, when that was last tried, and what went wrong then."""

    fetched_at: AwareDatetime
    tried_at: AwareDatetime
    trouble: tuple[Trouble, ...] = ()

    def due(self, now: dt.datetime, life: dt.timedelta) -> bool:
        """Whether to ask again: what failed after an hour, what came after its life."""
        if self.trouble:
            return now - self.tried_at >= TRIED_AGAIN_AFTER
        return now - self.fetched_at >= life


@dataclass(frozen=True)
class Directory:
    """The stations around a site."""

    stations: tuple[Station, ...]
    fetch: Fetch
    before: str = ""  # the station that stood for the site by the directory before this one, if another did


@dataclass(frozen=True)
class StationCopy:
    """A station's temperatures at its own height, as they were read."""

    series: DailySeries
    fetch: Fetch
    attribution: tuple[str, ...]
    missing_years: tuple[int, ...]  # the service has no file for them


def directory_file(cache: Path, site: Site, wanted: str | None) -> Path:
    """Where the stations around a place are kept."""
    place = repr((FORMAT_VERSION, site.latitude, site.longitude, wanted))
    return cache / f"stations-{hashlib.sha256(place.encode()).hexdigest()[:12]}.json"


def station_file(cache: Path, station: str) -> Path:
    """Where a station's temperatures are kept; ids are letters and digits."""
    return cache / f"station-{station}.npz"


def load_directory(path: Path) -> Directory | None:
    """What is kept, or None where that is nothing, or damaged."""
    try:
        kept = _checked(Directory, json.loads(path.read_text("utf-8")))
        return kept if all(STATION_ID.fullmatch(one.id) for one in kept.stations) else None
    except Exception:  # as in load_station
        return None


def keep_directory(path: Path, directory: Directory) -> None:
    """Keep it if that is possible; a folder that can't be written costs time, not results."""
    stations = [dataclasses.asdict(one) for one in directory.stations]
    fetch = dataclasses.asdict(directory.fetch)
    _write(path, _json({"stations": stations, "fetch": fetch, "before": directory.before}).encode())


def load_station(path: Path) -> StationCopy | None:
    """What is kept, or None where that is nothing, or damaged."""
    try:
        with np.load(path, allow_pickle=False) as kept:
            facts = json.loads(str(kept["facts"]))
            tmin_c, tmax_c = kept["tmin_c"].astype(np.float64), kept["tmax_c"].astype(np.float64)
        if facts["format"] != FORMAT_VERSION or tmin_c.ndim != 1 or tmin_c.shape != tmax_c.shape:
            return None
        series = DailySeries(dt.date.fromisoformat(facts["first_day"]), tmin_c, tmax_c)
        if not year_served(series.first_day.year) or not year_served(series.last_day.year):
            return None
        return StationCopy(
            series,
            _checked(Fetch, facts["fetch"]),
            _checked(tuple[str, ...], facts["attribution"]),
            _checked(tuple[int, ...], facts["missing_years"]),
        )
    except Exception:  # a damaged archive fails in many ways, and all mean the same: build it again
        return None


def keep_station(path: Path, copy: StationCopy) -> None:
    """Keep it if that is possible."""
    facts = {
        "format": FORMAT_VERSION,
        "first_day": copy.series.first_day,
        "fetch": dataclasses.asdict(copy.fetch),
        "attribution": copy.attribution,
        "missing_years": copy.missing_years,
    }
    archive = io.BytesIO()
    tmin_c, tmax_c = copy.series.tmin_c, copy.series.tmax_c
    np.savez(archive, facts=np.array(_json(facts)), tmin_c=tmin_c, tmax_c=tmax_c)
    _write(path, archive.getvalue())


def _write(path: Path, content: bytes) -> None:
    try:
        write_whole(path, content)
    except OSError:
        return


def _json(value: Any) -> str:
    return json.dumps(value, default=lambda date: date.isoformat())


def _checked(kind: type[T], kept: Any) -> T:
    """What was kept as what it was; raises ValueError where its shape has changed."""
    return TypeAdapter(kind).validate_python(kept)
