"""Logger exports by writers who have not seen the reader: `python -m tests.benchmarks.logger_exports known`.

Each is read the way `report` reads it, first with nothing but its file named, then, where that is refused,
with what its `about.toml` tells. What comes out is held against what it truly says.
"""

from __future__ import annotations

import csv
import gzip
import itertools
import re
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.weather.logger.reading import LoggerRecord
from season_engine.weather.sources.logger_file import LoggerFile
from season_engine.workspace.settings import LoggerWeather
from season_engine.workspace.sources import weather_source
from tests.benchmarks.markdown import markdown_table, show

EXPORTS = Path(__file__).parents[1] / "data" / "exports"
APART_C = 0.06
APART_SECONDS = 30  # five decimals of a day number are within a second; the sun's time is to the minute
HOUR = 3600


@dataclass(frozen=True)
class Export:
    """One export and what is known of it."""

    folder: Path
    about: dict[str, Any]

    @property
    def site(self) -> Site:
        """Where its sensor hangs."""
        about = self.about
        return Site(self.folder.name, about["latitude"], about["longitude"], about["elevation_m"])

    def read(self, **settings: object) -> LoggerRecord:
        """What the reader makes of it, by the settings of a `[site.weather]` table."""
        told = LoggerWeather.model_validate({"source": "logger", "file": self.about["file"], **settings})
        source = weather_source(told, self.folder, "degC")
        assert isinstance(source, LoggerFile)
        return source.readings.readings(self.site)

    def truth(self) -> list[list[str]]:
        """What it truly says, a row a reading or a day."""
        text = gzip.decompress((self.folder / "truth.csv.gz").read_bytes()).decode()
        return list(csv.reader(text.splitlines()))[1:]

    def tellable(self) -> list[dict[str, object]]:
        """What its grower could tell in settings, the fewest at a time first."""
        about, one_by_one = self.about, []
        names: list[str | int] = [_column(name) for name in about["outdoor"].split(";")]
        if about["kind"] == "daily" and len(names) == 2:
            one_by_one += [{"columns": {"tmin": low, "tmax": high}} for low, high in (names, names[::-1])]
        else:
            one_by_one += [{"sensor": str(names[0])}, {"columns": {"temp": names[0]}}]
        one_by_one.append({"units": about["unit"]})
        if about["clock"] == "utc":
            one_by_one.append({"clock": "UTC"})
        if (hours := _hours_apart(self)) > 1:
            one_by_one.append({"interval_hours": hours})
        if "status" in about["grower_must_say"]:  # of missing values: good ones have none
            one_by_one.append({"flags": [""]})
        if "%" in about["date_form"]:
            one_by_one.append({"date_format": about["date_form"].split(" (")[0]})
        several = itertools.chain.from_iterable(
            itertools.combinations(one_by_one, many) for many in (1, 2, 3, 4)
        )
        return [{key: value for one in chosen for key, value in one.items()} for chosen in several]


def exports(which: str) -> list[Export]:
    """All exports of a folder: "known", "held_out", "later" or "fourth"."""
    folders = sorted(about.parent for about in (EXPORTS / which).glob("*/about.toml"))
    return [Export(one, tomllib.loads((one / "about.toml").read_text("utf-8"))) for one in folders]


def _hours_apart(export: Export) -> int:
    """How far its readings are apart, as its grower knows: whole hours, 1 where they are nearer."""
    if export.about["kind"] == "daily":
        return 1
    times = np.array([row[0].rstrip("Z") for row in export.truth()], dtype="datetime64[s]")
    return max(1, min(3, round(float(np.median(np.diff(times.astype(np.int64)))) / HOUR)))


def _column(told: str) -> str | int:
    """A column by its name, or by its number where it has none: "column 6 of the lines ..."."""
    numbered = re.match(r"column (\d+)\b", told.strip())
    return int(numbered[1]) if numbered else told.strip()


@dataclass(frozen=True)
class Result:
    """How an export was read."""

    verdict: str  # "as it comes", "with a setting", "by hand" or "WRONG"
    why: str = ""


def result_of(export: Export) -> Result:
    """Read it with nothing told, then with as little as helps."""
    try:
        wrong = wrong_with(export, export.read())
    except GrowerError as refusal:
        return _with_settings(export, refusal)
    return Result("WRONG", wrong) if wrong else Result("as it comes")


def _with_settings(export: Export, refusal: GrowerError) -> Result:
    for settings in export.tellable():
        try:
            wrong = wrong_with(export, export.read(**settings))
        except (GrowerError, ValueError):
            continue
        told = ", ".join(f"{key} = {value!r}" for key, value in settings.items())
        return Result("WRONG", f"with {told}: {wrong}") if wrong else Result("with a setting", told)
    return Result("by hand", str(refusal).replace("\n", " "))


def wrong_with(export: Export, record: LoggerRecord) -> str:
    """What differs from the truth; "" where nothing does."""
    rows = export.truth()
    if export.about["kind"] == "daily":
        return _wrong_days(record, rows)
    if record.seconds is None or record.temp_c is None:
        return "read as a table of days"
    return _wrong_readings(export, record, rows)


def _wrong_days(record: LoggerRecord, rows: list[list[str]]) -> str:
    if record.seconds is not None:
        return "read as readings within the day"
    daily = record.daily
    found = {str(day): pair for day, *pair in zip(daily.days, daily.tmin_c, daily.tmax_c, strict=True)}
    for date, *extremes in rows:
        told = found.pop(date, [np.nan, np.nan])
        for text, value in zip(extremes, told, strict=True):
            if (text == "") != bool(np.isnan(value)) or (text and abs(float(text) - value) > APART_C):
                return f"{date}: {text or 'nothing'} is read as {value}"
    more = [day for day, pair in found.items() if not np.isnan(pair).all()]
    return f"{len(more)} days that are not there, the first {more[0]}" if more else ""


def _wrong_readings(export: Export, record: LoggerRecord, rows: list[list[str]]) -> str:
    true_s = np.array([row[0].rstrip("Z") for row in rows], dtype="datetime64[s]").astype(np.int64)
    true_c = np.array([float(row[1]) for row in rows])
    assert record.seconds is not None and record.temp_c is not None
    if record.seconds.size != true_s.size:
        return f"{record.seconds.size} readings of {true_s.size}"
    apart = np.abs(record.temp_c - true_c)
    if apart.max() > APART_C:
        at = int(np.argmax(apart > APART_C))
        return f"{rows[at]} is read as {record.temp_c[at]:.2f}"
    ahead = record.seconds - true_s
    if record.form.by_the_sun:
        allowed = [round(export.site.longitude * 4) * 60]
    else:
        standard = round(export.about["utc_offset_hours"] * HOUR)
        allowed = [standard, standard + HOUR] if export.about["clock"] == "wall" else [standard]
    off = np.min([np.abs(ahead - one) for one in allowed], axis=0)
    if off.max() > APART_SECONDS:
        at = int(np.argmax(off > APART_SECONDS))
        told = np.datetime64(int(record.seconds[at]), "s")
        return f"{rows[at][0]} is read as {told}, {ahead[at] / HOUR:+.2f} h"
    return ""


def main() -> None:
    """Print how each is read, and the sums."""
    results = {
        one.folder.name: result_of(one) for one in exports(sys.argv[1] if len(sys.argv) > 1 else "known")
    }
    show(
        *markdown_table(
            ("Export", "Read", "How"), [(name, one.verdict, one.why) for name, one in results.items()]
        )
    )
    show("")
    for verdict in ("as it comes", "with a setting", "by hand", "WRONG"):
        show(f"{verdict}: {sum(one.verdict == verdict for one in results.values())}")


if __name__ == "__main__":
    main()
