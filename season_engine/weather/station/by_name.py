"""Finding a place by the name of a weather station near it, in the service's directory."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from season_engine.errors import GrowerError, WeatherError
from season_engine.files.spelling import plain_name
from season_engine.weather.station.fetch import Downloads
from season_engine.weather.station.provider import UnreadableError, directory_urls, named_stations


@dataclass(frozen=True, slots=True)
class Place:
    """A weather station as a place to start from."""

    station: str
    name: str
    country: str
    latitude: float
    longitude: float
    elevation_m: float | None


def places_called(name: str, cache: Path, now: dt.datetime) -> tuple[Place, ...]:
    """The stations whose name has all these words, those with the shortest names first.

    Raises WeatherError where the directory can't be had, GrowerError where it has none.
    """
    asked = _words(name)
    found = [Place(*row) for row in _directory(cache, now) if asked <= _words(row[1])]
    if not asked or not found:
        raise GrowerError(
            f'No weather station is called "{name}".',
            hint="Try a larger town near by, or give latitude and longitude.",
        )
    found.sort(key=lambda place: (len(place.name), place.name, place.station))
    return tuple({place.station: place for place in reversed(found)}.values())[::-1]


def _words(name: str) -> set[str]:
    """The words of a name without accents, which a stranger leaves out."""
    apart = unicodedata.normalize("NFKD", plain_name(name))
    return set(re.findall(r"\w+", "".join(one for one in apart if not unicodedata.combining(one))))


def _directory(cache: Path, now: dt.datetime) -> list[tuple[str, str, str, float, float, float | None]]:
    from season_engine.weather.http import Failed, Got

    cause = ""
    with Downloads(cache, now) as downloads:
        for url in directory_urls():
            download = downloads.get(url, refresh=False)
            older = download.kept if isinstance(download, Failed) else download
            if isinstance(older, Got):
                try:
                    return named_stations(older.content)
                except UnreadableError:
                    cause = "it can't be read"
            else:
                cause = download.cause if isinstance(download, Failed) else "the service has none"
    raise WeatherError(
        f"The directory of weather stations can't be fetched: {cause}.",
        hint="Check the network, or give latitude and longitude.",
    )
