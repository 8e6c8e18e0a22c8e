"""Every kind of file that is read from outside: a good one, how to spoil it, and who reads it."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from season_engine.batch.sites_file import read_batch_sites
from season_engine.documents.map_geojson import map_geojson
from season_engine.documents.shared_yard import shared_zip
from season_engine.maps.batch_files import read_rows
from season_engine.site import Season, Site
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.own_record import Statement, add_to_record, read_record, said_of
from season_engine.verify.pooled_notes import pooled
from season_engine.verify.shared_yard import LeftBehind, SharedNote, SharedYard
from season_engine.verify.station_files import read_events, read_sites
from season_engine.verify.weather_file import read_weather
from season_engine.weather.checks import check_and_fill
from season_engine.weather.forecast.days import DayForecast, Issue, known_on
from season_engine.weather.forecast.file import read_forecast_file
from season_engine.weather.forecast.log import ForecastLog, keep_log, load_log
from season_engine.weather.forecast.service import read_forecast
from season_engine.weather.http import Failed, WeatherHttp
from season_engine.weather.logger.cache import cache_name, read_logger_cached
from season_engine.weather.logger.reading import record_of
from season_engine.weather.second import correction as yard
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import ForecastFileOrigin, ForecastServiceOrigin, LoggerOrigin
from season_engine.weather.station import copies as station_copies
from season_engine.weather.station.choice import Station
from season_engine.weather.station.provider import (
    UnreadableError,
    check_directory,
    check_year,
    find_stations,
    read_hours,
    read_year,
)
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import Workspace, load_workspace
from tests import made_country
from tests.factories import an_assessment
from tests.fuzz import spoiling
from tests.fuzz.spoiling import Spoil
from tests.weather import provider

ON = dt.date(2024, 3, 25)
NOW = dt.datetime(2024, 3, 25, 12, tzinfo=dt.UTC)
YARD = Site("yard", 45.0, -30.0, 400)
HUT = Site("hut", 47.0, 11.5, 600)

SEASON = """units = "degC"
catalogue = ["catalogue.toml"]
[[site]]
name = "hut"
latitude = -45.0
longitude = 169.5
elevation_m = 120
timezone = "Etc/UTC"
bench_frost_allowance_c = 2
sun_on_pots = "half"
[site.weather]
source = "logger"
file = "hut.csv"
date_format = "%Y-%m-%d"
keep = ["2021-03-04", "2022-05-01/2022-05-09"]
drop = [2022-06-01]
[site.forecast]
source = "file"
file = "forecast.csv"
[[site]]
name = "ridge"
latitude = 51.5
longitude = 11.5
[site.weather]
source = "demo"
climate = "cool-inland-north"
[[school]]
group = "evergreen azalea"
job = "repotting"
take = "after bloom"
[email]
host = "mail.example.org"
port = 587
security = "starttls"
from = "yard@example.org"
to = ["grower@example.org"]
[[email.recipient]]
to = "helper@example.org"
sites = ["hut"]
[report]
out = "reports"
language = "de"
[delivery]
folder = "copies"
"""
TREES = """id,name,site,species,size,pot,origin,last_repotted,vigour,shelter,stage,arrived,arrived_from,\
collected,root_parts,bench,dead,notes
p1,Kettle,hut,Pinus thunbergii,large,60x40x12 cm,collected,2019-04-02,normal,no,refined,2018-05,Japan,\
2017,3,north,,"leans, a little"
m1,Rust,ridge,Japanese maple,medium,,nursery,2018,weak,yes,young,2016-03-01,-33.9,,,,2024-03-01,
"""
JOURNAL = """date,site,tree,species,bbch,job,note,facts,entered,withdraws
2020-03-28,ridge,m1,,01,,buds fat,none,2020-03-29,
2021-04-12,hut,p1,,,repotting,"a quarter, of the root ball",share 1/4; side north; pot 30 l; roots ring,,no
2022-05-01,hut,p1,,,,to the ridge,moved to ridge; wire off; arrived; good season,2022-05-01,
2020-03-28,ridge,m1,,01,,buds fat,none,2022-06-01,yes
2023-04-01,ridge,,Larix decidua,09,,,,,
"""
CATALOGUE = """[species."Juniperus fictilis"]
group = "juniper"
common = ["clay juniper"]
without = ["wiring"]
[species."Pinus thunbergii".marker.candles_moving]
kind = "heat_after"
label = "candles begin to move"
bbch = 1
after = "midwinter"
need = 260
unit = "growing degree days above 5 degC"
sd_days = 9
from = "memory"
[[species."Pinus thunbergii".window]]
name = "late"
job = "repotting"
opens = ["candles_moving"]
closes = ["midsummer"]
aftercare = ["No fertiliser for a month."]
[[species."Pinus thunbergii".window.hazard]]
name = "frost"
level_c = -4
days = 42
limit = 0.3
from = "practice"
"""
FORECAST = """issued,date,tmin,tmax
2024-03-24 18:00,2024-03-25,1.5,12
2024-03-25 06:00,2024-03-26,-3.5,9
"""
STATIONS = "site,latitude,longitude,elevation\nhut,36.6,138.2,418\nridge,-31.5,130.5,\n"
EVENTS = "site,species,bbch,date\nhut,Larix decidua,07,2019-04-02\nridge,Acer palmatum,11,2020-09-30\n"
NOTED = (
    "site,species,bbch,date,sighting,tree\nhut,Larix decidua,07,2019-04-02,seen,1\n"
    "hut,Larix decidua,07,2019-04-09,seen,1\nridge,Acer palmatum,11,2020-09-30,not-yet,\n"
)


@dataclass(frozen=True)
class Target:
    """One kind of file."""

    good: bytes
    ways: tuple[Spoil, ...]
    read: Callable[[bytes, Path], object]  # the content, and an empty folder to use
    refuses: tuple[type[Exception], ...] = ()  # beside GrowerError, where the reader's callers mend it


def days_file(days: int = 60, first: dt.date = dt.date(2024, 1, 1), head: str = "date,tmin,tmax") -> str:
    """A logger's daily file with plausible readings."""
    rows = [head]
    for day in range(days):
        low = round(3 * np.sin(day / 9) + day % 7 / 3 - 2, 1)
        rows.append(f"{first + dt.timedelta(days=day)},{low},{low + 8 + day % 5}")
    return "\n".join(rows) + "\n"


def hours_file(head: str = "time;temp") -> str:
    """A logger's hourly file, with a block above it and decimal commas."""
    start = dt.datetime(2024, 1, 13)
    times = [start + dt.timedelta(hours=hour) for hour in range(72)]
    rows = [f"{time:%d.%m.%Y %H:%M};{5 + time.hour % 12 / 2:.1f}".replace(".5", ",5") for time in times]
    return "Logger 7\nSerial;12\n" + "\n".join([head, *rows]) + "\n"


def _logger(content: bytes, _folder: Path) -> None:
    series = record_of([("hut.csv", content)], site=HUT).daily
    check_and_fill(series.cut(ON), source=LoggerOrigin("hut.csv"))


def workspace_with(folder: Path, changed: Mapping[str, bytes]) -> Path:
    """A workspace of two sites in `folder`, with these files in place of its own."""
    texts = {"season.toml": SEASON, "trees.csv": TREES, "journal.csv": JOURNAL, "catalogue.toml": CATALOGUE}
    texts |= {"forecast.csv": FORECAST, "hut.csv": days_file()}
    for name, text in texts.items():
        (folder / name).write_bytes(changed.get(name, text.encode()))
    return folder


def _in_workspace(name: str) -> Callable[[bytes, Path], Workspace]:
    return lambda content, folder: load_workspace(workspace_with(folder, {name: content}))


def _catalogue(content: bytes, folder: Path) -> None:
    catalogue = catalogue_of(_in_workspace("catalogue.toml")(content, folder))
    for name in ("Pinus thunbergii", "Juniperus fictilis"):
        catalogue.get(name)


def _forecast_file(content: bytes, folder: Path) -> None:
    (folder / "forecast.csv").write_bytes(content)
    issues = read_forecast_file(folder / "forecast.csv", "degF")
    known_on(issues, ON, source=ForecastFileOrigin("forecast.csv"))


def _forecast(content: bytes, _folder: Path) -> None:
    read_forecast(content, 11.5)


def _year(content: bytes, _folder: Path) -> None:
    check_year(content)
    read_year("Q0001", 2023, content)


def _hours(content: bytes, _folder: Path) -> None:
    check_year(content)
    read_hours([content], 2023, 11.5)


def _directory(content: bytes, _folder: Path) -> None:
    check_directory(content)
    for wanted in (None, "Q0001"):
        find_stations(content, YARD, wanted)


def _stations(content: bytes, folder: Path) -> None:
    (folder / "sites.csv").write_bytes(content)
    read_sites(folder / "sites.csv")


def _batch_sites(content: bytes, folder: Path) -> None:
    (folder / "sites.csv").write_bytes(content)
    read_batch_sites(folder / "sites.csv")


def _sites() -> dict[str, Site]:
    return {"hut": Site("hut", 36.6, 138.2), "ridge": Site("ridge", -31.5, 130.5)}


def _events(content: bytes, folder: Path) -> None:
    (folder / "events.csv").write_bytes(content)
    read_events(folder / "events.csv", _sites())


def _shared(content: bytes, folder: Path) -> None:
    (folder / "mine.zip").write_bytes(content)
    pooled([folder / "mine.zip"], load_catalogue())


def _made_shared() -> bytes:
    """Notes of one season at one yard."""
    season = Season(2022, "north")
    note = SharedNote(season.date_of(180), "Larix decidua", 7, "seen", 1)
    low = np.round(9 + 9 * np.cos(np.arange(365) / 58), 1)
    weather = DailySeries(season.start, low, low + 8)
    yard = SharedYard(Site("yard", 45.0, -30.0), (note,), (season,), (weather,), LeftBehind())
    return shared_zip([yard])


def _many_days(content: bytes, folder: Path) -> None:
    (folder / "weather.csv.gz").write_bytes(content)
    read_weather(folder / "weather.csv.gz", ["hut", "ridge"])


def _record(content: bytes, folder: Path) -> None:
    (folder / "record.jsonl").write_bytes(content)
    record = read_record(folder / "record.jsonl", ON)
    record.previous(ON, "ridge")
    for statement in record.statements:
        for said in statement.said:
            _ = said.key, said.opens.p50, int(said.season[:4])


@cache
def _made_record(folder: Path) -> bytes:
    said = said_of(an_assessment(as_of=ON))
    statement = Statement(ON - dt.timedelta(days=7), ON - dt.timedelta(days=7), "ridge", (said,))
    add_to_record(folder / "record.jsonl", read_record(folder / "record.jsonl", ON), [statement])
    return (folder / "record.jsonl").read_bytes()


def _kept_logger(content: bytes, folder: Path) -> None:
    (folder / "hut.csv").write_text(days_file(), "utf-8")
    (folder / cache_name("hut")).write_bytes(content)
    series = read_logger_cached([folder / "hut.csv"], cache=folder, kept_as="hut", site=HUT).daily
    assert len(series.cut(ON)) == 60


def _kept_station(content: bytes, folder: Path) -> None:
    path = folder / "station-Q0001.npz"
    path.write_bytes(content)
    kept = station_copies.load_station(path)
    if kept is not None:
        _ = kept.fetch.due(NOW, dt.timedelta(days=1)), kept.series.last_day, kept.series.cut(ON)
        station_copies.keep_station(path, kept)


def _kept_directory(content: bytes, folder: Path) -> None:
    path = folder / "stations.json"
    path.write_bytes(content)
    kept = station_copies.load_directory(path)
    if kept is not None:
        _ = kept.fetch.due(NOW, dt.timedelta(days=1))
        for station in kept.stations:
            _ = station.height_difference_m(120.0), station.ended(ON)
            assert re.fullmatch("[A-Za-z0-9]{1,20}", station.id), "files are named by it"
        station_copies.keep_directory(path, kept)


def _kept_forecasts(content: bytes, folder: Path) -> None:
    path = folder / "forecast.json"
    path.write_bytes(content)
    log = load_log(path)
    log.due(NOW)
    known_on(log.issues, ON, source=ForecastServiceOrigin("service", "licence"))
    keep_log(path, log.added(_issue(), NOW))


def _issue() -> Issue:
    return Issue(NOW, (DayForecast(ON, -1.0, 8.0), DayForecast(ON + dt.timedelta(days=1), 0.0, 9.0)))


def _pair() -> tuple[DailySeries, DailySeries]:
    day = np.arange(200.0)
    low = 4 * np.sin(day / 20) + np.sin(day * 1.7)
    here = DailySeries(dt.date(2023, 9, 1), low, low + 9)
    return DailySeries(here.first_day, low + 1.5, low + 10 + np.sin(day)), here


def _correction() -> yard.Correction:
    """One as it is learnt from half a year."""
    count = yard._terms(_pair()[0], seasonal=False).shape[-1]
    row, reach = (0.1,) * count, ((-20.0, 30.0),) * count
    return yard.Correction(
        200, False, (-1.0, 0.5), (row, row), (5.0,) * count, (4.0,) * count, reach, (1.5, 1.6), (0.4, 0.7)
    )


def _kept_correction(content: bytes, folder: Path) -> None:
    (folder / "yard.json").write_bytes(content)
    key = re.search(rb"[0-9a-f]{64}", content)  # else it is learnt anew, which takes seconds
    correction = yard._load(folder / "yard.json", key[0].decode()) if key else None
    if correction is not None:
        _ = yard.corrected(_pair()[0], correction), correction.fit


ADDRESS = "http://127.0.0.1:9/daily/2023/Q0001.csv.gz"


def _kept_downloads(content: bytes, folder: Path) -> None:
    (folder / "http.sqlite").write_bytes(content)
    with WeatherHttp(folder, checks={".csv.gz": check_year}, short_lived=re.compile("never")) as http:
        download = http.get(ADDRESS)
    kept = download.kept if isinstance(download, Failed) else download
    if content_of := getattr(kept, "content", None):
        check_year(content_of)


@cache
def _made_block(folder: Path) -> bytes:
    opens = made_country.ON
    rows = [made_country.a_row(f"{n}", 45 + n, 5, opens) for n in range(3)]
    batch = made_country.write_batch(folder / "batch", [*rows, made_country.a_refusal("x", 49, 5)])
    return (batch / "block=00000" / "part.parquet").read_bytes()


def _batch(folder: Path, block: bytes, run: bytes) -> None:
    part = folder / "block=00000" / "part.parquet"
    part.parent.mkdir()
    part.write_bytes(block)
    (folder / "_run.json").write_bytes(run)
    map_geojson(read_rows(folder))


def _block(content: bytes, folder: Path) -> None:
    _batch(folder, content, b'{"on": "2026-03-02"}')


def _run(content: bytes, folder: Path) -> None:
    with tempfile.TemporaryDirectory() as made:
        _batch(folder, _made_block(Path(made)), content)


def targets(folder: Path) -> dict[str, Target]:
    """All of them by name; `folder` is for making the good ones."""
    station = provider.STATIONS[0]
    fetch = station_copies.Fetch(NOW, NOW, (station_copies.Trouble("out of order", (2023,), True),))
    listed = Station(*("Q0001", "Ridge", 45.1, -30.0, 500.0, None, 11.0, dt.date(2000, 1, 1), ON, 0.9, True))
    station_copies.keep_directory(
        folder / "stations.json", station_copies.Directory((listed,), fetch, "Q0002")
    )
    copy = station_copies.StationCopy(_pair()[0], fetch, ("A service",), (2001,))
    station_copies.keep_station(folder / "station.npz", copy)
    keep_log(folder / "forecast.json", ForecastLog((dataclasses.replace(_issue()),), NOW))
    yard._keep(folder / "yard.json", "0" * 64, _correction())
    _kept_logger(b"", folder)
    forecast = provider.forecast_file(NOW, [(0.0, 9.0)] * 10, longitude=11.5)
    daily = provider.packed(provider.year_rows(station, provider.FIRST_YEAR + 1)[:40])
    year = dataclasses.replace(provider.STATIONS[6], files=("hourly",))
    head = ["year", "month", "day", "hour", "temp", "temp_source"]
    hourly = provider.packed(provider.hour_rows(year, provider.FIRST_YEAR + 1)[:100], head)
    rows = days_file(40, head="site,date,tmin,tmax").splitlines()
    weather = "\n".join([rows[0], *(f"{site},{row}" for site in ("hut", "ridge") for row in rows[1:])])
    table, document = spoiling.TABLE, spoiling.DOCUMENT
    foreign = (UnreadableError, ValueError)  # its readers say so, and go on with what is kept
    return {
        "batch's block": Target(_made_block(folder), spoiling.BINARY, _block),
        "batch's _run.json": Target(b'{"on": "2026-03-02", "blocks": 1}', document, _run),
        "logger, days": Target(days_file().encode(), table, _logger),
        "logger, hours": Target(hours_file().encode(), table, _logger),
        "season.toml": Target(SEASON.encode(), spoiling.SETTINGS, _in_workspace("season.toml")),
        "trees.csv": Target(TREES.encode(), table, _in_workspace("trees.csv")),
        "journal.csv": Target(JOURNAL.encode(), table, _in_workspace("journal.csv")),
        "catalogue.toml": Target(CATALOGUE.encode(), spoiling.SETTINGS, _catalogue),
        "forecast.csv": Target(FORECAST.encode(), table, _forecast_file),
        "service's forecast": Target(forecast, document, _forecast, (ValueError,)),
        "provider's days": Target(daily, spoiling.packed(table), _year, foreign),
        "provider's hours": Target(hourly, spoiling.packed(table), _hours, foreign),
        "provider's directory": Target(provider.directory(), spoiling.BINARY, _directory, foreign),
        "backtest's sites": Target(STATIONS.encode(), table, _stations),
        "batch's sites": Target(STATIONS.replace("elevation", "elevation_m").encode(), table, _batch_sites),
        "backtest's events": Target(EVENTS.encode(), table, _events),
        "backtest's weather": Target(weather.encode(), (*table, *spoiling.packed(table)), _many_days),
        "yards' events": Target(NOTED.encode(), table, _events),
        "yards' notes": Target(_made_shared(), spoiling.BINARY, _shared),
        "record.jsonl": Target(_made_record(folder), document, _record),
        "kept logger": Target((folder / cache_name("hut")).read_bytes(), spoiling.BINARY, _kept_logger),
        "kept station": Target((folder / "station.npz").read_bytes(), spoiling.BINARY, _kept_station),
        "kept directory": Target((folder / "stations.json").read_bytes(), document, _kept_directory),
        "kept forecasts": Target((folder / "forecast.json").read_bytes(), document, _kept_forecasts),
        "kept correction": Target((folder / "yard.json").read_bytes(), document, _kept_correction),
        "kept downloads": Target(_downloads(folder, daily), spoiling.BINARY, _kept_downloads),
    }


def _downloads(folder: Path, daily: bytes) -> bytes:
    """The cache of downloads with one file in it, put there past the network."""
    import requests
    import requests_cache

    where = folder / "downloads"
    with requests_cache.CachedSession(
        str(where / "http.sqlite"), backend="sqlite", serializer="json"
    ) as session:
        response = requests.Response()
        response.status_code, response.url, response._content = 200, ADDRESS, daily
        response.raw = requests.packages.urllib3.HTTPResponse(body=daily, status=200)
        response.request = requests.Request("GET", ADDRESS).prepare()
        session.cache.save_response(response)
    content = (where / "http.sqlite").read_bytes()
    shutil.rmtree(where)
    return content
