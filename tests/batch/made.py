"""Made sites of three climates, and their weather in the forms that a batch reads."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from season_engine.site import Site
from season_engine.weather.invented.climates import COOL_INLAND_NORTH, MILD_MARITIME_SOUTH
from season_engine.weather.invented.series import Climate, demo_series
from season_engine.weather.series import DailySeries

WARM_INLAND_NORTH = replace(
    COOL_INLAND_NORTH,
    name="warm-inland-north",
    mean_c=tuple(mean + 9.0 for mean in COOL_INLAND_NORTH.mean_c),
)
CLIMATES = (COOL_INLAND_NORTH, WARM_INLAND_NORTH, MILD_MARITIME_SOUTH)


@dataclass(frozen=True)
class MadeSite:
    site: Site
    raw: DailySeries


def made_sites(count: int, on: dt.date, *, years: Sequence[int] = (30,)) -> list[MadeSite]:
    """Sites of the climates in turn, each somewhat warmer or colder, with its own gaps and stuck sensors."""
    random = np.random.default_rng(7)
    return [_made(number, on, years[number % len(years)], random) for number in range(count)]


def _made(number: int, on: dt.date, years: int, random: np.random.Generator) -> MadeSite:
    climate = CLIMATES[number % len(CLIMATES)]
    warmer = float(random.normal(0.0, 1.5))
    own = replace(climate, seed=1000 + number, mean_c=tuple(mean + warmer for mean in climate.mean_c))
    south = climate is MILD_MARITIME_SOUTH
    poleward = 44.0 if climate is WARM_INLAND_NORTH else 58.0  # no such warmth lies nearer a pole
    latitude = float(random.uniform(34.0, poleward)) * (-1.0 if south else 1.0)
    allowance = 1.5 if number % 5 == 0 else 0.0
    site = Site(f"site-{number:05d}", round(latitude, 3), 10.0, 100.0, bench_frost_allowance_c=allowance)
    return MadeSite(site, _last_years(own, on, years))


def _last_years(climate: Climate, on: dt.date, years: int) -> DailySeries:
    whole = demo_series(climate, on)
    begins = max(0, len(whole) - years * 365 - 200)
    first = whole.first_day + dt.timedelta(days=begins)
    return DailySeries(first, whole.tmin_c[begins:], whole.tmax_c[begins:])


def write_sites(path: Path, sites: Sequence[Site]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["site", "latitude", "longitude", "elevation_m", "bench_frost_allowance_c"])
        for site in sites:
            place = site.latitude, site.longitude, site.elevation_m
            rows.writerow([site.name, *place, site.bench_frost_allowance_c])
    return path


def write_parquet(path: Path, made: Sequence[MadeSite]) -> Path:
    """One dataset of all sites, a row group each; readings to a tenth of a degree take little room."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    text, date, number = pa.string(), pa.date32(), pa.float64()
    schema = pa.schema([("site", text), ("date", date), ("tmin_c", number), ("tmax_c", number)])
    written = {"compression": "zstd", "column_encoding": {"date": "DELTA_BINARY_PACKED"}}
    named = ["site", "tmin_c", "tmax_c"]  # by number, where they come again and again
    with pq.ParquetWriter(path, schema, use_dictionary=named, **written) as writer:
        for one in made:
            columns = {
                "site": [one.site.name] * len(one.raw),
                "date": one.raw.days,
                "tmin_c": one.raw.tmin_c,
                "tmax_c": one.raw.tmax_c,
            }
            writer.write_table(pa.table(columns, schema=schema))
    return path


def write_csv(folder: Path, one: MadeSite) -> Path:
    """A logger's file, named by the site; nothing is written where there is no reading."""
    lines = ["date,tmin,tmax"]
    for day, low, high in zip(one.raw.days, one.raw.tmin_c, one.raw.tmax_c, strict=True):
        lines.append(f"{day},{_written(low)},{_written(high)}")
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{one.site.name}.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _written(value: float) -> str:
    return "" if np.isnan(value) else f"{value:.1f}"
