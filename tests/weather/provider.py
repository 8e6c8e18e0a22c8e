"""A weather service on this machine: the provider's files under made-up stations, with faults on demand.

Values are those of tests/data/japan moved by whole years, so that the record ends yesterday. The format is
that of the service's documentation and of meteostat 2.1.5, which reads it: a directory of stations in SQLite
and one packed CSV a station and calendar year.
"""

from __future__ import annotations

import csv
import datetime as dt
import email.utils
import gzip
import hashlib
import json
import math
import sqlite3
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from functools import cache
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import numpy as np

from season_engine.commands import clock
from season_engine.site import Site
from season_engine.weather.station.copies import FORMAT_VERSION

JAPAN = Path(__file__).parents[1] / "data" / "japan"
LAST_SOURCE_YEAR = 2025
NOW = clock.now()
TODAY = NOW.date()
# The station's clock is the world's first, so that here no day begins before it does there.
TIMEZONE = "Pacific/Kiritimati"
YESTERDAY = TODAY - dt.timedelta(days=1)
SHIFT_YEARS = YESTERDAY.year - LAST_SOURCE_YEAR
FIRST_YEAR = YESTERDAY.year - 7
HEADER = ["year", "month", "day", "temp", "temp_source", "tmin", "tmin_source", "tmax", "tmax_source"]
HEADER += ["prcp", "prcp_source"]
TABLES = """
CREATE TABLE stations (id char(5) PRIMARY KEY, country varchar(2), region varchar(5), latitude float,
    longitude float, elevation int, timezone varchar(30));
CREATE TABLE names (station char(5), language char(2), name varchar(255));
CREATE TABLE identifiers (station char(5), key varchar(255), value varchar(255));
CREATE TABLE inventory (station char(5), provider varchar(20), parameter varchar(4), start date, end date,
    completeness float);
"""


@dataclass(frozen=True)
class Listed:
    """A made-up station on a made-up island."""

    id: str
    name: str
    latitude: float
    longitude: float
    elevation: int | None
    values: str = "nagano"
    warmer_c: float = 0.0
    first: dt.date = dt.date(FIRST_YEAR, 1, 1)
    last: dt.date = YESTERDAY
    completeness: float = 99.0
    parameters: tuple[str, ...] = ("temp", "tmin", "tmax", "prcp")
    files: tuple[str, ...] = ("daily",)  # and, or, "hourly"
    silent: tuple[dt.date, dt.date] | None = None  # first and last day of a gap


LONG_AGO = dt.date(FIRST_YEAR - 3, 1, 1)
THREE_YEARS_AGO = dt.date(YESTERDAY.year - 3, 5, 17)
SITE = Site("yard", 45.0, -30.0, 400)
# A tenth of a degree of latitude is 11.1 km.
STATIONS = (
    Listed("Q0001", "Kettle Ridge", 45.1, -30.0, 500),
    Listed("Q0002", "Kettle Bay", 45.3, -30.0, 380, warmer_c=1.0),
    Listed("Q0003", "Kettle Old Mill", 45.01, -30.0, 400, first=LONG_AGO, last=THREE_YEARS_AGO),
    Listed("Q0004", "Kettle Peak", 45.02, -30.0, 1900),
    Listed("Q0005", "Kettle Ford", 45.03, -30.0, 400, completeness=41.0),
    Listed("Q0006", "Kettle Wood", 45.04, -30.0, 400, first=dt.date(YESTERDAY.year - 2, 1, 1)),
    Listed("Q0007", "Kettle Airfield", 45.05, -30.0, 400, parameters=("temp",)),
    Listed("Q0008", "Kettle Rain Gauge", 45.0, -30.0, 400, parameters=("prcp",)),
    Listed("Q0009", "Far Cape", 47.0, -30.0, 10, values="kagoshima"),
)


@cache
def _values(name: str) -> dict[dt.date, tuple[str, str]]:
    with (JAPAN / f"{name}.csv").open(newline="") as file:
        return {
            dt.date.fromisoformat(row["date"]): (row["tmin"], row["tmax"]) for row in csv.DictReader(file)
        }


def reading(station: Listed, day: dt.date) -> tuple[float, float] | None:
    """What a station read on a day; none where the extract has no such day or lacks a value."""
    try:
        source = _values(station.values).get(day.replace(year=day.year - SHIFT_YEARS))
    except ValueError:  # 29 February
        return None
    if source is None or "" in source or not station.first <= day <= station.last:
        return None
    if station.silent is not None and station.silent[0] <= day <= station.silent[1]:
        return None
    return tuple(round(float(value) + station.warmer_c, 1) for value in source)


def year_rows(station: Listed, year: int) -> list[list[str]]:
    """A file's rows. Days past the record come from a forecast, as the service fills them."""
    rows = []
    day = dt.date(year, 1, 1)
    while day.year == year and day <= min(station.last, YESTERDAY) + dt.timedelta(days=3):
        source = "ghcnd" if day <= station.last else "dwd_mosmix"
        forecast = day > station.last and not YESTERDAY < day <= NOW.date()
        values = reading(station, day) or ((50.0, 55.0) if forecast else None)
        if values is not None:
            tmin, tmax = (f"{value:.1f}" for value in values)
            mean = f"{sum(values) / 2:.1f}"
            row = [
                str(day.year),
                str(day.month),
                str(day.day),
                mean,
                source,
                tmin,
                source,
                tmax,
                source,
                "",
                "",
            ]
            rows.append(row)
        day += dt.timedelta(days=1)
    return rows


def hour_rows(station: Listed, year: int) -> list[list[str]]:
    """A file's rows in hours of UTC: lowest at three and highest at fifteen o'clock by the sun."""
    rows = []
    when = dt.datetime(year, 1, 1)
    while when.year == year and when.date() <= min(station.last, YESTERDAY) + dt.timedelta(days=3):
        sun = when + dt.timedelta(minutes=4 * station.longitude)
        values = reading(station, sun.date())
        source = "isd_lite" if sun.date() <= station.last else "dwd_mosmix"
        values = values if sun.date() <= station.last else (50.0, 55.0)
        if values is not None:
            wave = math.cos((sun.hour - 15) * math.pi / 12)
            temp = (sum(values) + (values[1] - values[0]) * wave) / 2
            row = [when.year, when.month, when.day, when.hour, f"{temp:.2f}", source]
            rows.append([str(value) for value in row])
        when += dt.timedelta(hours=1)
    return rows


@cache
def hours_file(station: Listed, year: int) -> bytes | None:
    # The hours of 31 December by the sun lie, in the west, in the next year by UTC.
    last = station.last + dt.timedelta(days=1)
    rows = hour_rows(station, year) if station.first.year <= year <= last.year else []
    return packed(rows, ["year", "month", "day", "hour", "temp", "temp_source"]) if rows else None


def packed(rows: list[list[str]], header: list[str] = HEADER) -> bytes:
    text = "\n".join(",".join(row) for row in [header, *rows]) + "\n"
    return gzip.compress(text.encode(), mtime=0)


@cache
def year_file(station: Listed, year: int) -> bytes | None:
    rows = year_rows(station, year) if station.first.year <= year <= station.last.year else []
    return packed(rows) if rows else None


def forecast_file(
    issued: dt.datetime, extremes: list[tuple[float, float]], *, longitude: float, complete: bool = True
) -> bytes:
    """A forecast from the day of issue on, by the hour for 60 hours and then every six; times in UTC.

    `extremes` are each day's lowest and highest [degC], at three and fifteen o'clock by the sun; `complete`
    gives those of the next six hours at each step too.
    """
    offset = dt.timedelta(minutes=4 * longitude)
    first = (issued + offset).date()

    def temp(when: dt.datetime) -> float:
        sun = when + offset
        low, high = extremes[min(max((sun.date() - first).days, 0), len(extremes) - 1)]
        return (low + high) / 2 + (high - low) / 2 * math.cos(
            (sun.hour + sun.minute / 60 - 15) * math.pi / 12
        )

    def entry(when: dt.datetime) -> dict[str, object]:
        data = {"instant": {"details": {"air_temperature": round(temp(when), 1)}}}
        if complete:
            near = [round(temp(when + dt.timedelta(minutes=10 * ten)), 1) for ten in range(37)]
            ahead = {"air_temperature_min": min(near), "air_temperature_max": max(near)}
            data["next_6_hours"] = {"details": ahead}
        return {"time": f"{when:%Y-%m-%dT%H:%M:%SZ}", "data": data}

    start = issued.replace(minute=0, second=0, microsecond=0) + dt.timedelta(hours=1)
    times = [start + dt.timedelta(hours=hour) for hour in range(60)]
    while times[-1] - start < dt.timedelta(days=len(extremes) - 1):
        times.append(times[-1] + dt.timedelta(hours=1 if (times[-1].hour) % 6 else 6))
    meta = {"updated_at": f"{issued:%Y-%m-%dT%H:%M:%SZ}", "units": {"air_temperature": "celsius"}}
    properties = {"meta": meta, "timeseries": [entry(when) for when in times]}
    return json.dumps({"type": "Feature", "properties": properties}).encode()


@cache
def directory(stations: tuple[Listed, ...] = STATIONS) -> bytes:
    database = sqlite3.connect(":memory:")
    database.executescript(TABLES)
    for one in stations:
        place = (one.id, "XX", None, one.latitude, one.longitude, one.elevation, TIMEZONE)
        database.execute("INSERT INTO stations VALUES (?,?,?,?,?,?,?)", place)
        database.execute("INSERT INTO names VALUES (?,'en',?)", (one.id, one.name))
        for parameter in one.parameters:
            source = "isd_lite" if parameter == "temp" else "ghcnd"
            span = (one.first.isoformat(), one.last.isoformat(), one.completeness)
            database.execute("INSERT INTO inventory VALUES (?,?,?,?,?,?)", (one.id, source, parameter, *span))
        # A forecast is listed too, into the future; it is no observation.
        ahead = (YESTERDAY + dt.timedelta(days=10)).isoformat()
        row = (one.id, "dwd_mosmix", "tmin", ahead, ahead, 100.0)
        database.execute("INSERT INTO inventory VALUES (?,?,?,?,?,?)", row)
    database.commit()
    return database.serialize()


@dataclass
class Fault:
    """What to do wrong for addresses that hold `part`, so many times (None: for ever)."""

    part: str
    kind: str  # "500", "404", "hang", "drip", "cut", "html", "reordered", "renamed", "emptied", "means only",
    # "headless", "403", "malformed"
    times: int | None = None


@dataclass
class Provider:
    """The running service; `requests` are the addresses asked for with the status given, in order."""

    faults: list[Fault] = field(default_factory=list)
    requests: list[tuple[str, int]] = field(default_factory=list)
    agents: set[str] = field(default_factory=set)
    stations: tuple[Listed, ...] = STATIONS
    validators: bool = True  # sends ETag and Last-Modified
    forecast: bytes | None = None  # its forecast for every place
    stopped: threading.Event = field(default_factory=threading.Event)

    _port: int = 0

    def start(self) -> Provider:
        """Serve, at the same address as before if it served before."""
        handler = type("Handler", (_Handler,), {"provider": self})
        self.stopped = threading.Event()
        try:
            self._server = _Server(("127.0.0.1", self._port), handler)
        except OSError:  # somebody took the port meanwhile
            self._server = _Server(("127.0.0.1", 0), handler)
        self._port = self._server.server_port
        threading.Thread(target=self._server.serve_forever, args=(0.01,), daemon=True).start()
        return self

    def let_go(self) -> None:
        """Free the callers that hang."""
        self.stopped.set()
        self.stopped = threading.Event()

    def stop(self) -> None:
        """From now on connections are refused."""
        self.stopped.set()
        self._server.shutdown()
        self._server.server_close()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self._port}"

    def as_new(self) -> None:
        """Forget what one test did with it."""
        for used in (self.faults, self.requests, self.agents):
            used.clear()
        self.stations, self.validators, self.forecast = STATIONS, True, None
        if self.stopped.is_set():
            self.start()

    def fault(self, part: str, kind: str, times: int | None = None) -> None:
        self.faults.append(Fault(part, kind, times))

    def counted(self) -> dict[int, int]:
        """How many requests got which status since the last call."""
        counts = dict(Counter(status for _path, status in self.requests))
        self.requests.clear()
        return counts

    def years_asked_for(self) -> set[int]:
        return {int(path.split("/")[2]) for path, _status in self.requests if path.startswith("/daily/")}

    def fault_of(self, path: str) -> str | None:
        for one in self.faults:
            if one.part in path and one.times != 0:
                one.times = None if one.times is None else one.times - 1
                return one.kind
        return None

    def body(self, path: str, fault: str | None) -> bytes | None:
        if path == "/stations.db":
            return directory(self.stations)
        if path.startswith("/forecast/complete?"):
            return b'{"type": "Feature", "properties": []}' if fault == "malformed" else self.forecast
        _, kind, year, name = path.split("/")
        found = {f"{one.id}.csv.gz": one for one in self.stations}
        if name not in found or kind not in found[name].files:
            return None
        if kind == "hourly":
            return hours_file(found[name], int(year))
        return self._year(found[name], int(year), fault)

    def _year(self, station: Listed, year: int, fault: str | None) -> bytes | None:
        whole = year_file(station, year)
        if whole is None or fault not in ("reordered", "renamed", "emptied", "means only"):
            return whole
        rows = year_rows(station, year)
        if fault == "emptied":
            return packed(rows[:5])
        if fault == "renamed":
            return packed(rows, ["jahr", "monat", "tag", *HEADER[3:]])
        if fault == "means only":
            return packed([row[:5] for row in rows], HEADER[:5])
        order = [HEADER.index(name) for name in ("tmax", "tmin", "day", "prcp", "month", "year")]
        return packed([[row[at] for at in order] for row in rows], [HEADER[at] for at in order])


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    block_on_close = False

    def handle_error(self, *_: object) -> None:
        """A caller that lost patience is what some tests are about."""


class _Handler(BaseHTTPRequestHandler):
    provider: Provider
    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True  # else each answer's body waits 40 ms for its head to be acknowledged

    def log_message(self, *_: object) -> None:
        pass

    def do_GET(self) -> None:
        fault = self.provider.fault_of(self.path)
        self.provider.agents.add(self.headers.get("User-Agent", ""))
        if fault == "hang":
            self._note(0)
            self.provider.stopped.wait(30)
            self.close_connection = True
            return
        body = None if fault == "404" else self.provider.body(self.path, fault)
        if fault in ("403", "500"):
            self._answer(int(fault), b"out of order")
        elif body is None:
            self._answer(404, b"no such file")
        elif fault == "html":
            self._answer(200, b"<!doctype html><title>Sign in</title>", tag='"page"')
        elif fault == "cut":
            self._answer(200, body[: len(body) // 2], tag='"cut"')
        elif fault == "headless":
            self._answer(200, b"SQLite format 3\x00" + body[100:4096], tag='"headless"')
        elif fault == "drip":
            self._drip(body)
        else:
            self._answer(200, body, tag=f'"{hashlib.sha256(body).hexdigest()[:16]}"')

    def _answer(self, status: int, body: bytes, tag: str = "") -> None:
        if tag and self.headers.get("If-None-Match") == tag:
            status, body = 304, b""
        self._note(status)
        self.send_response(status)
        if tag and self.provider.validators:
            self.send_header("ETag", tag)
            self.send_header("Last-Modified", email.utils.formatdate(1_700_000_000, usegmt=True))
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def _drip(self, body: bytes) -> None:
        self._note(200)
        self.send_response(200)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        try:
            for at in range(len(body)):
                self.wfile.write(body[at : at + 1])
                self.wfile.flush()
                time.sleep(0.02)
        except OSError:  # the other side had enough
            self.close_connection = True

    def _note(self, status: int) -> None:
        self.provider.requests.append((self.path, status))


def let_time_pass(cache: Path, days: float) -> None:
    """Make everything in a cache folder that many days older, as if it had lain there.

    But not the moment a file came: it holds yesterday's readings, so it can't have come before today.
    """
    by = dt.timedelta(days=days)

    def older(facts: dict[str, str]) -> None:
        for name in ("fetched_at", "tried_at", "expires"):
            if facts.get(name):
                facts[name] = (dt.datetime.fromisoformat(facts[name]) - by).isoformat()

    with sqlite3.connect(cache / "http.sqlite") as database:
        for key, value in database.execute("SELECT key, value FROM responses").fetchall():
            kept = json.loads(value)
            older(kept)
            database.execute("UPDATE responses SET value = ? WHERE key = ?", (json.dumps(kept), key))
    database.close()
    for path in cache.glob("stations-*.json"):
        kept = json.loads(path.read_text())
        older(kept["fetch"])
        path.write_text(json.dumps(kept))
    for path in cache.glob("station-*.npz"):
        with np.load(path) as archive:
            arrays = dict(archive)
        facts = json.loads(str(arrays.pop("facts")))
        assert facts["format"] == FORMAT_VERSION
        older(facts["fetch"])
        np.savez(path, facts=np.array(json.dumps(facts)), **arrays)
