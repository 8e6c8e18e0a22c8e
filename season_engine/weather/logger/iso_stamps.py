"""Columns of plain ISO dates and times, all at once; a cell of another form leaves all to the general way."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from season_engine.files.foreign_values import year_served
from season_engine.weather.logger.dates import DAY_SECONDS
from season_engine.weather.logger.stamp_rows import IntArray

_DATE, _MINUTE, _SECOND = len("2026-03-31"), len("2026-03-31 06:00"), len("2026-03-31 06:00:00")
_AT_ONCE = 50_000  # rows, so that a long record needs little memory
_ZONED = re.compile(r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d(?::\d\d)?(Z|[+-]\d\d(?::?\d\d)?)")


def iso_seconds(texts: Sequence[str]) -> tuple[IntArray, str] | None:
    """Seconds since 1970 of 2026-03-31, 2026-03-31 06:00 or 2026-03-31T06:00:00, and the zone behind each.

    None where a text is of another form, no such day or time, or of another zone, and where the days neither
    rise nor fall, or none is next to another: then day and month may have been changed about.
    """
    zoned = _ZONED.fullmatch(texts[0]) if texts else None
    zone = zoned[1] if zoned else ""
    found = []
    for start in range(0, len(texts), _AT_ONCE):
        some = _seconds(_without(zone, texts[start : start + _AT_ONCE]))
        if some is None:
            return None
        found.append(some)
    seconds = np.concatenate(found) if found else np.empty(0, np.int64)
    return (seconds, zone) if _follow(seconds // DAY_SECONDS) else None


def _without(zone: str, texts: Sequence[str]) -> Sequence[str]:
    """Texts without the zone that all name; none where one names another."""
    if not zone:
        return texts
    return [text[: -len(zone)] for text in texts] if all(text.endswith(zone) for text in texts) else []


def iso_midnights(texts: Sequence[str]) -> IntArray | None:
    """The same where every text is a date alone."""
    found = iso_seconds(texts) if texts and len(texts[0]) == _DATE else None
    return None if found is None else found[0]


def _seconds(texts: Sequence[str]) -> IntArray | None:
    length = len(texts[0]) if texts else 0
    if length not in (_DATE, _MINUTE, _SECOND) or set(map(len, texts)) != {length}:
        return None
    between = "T" if texts[0][_DATE : _DATE + 1] == "T" else " "
    pattern = np.array(list(f"0000-00-00{between}00:00:00"[:length])).view(np.uint32)
    letters = np.array(texts).view(np.uint32).reshape(-1, length)
    digits = pattern == ord("0")
    in_place = (letters[:, ~digits] == pattern[~digits]).all()
    if not in_place or (letters[:, digits] < ord("0")).any() or (letters[:, digits] > ord("9")).any():
        return None
    try:
        stamps = np.array(texts, dtype="datetime64[s]")
    except ValueError:  # no such day or time: the general way names it
        return None
    span = stamps.min().item().year, stamps.max().item().year
    return stamps.astype(np.int64) if all(map(year_served, span)) else None


def _follow(days: IntArray) -> bool:
    steps = np.diff(days)
    return bool(((steps >= 0).all() or (steps <= 0).all()) and (np.abs(steps) == 1).any())
