"""What a batch reads the weather of many sites from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError, WeatherError
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR, year_served
from season_engine.site import Site
from season_engine.weather.logger.values import COLDEST_C, HOTTEST_C
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import Origin

if TYPE_CHECKING:
    from fsspec import AbstractFileSystem

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Readings:
    """A site's daily extremes and where they come from, or why there are none."""

    origin: Origin
    series: DailySeries | GrowerError


class ManySites(Protocol):
    """Weather of many sites; each worker reads that of its own sites, so that it may be sent anywhere."""

    def read(self, sites: Sequence[Site]) -> Iterator[Readings]:
        """Each site's readings, in order. Raises OSError where a file or a network fails for now."""

    def files(self) -> Mapping[str, str]:
        """Every file there is, with what tells whether it is another one: size, time or tag."""


def file_system(path: str) -> tuple[AbstractFileSystem, str]:
    """The file system that a path or address names, and the path within it."""
    from fsspec.core import url_to_fs

    try:
        system, within = url_to_fs(path)
    except (ImportError, ValueError) as error:
        raise GrowerError(f"Nothing here can read this address: {error}.", file=path) from None
    return system, within


def stamps_of(system: AbstractFileSystem, folder: str) -> dict[str, str]:
    """Every file at a path or in a folder, and the size with the tag or the time of its last change."""
    found: Mapping[str, Mapping[str, Any]] = system.find(folder, detail=True)
    return {_within(name, folder): _stamp(about) for name, about in sorted(found.items())}


def _within(name: str, folder: str) -> str:
    return name.removeprefix(folder.rstrip("/")).lstrip("/") or name.rpartition("/")[2]


def _stamp(about: Mapping[str, Any]) -> str:
    for key in ("ETag", "etag", "md5Hash", "mtime", "LastModified", "last_modified", "created"):
        if about.get(key) is not None:
            return f"{about.get('size')} {about[key]}"
    return f"{about.get('size')}"


def daily_series(
    days: NDArray[np.datetime64], tmin_c: FloatArray, tmax_c: FloatArray, source: str
) -> DailySeries:
    """Readings in any order on consecutive days, NaN on those that are missing.

    Raises GrowerError for days given twice, years out of reach, temperatures that no place has, and
    WeatherError where there is no reading.
    """
    number = days.astype("datetime64[D]").astype(np.int64)
    if not number.size:
        raise WeatherError(f"{source}: there is no reading.")
    order = np.argsort(number, kind="stable")
    number, values = number[order], np.array([tmin_c, tmax_c], np.float64)[:, order]
    first, last = (number[[place]].astype("datetime64[D]")[0].item() for place in (0, -1))
    if not (year_served(first.year) and year_served(last.year)):
        raise GrowerError(
            f"{source}: days from {first} to {last}; years from {FIRST_YEAR} to {LAST_YEAR} are read."
        )
    twice = np.flatnonzero(np.diff(number) == 0)
    if twice.size:
        day = number[twice[:1]].astype("datetime64[D]")[0]
        raise GrowerError(f"{source}: {day} is there twice.", hint="Keep the readings that are right.")
    _refuse_beyond(values, number, source)
    whole = np.full((2, int(number[-1] - number[0]) + 1), np.nan)
    whole[:, number - number[0]] = values
    return DailySeries(first, *whole)


def _refuse_beyond(values: FloatArray, number: NDArray[np.int64], source: str) -> None:
    beyond = (values < COLDEST_C) | (values > HOTTEST_C)
    if beyond.any():
        row, place = (int(one[0]) for one in np.nonzero(beyond))
        day: dt.date = number[[place]].astype("datetime64[D]")[0].item()
        raise GrowerError(
            f"{source}: {values[row, place]:g} degC on {day} is beyond anything measured in the open "
            f"({COLDEST_C:g} to {HOTTEST_C:g}).",
            hint="Is it in degC?",
        )
