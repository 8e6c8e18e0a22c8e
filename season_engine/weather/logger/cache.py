"""A logger file's temperatures as read once, kept so that an unchanged file isn't read again."""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from season_engine.files.whole import write_whole
from season_engine.site import Site
from season_engine.weather.logger.form import LoggerForm
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.reading import read_content, record_of
from season_engine.weather.series import DailySeries

_FLOAT = np.dtype(np.float64)
FORMAT_VERSION = 6  # to be raised whenever the reading of a file changes, or what is told of it


@dataclass(frozen=True)
class ReadDays:
    """A logger's daily extremes [degC], and how they were read."""

    daily: DailySeries
    form: LoggerForm


def read_logger_cached(
    paths: Sequence[Path], *, cache: Path, kept_as: str, how: ReadAs | None = None, site: Site | None = None
) -> ReadDays:
    """As `read_record`, from `cache` if the files and the way to read them are those of the last time.

    A cache that is damaged or can't be written is no error: the files are simply read again.
    """
    files = [(str(path), read_content(path)) for path in paths]
    key = _key(files, how or ReadAs(), site)
    kept_in = cache / cache_name(kept_as)
    read = _load(kept_in, key)
    if read is None:
        record = record_of(files, how, site)
        read = ReadDays(record.daily, record.form)
        _keep(kept_in, key, read)
    return read


def _key(files: Sequence[tuple[str, bytes]], how: ReadAs, site: Site | None) -> str:
    """What reading hangs on; where a folder lies is no part of it."""
    place = None if site is None else (site.latitude, site.longitude, site.elevation_m)
    digest = hashlib.sha256(repr((FORMAT_VERSION, how, place)).encode())
    for name, content in files:
        digest.update(f"\0{Path(name).name}\0{len(content)}\0".encode())
        digest.update(content)
    return digest.hexdigest()


def cache_name(site: str) -> str:
    """A file name for any site name: readable, safe on every system, and never that of another site."""
    readable = re.sub(r"[^a-z0-9]+", "-", site.casefold()).strip("-")[:40]
    return f"logger-{readable or 'site'}-{hashlib.sha256(site.encode()).hexdigest()[:8]}.npz"


def forget(cache: Path, site: str) -> None:
    """Drop what is kept of a site, so that its file is read again."""
    (cache / cache_name(site)).unlink(missing_ok=True)


def _load(path: Path, key: str) -> ReadDays | None:
    from pydantic import TypeAdapter

    try:
        with np.load(path, allow_pickle=False) as kept:
            if str(kept["key"]) != key:
                return None
            tmin_c, tmax_c = kept["tmin_c"], kept["tmax_c"]
            if tmin_c.ndim != 1 or tmin_c.shape != tmax_c.shape or {tmin_c.dtype, tmax_c.dtype} != {_FLOAT}:
                return None
            form = TypeAdapter(LoggerForm).validate_json(str(kept["form"]))
            return ReadDays(
                DailySeries(kept["first_day"].astype("datetime64[D]").item(), tmin_c, tmax_c), form
            )
    except Exception:  # a damaged archive fails in many ways, and all mean the same: read the file again
        return None


def _keep(path: Path, key: str, read: ReadDays) -> None:
    from pydantic import TypeAdapter

    archive = io.BytesIO()
    np.savez(
        archive,
        key=np.array(key),
        form=np.array(TypeAdapter(LoggerForm).dump_json(read.form).decode()),
        first_day=np.datetime64(read.daily.first_day, "D"),
        tmin_c=read.daily.tmin_c,
        tmax_c=read.daily.tmax_c,
    )
    try:
        write_whole(path, archive.getvalue())
    except OSError:
        return  # a read-only folder costs time, not results
