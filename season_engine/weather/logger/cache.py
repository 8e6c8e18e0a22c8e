"""A logger file's temperatures as read once, kept so that an unchanged file isn't read again."""

from __future__ import annotations

import hashlib
import io
import re
from pathlib import Path

import numpy as np

from season_engine.files.whole import write_whole
from season_engine.weather.logger.reading import parse_logger, read_content
from season_engine.weather.series import DailySeries

_FLOAT = np.dtype(np.float64)
FORMAT_VERSION = 2  # to be raised whenever the reading of a file changes


def read_logger_cached(
    path: Path,
    *,
    cache: Path,
    site: str,
    units: str = "degC",
    date_format: str | None = None,
    longitude_deg: float | None = None,
) -> DailySeries:
    """As `read_logger`, from `cache` if the file and the way to read it are those of the last time.

    A cache that is damaged or can't be written is no error: the file is simply read again.
    """
    content = read_content(path)
    options = repr((FORMAT_VERSION, units, date_format, longitude_deg)).encode()
    key = hashlib.sha256(options + b"\0" + content).hexdigest()
    kept_in = cache / cache_name(site)
    series = _load(kept_in, key)
    if series is None:
        series = parse_logger(
            content, file=str(path), units=units, date_format=date_format, longitude_deg=longitude_deg
        )
        _keep(kept_in, key, series)
    return series


def cache_name(site: str) -> str:
    """A file name for any site name: readable, safe on every system, and never that of another site."""
    readable = re.sub(r"[^a-z0-9]+", "-", site.casefold()).strip("-")[:40]
    return f"logger-{readable or 'site'}-{hashlib.sha256(site.encode()).hexdigest()[:8]}.npz"


def forget(cache: Path, site: str) -> None:
    """Drop what is kept of a site, so that its file is read again."""
    (cache / cache_name(site)).unlink(missing_ok=True)


def _load(path: Path, key: str) -> DailySeries | None:
    try:
        with np.load(path, allow_pickle=False) as kept:
            if str(kept["key"]) != key:
                return None
            tmin_c, tmax_c = kept["tmin_c"], kept["tmax_c"]
            if tmin_c.ndim != 1 or tmin_c.shape != tmax_c.shape or {tmin_c.dtype, tmax_c.dtype} != {_FLOAT}:
                return None
            return DailySeries(kept["first_day"].astype("datetime64[D]").item(), tmin_c, tmax_c)
    except Exception:  # a damaged archive fails in many ways, and all mean the same: read the file again
        return None


def _keep(path: Path, key: str, series: DailySeries) -> None:
    archive = io.BytesIO()
    first_day = np.datetime64(series.first_day, "D")
    np.savez(archive, key=np.array(key), first_day=first_day, tmin_c=series.tmin_c, tmax_c=series.tmax_c)
    try:
        write_whole(path, archive.getvalue())
    except OSError:
        return  # a read-only folder costs time, not results
