"""A made country and what a batch would write of it, by a simple formula: a coast, a mountain, the equator.

Its columns and folders are those of a batch. Nothing of it is measured. `python -m tests.made_country DIR`
writes it, to draw maps of and look at them.
"""

from __future__ import annotations

import datetime as dt
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

ON = dt.date(2026, 3, 2)
FLOOR = 0.7
DATE = pa.date32()
SCHEMA = pa.schema(
    [
        *(("site", pa.string()), ("latitude", pa.float64()), ("longitude", pa.float64())),
        *(
            (name, pa.string())
            for name in ("species", "job", "window", "school", "season", "verdict", "today")
        ),
        *((name, pa.float64()) for name in ("floor", "chance_open", "chance_given")),
        *((f"{end}_{p}", DATE) for end in ("opens", "closes") for p in ("p10", "p50", "p90")),
        *(("usual_opens", DATE), ("usual_closes", DATE)),
        *((f"good_w{week}", pa.float64()) for week in range(5)),
        *(("earliest_safe_monday", DATE), ("chill_portions", pa.float64()), ("heat_gdh", pa.float64())),
        ("refusal", pa.string()),
    ]
)
REFUSAL = "The last reading is 90 days old."


def a_row(
    site: str,
    latitude: float,
    longitude: float,
    opens: dt.date | None,
    *,
    late: int = 0,
    on: dt.date = ON,
    season: str = "",
    species: str = "Acer palmatum",
    job: str = "repotting",
    window: str = "spring",
) -> dict[str, Any]:
    """A site's row: opening with half the odds on a date, so many days later than usual; None: not here."""
    named = {"species": species, "job": job, "window": window, "floor": FLOOR, "school": None}
    row = dict.fromkeys(SCHEMA.names) | {"site": site, "latitude": latitude, "longitude": longitude} | named
    season = season or ("2025/26" if latitude >= 0 else "2026/27")
    if opens is None:
        odds = {"chance_open": 0.0, "chance_given": 0.1}
        return row | odds | {"season": season, "verdict": "not-here", "today": "no", "chill_portions": 3.0}
    closes, days = opens + dt.timedelta(35), (on - opens).days
    chance = float(1 / (1 + np.exp(-days / 5)))
    good = {f"good_w{week}": float(1 / (1 + np.exp(-(days + 7 * week) / 5))) for week in range(5)}
    monday = on + dt.timedelta(-on.weekday() % 7)
    mondays = [monday + dt.timedelta(7 * week) for week in range(5)]
    safe = next((one for one in mondays if (one - opens).days > 4), None)
    verdict = "open" if chance >= FLOOR else "soon" if days > -14 else "wait"
    return row | good | {
        **{"season": season, "verdict": verdict, "today": "do" if verdict == "open" else "no"},
        **{"chance_open": chance, "chance_given": 0.99, "earliest_safe_monday": safe},
        **{f"opens_{p}": opens + dt.timedelta(shift) for p, shift in (("p10", -8), ("p50", 0), ("p90", 9))},
        **{f"closes_{p}": closes + dt.timedelta(shift) for p, shift in (("p10", -6), ("p50", 0), ("p90", 7))},
        **{"usual_opens": opens - dt.timedelta(late), "usual_closes": closes - dt.timedelta(late)},
        **{"chill_portions": 48.0, "heat_gdh": 2100.0},
    }  # fmt: skip


def a_refusal(site: str, latitude: float, longitude: float, **names: str | None) -> dict[str, Any]:
    """A site of which nothing is said, once for all windows unless one is named."""
    place = {"site": site, "latitude": latitude, "longitude": longitude, "refusal": REFUSAL}
    return dict.fromkeys(SCHEMA.names) | place | names


def write_batch(folder: Path, rows: Sequence[dict[str, Any]], *, on: dt.date = ON, block: int = 200) -> Path:
    """The rows as a batch leaves them, so many sites a block."""
    for number, start in enumerate(range(0, len(rows), block)):
        part = folder / f"block={number:05d}" / "part.parquet"
        part.parent.mkdir(parents=True)
        pq.write_table(pa.Table.from_pylist(list(rows[start : start + block]), SCHEMA), part)
    blocks = -(-len(rows) // block)
    (folder / "_run.json").write_text(json.dumps({"on": on.isoformat(), "blocks": blocks}), "utf-8")
    return folder


def on_land(latitude: FloatArray, longitude: FloatArray, middle: tuple[float, float], size: float) -> Any:
    """Which places lie inside a coast with bays, around a middle, at most about `size` degrees from it."""
    y, x = (latitude - middle[0]) / size, (longitude - middle[1]) / (0.8 * size)
    angle = np.arctan2(y, x)
    return np.hypot(y, x) < 0.8 + 0.12 * np.sin(3 * angle + 1) + 0.08 * np.cos(7 * angle)


def made_opening(latitude: float, height_m: float) -> dt.date | None:
    """Later to the poles and higher up; none near the equator, where it never turns cold."""
    if abs(latitude) < 9 - height_m / 250:
        return None
    start = dt.date(2026, 2, 3) if latitude >= 0 else dt.date(2026, 8, 5)
    return start + dt.timedelta(round(2.2 * (abs(latitude) - 9) + height_m / 60))


def height_of(latitude: float, longitude: float, peak: tuple[float, float], width: float) -> float:
    """A mountain of 2,400 m."""
    return float(2400 * np.exp(-(((latitude - peak[0]) / width) ** 2) - ((longitude - peak[1]) / width) ** 2))


def country(
    middle: tuple[float, float] = (14.0, 40.0),
    size: float = 26.0,
    step: float = 1.0,
    peak: tuple[float, float] = (24.0, 44.0),
) -> list[dict[str, Any]]:
    """The cells of a country on land, a few in its west refused; longitudes between -180 and 180."""
    nodes = np.arange(-size, size + step / 2, step)
    rows = []
    for latitude in middle[0] + nodes:
        for east in middle[1] + nodes:
            if not on_land(latitude, east, middle, size):
                continue
            longitude = (east + 180) % 360 - 180
            name = f"{latitude:g}/{longitude:g}"
            bay = (latitude - middle[0] - size / 5, east - middle[1] + size / 2.2)
            if np.hypot(*bay) < size / 12:
                rows.append(a_refusal(name, latitude, longitude))
                continue
            height = height_of(latitude, east, peak, size / 5)
            late = round(6 * np.sin(east / 9) + 4 * np.cos(latitude / 7))
            rows.append(a_row(name, latitude, longitude, made_opening(latitude, height), late=late))
    return rows


def scattered(
    count: int, middle: tuple[float, float] = (-41.0, 178.0), size: float = 6.0, seed: int = 4
) -> list[dict[str, Any]]:
    """Sites strewn over a country in the south, some beyond the date line; a few refused or without it."""
    random = np.random.default_rng(seed)
    rows: list[dict[str, Any]] = []
    while len(rows) < count:
        latitude, east = middle + random.uniform(-size, size, 2)
        if not on_land(latitude, east, middle, size):
            continue
        place, name = (round(latitude, 4), round((east + 180) % 360 - 180, 4)), f"yard {len(rows) + 1}"
        if len(rows) % 23 == 7:
            rows.append(a_refusal(name, *place))
        elif len(rows) % 29 == 11:
            rows.append(a_row(name, *place, None, on=dt.date(2026, 8, 10)))
        else:
            height = height_of(latitude, east, (middle[0] + 1, middle[1]), 1.5)
            opens = made_opening(place[0] - 10 * (place[0] - middle[0]) / size, height / 2)
            rows.append(a_row(name, *place, opens, late=round(random.normal(0, 6)), on=dt.date(2026, 8, 10)))
    return rows


if __name__ == "__main__":
    write_batch(Path(sys.argv[1]), country())
