"""All that is printed, in degC and in degF from the same readings: each number is told by its own rule."""

from __future__ import annotations

import csv
import datetime as dt
import html
import re
import shutil
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from babel.messages.pofile import read_po
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.delivery.message import compose
from season_engine.documents.calendar_feed import season_calendar, season_windows
from season_engine.documents.windows_csv import windows_csv
from season_engine.pages.page import report_page
from season_engine.pipeline import make_report
from season_engine.prints.report import report_text
from season_engine.report.contents import Report
from season_engine.species.catalogue import load_catalogue
from season_engine.species.files import shipped
from season_engine.species.jobs import JOBS
from season_engine.tables.texts import bare_temperature, with_values
from season_engine.weather.sources.origins import StationFacts
from season_engine.windows.looks import Look, Narrowed
from season_engine.words.speech import speaking
from season_engine.words.station import station_sentences
from season_engine.words.translations import TEMPLATE
from season_engine.workspace.workspace import load_workspace
from tests.spoken import spelt_out
from tests.workspaces import STATIONS

from .told_twice import unlike

Parts = Callable[[Report], Iterator[tuple[str, str]]]

ON = dt.date(2025, 4, 14)
FORM = re.compile(r"\{(-?\d+(?:\.(\d))?) degC\}")
NOTE = (
    "Roots rest between {3 degC} and {5 degC} and grow at {7..12 degC}; a wall keeps the pot {2 K} warmer, a "
    "hollow {2..4 K} colder, and {1,250 degree days} harden it. Bring it in from {28 degF}."
)
TOLD_C = (
    "Roots rest between 3 °C and 5 °C and grow at 7 to 12 °C; a wall keeps the pot 2 °C warmer, a hollow "
    "2 to 4 °C colder, and 1,250 degree days harden it. Bring it in from -2 °C."
)
TOLD_F = (
    "Roots rest between 37 °F and 41 °F and grow at 45 to 54 °F; a wall keeps the pot 4 °F warmer, a hollow "
    "4 to 7 °F colder, and 2,250 degree days harden it. Bring it in from 28 °F."
)
YARD = """units = "{units}"
[[site]]
name = "ridge"
latitude = 36.66
longitude = 138.19
elevation_m = 418
[site.weather]
source = "logger"
units = "degC"
file = "ridge.csv"
reference = "valley.csv"
[site.forecast]
source = "file"
units = "degC"
file = "forecast.csv"
"""
TREES = """id,name,site,species,size,vigour,shelter,notes
m1,Rust,ridge,Acer palmatum,medium,normal,yes,hates less than 5 degC
p1,Kettle,ridge,Pinus thunbergii,large,normal,no,
f1,Lodger,ridge,Ficus microcarpa,small,normal,yes,
"""
JOURNAL = """date,site,tree,species,bbch,job,note
2025-04-02,ridge,p1,,,repotting,3 degC colder that night than in the valley
2024-04-01,ridge,m1,,09,,green tips at 41 °F
"""
FORECAST = """issued,date,tmin,tmax
2025-04-14 06:00,2025-04-15,-3.6,9
2025-04-14 06:00,2025-04-16,1,31.5
"""
SOUTH = """units = "degC"
[[site]]
name = "upper"
latitude = 51.5
longitude = 11.5
[site.weather]
source = "demo"
climate = "cool-inland-north"
[[site]]
name = "dune"
latitude = -38.1
longitude = 145.6
[site.weather]
source = "demo"
climate = "mild-maritime-south"
"""
SOUTHERN = ("Ficus microcarpa", "Olea europaea", "Pinus thunbergii", "Lagerstroemia indica")


def run(folder: Path, *arguments: object) -> str:
    told = CliRunner().invoke(main, [*map(str, arguments), "--workspace", str(folder), "--on", str(ON)])
    assert told.exit_code in (0, 10, 11, 13), told.output
    return told.stdout


def ridge(folder: Path, units: str) -> Path:
    """A young logger with faults, a longer record from near by, a forecast and a note on a species."""
    folder.mkdir()
    with (STATIONS / "nagano.csv").open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.reader(file) if row[0] == "date" or "2024-09" <= row[0] < str(ON)]
    days = {row[0]: row for row in rows}
    days["2024-10-10"][2] = "45.5"
    days["2025-01-20"][1:] = ["26", "41"]  # degF among degC
    days["2025-01-12"][1:] = ["0", "0"]
    for day in range(5, 12):
        days[f"2024-11-{day:02d}"][1:] = ["4.5", "17.5"]
    _write(folder / "ridge.csv", "".join(f"{','.join(row)}\n" for row in rows))
    header, *valley = (STATIONS / "takayama.csv").read_text("utf-8").splitlines(keepends=True)
    _write(folder / "valley.csv", header + "".join(row for row in valley if "2012" <= row < str(ON)))
    _write(folder / "season.toml", YARD.format(units=units))
    _write(folder / "trees.csv", TREES)
    _write(folder / "journal.csv", JOURNAL)
    _write(folder / "forecast.csv", FORECAST)
    _write(folder / "catalogue.toml", f'[species."Acer palmatum"]\nnote = "{NOTE}"\n')
    return folder


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")


@pytest.fixture(scope="module")
def ridges(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    folder = tmp_path_factory.mktemp("ridge")
    celsius, fahrenheit = ridge(folder / "c", "degC"), ridge(folder / "f", "degF")
    run(celsius, "weather")
    shutil.copytree(celsius / "data_cache", fahrenheit / "data_cache")  # what is learnt, once for both
    return celsius, fahrenheit


@pytest.fixture(scope="module")
def south(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("south")
    _write(folder / "season.toml", SOUTH)
    rows = [f"t{place},dune,{species}\n" for place, species in enumerate(SOUTHERN)]
    _write(folder / "trees.csv", "".join(["id,site,species\n", *rows]))
    return folder


def prose(report: Report) -> Iterator[tuple[str, str]]:
    """All that is read of a report, without its drawings and the mail."""
    yield "text", report_text(report)
    yield "page", words_of(report_page(report))
    for name, made in (("calendar", season_calendar), ("windows", season_windows)):
        feed = made(report).decode().replace("\r\n ", "").replace("\\n", " ")
        yield name, re.sub(r"\\([,;])", r"\1", feed)
    yield "table", windows_csv(report)


def mail(report: Report) -> Iterator[tuple[str, str]]:
    now = dt.datetime(2025, 4, 14, tzinfo=dt.UTC)
    message = compose(report, sender="yard@example.org", to="grower@example.org", again=0, now=now)
    text, page = (part.get_content() for part in message.walk() if part.get_content_maintype() == "text")
    yield "mail", text
    yield "mail's page", words_of(page)


def words_of(page: str) -> str:
    page = re.sub(r"<style>.*?</style>|<svg.*?</svg>", "", page, flags=re.DOTALL)
    return html.unescape(re.sub(r"<[^>]*>", " | ", page))


def wrong(celsius: Report, fahrenheit: Report, *kinds: Parts) -> dict[str, list[str]]:
    """What isn't told rightly in degF, by the part it stands in."""
    both = [pair for parts in kinds for pair in zip(parts(celsius), parts(fahrenheit), strict=True)]
    return {part: found for (part, one), (_, other) in both if (found := unlike(one, other))}


def turned(report: Report) -> Report:
    """A report told in degC as one in degF: the values are in it still."""
    return replace(report, units="degF")


@pytest.mark.parametrize(
    ("celsius", "fahrenheit", "right"),
    [
        ("between 3 and 5 degC", "between 3 and 41 degF", False),
        ("2 degC colder", "36 degF colder", False),
        ("between 3 and 5 degC", "between 37 and 41 degF", True),
        ("2 degC colder", "4 degF colder", True),
        ("100 of 1,500 growing degree days above 5 °C", "180 of 2,700 growing degree days above 41 °F", True),
        ("100 of 1,500 growing degree days", "100 of 1,500 growing degree days", False),
        ("for 5 days from 5 °C", "for 41 days from 41 °F", False),
        ("below 5 °C", "below 5 °C", False),
        ("below 5 °C", "under 41 °F", False),
    ],
)
def test_what_is_told_wrongly_is_found(celsius: str, fahrenheit: str, right: bool) -> None:
    assert (unlike(celsius, fahrenheit) == []) == right


def test_a_yard_with_faults_a_reference_and_a_forecast(ridges: tuple[Path, Path]) -> None:
    reports = []
    for folder in ridges:
        workspace = load_workspace(folder)
        reports.append(make_report(workspace, workspace.sites, ON))
    assert wrong(*reports, prose, mail) == {}
    assert report_text(turned(reports[0])) == report_text(reports[1])
    told = " ".join(report_text(reports[1]).split())
    for said in (
        "differs from this yard by",
        "°F is forecast",
        "or colder",
        "growing degree days above 41 °F",
    ):
        assert said in told


def test_its_weather_and_the_trail_of_a_date(ridges: tuple[Path, Path]) -> None:
    weather, *answers = (
        [run(folder, *asked) for folder in ridges]
        for asked in (
            ("weather",),
            ("check", "repotting", "--tree", "m1", "--explain"),
            ("check", "repotting", "--tree", "p1", "--explain"),
        )
    )
    for said in (
        " off what",
        "stood still at",
        "a mix-up of units",
        "differs from this yard by",
    ):
        assert said in weather[1]
    for both in (weather, *answers):
        assert unlike(*both) == []
        assert "°F" not in both[0]
        assert [re.findall(r"\d deg[CF]", told) for told in both] == [[], []]
    for told, note in zip(answers[0], (TOLD_C, TOLD_F), strict=True):
        assert note in " ".join(told.split())


def asking_for_roots(report: Report) -> Report:
    """A report that asks for a look whose words have a temperature."""
    olive = load_catalogue().find("Olea europaea")
    label = olive.markers["root_zone_warm"].label
    narrows = (Narrowed("repotting", "spring", "opens", 6.0, 3.0),)
    look = Look(olive.name, "olive", ("t1",), "root_zone_warm", label, label, 1, 0.8, narrows)
    return replace(report, sites=tuple(replace(site, look_at=(look,)) for site in report.sites))


def test_two_yards_and_many_kinds_of_tree(south: Path) -> None:
    workspace = load_workspace(south)
    report = asking_for_roots(make_report(workspace, workspace.sites[1:], dt.date(2025, 9, 1)))
    assert "The root zone reaches 11.5 °C" in " ".join(report_text(report).split())
    assert wrong(report, turned(report), prose) == {}
    compared = ("compare", "upper", "dune", "--species", "Olea europaea", "--job", "repotting")
    celsius = run(south, *compared)
    _write(south / "season.toml", SOUTH.replace("degC", "degF"))
    assert unlike(celsius, run(south, *compared)) == []


def test_the_height_of_a_station() -> None:
    fetched = dt.datetime(2025, 4, 14, tzinfo=dt.UTC)
    for metres, correction_c in ((300.0, 1.95), (-120.0, -0.78), (0.0, 0.0)):
        facts = StationFacts("1", "Pass", 12.0, metres, correction_c, "somebody", "a licence", fetched)
        celsius = " ".join(station_sentences(facts))
        with speaking("en", "degF"):
            fahrenheit = " ".join(station_sentences(facts))
        assert unlike(celsius, fahrenheit) == []
        assert ("°F" in fahrenheit) == (correction_c != 0)


def test_every_text_of_the_catalogue() -> None:
    """Each temperature in its files, turned here by hand, stands in the text as it is told."""
    count = 0
    for toml in (*shipped("groups"), *shipped("shared")):
        for raw in texts_in(tomllib.loads(toml.text)):
            told = with_values(raw)
            count += len(told.values)
            assert spelt_out(told) == FORM.sub(r"\1 degC", raw)
            assert spelt_out(told, "degF") == FORM.sub(_by_hand, raw)
            assert unlike(spelt_out(told), spelt_out(told, "degF")) == []
    assert count > 100


def texts_in(table: dict[str, Any]) -> Iterator[str]:
    for key, value in table.items():
        if key in ("label", "look_for", "note", "source", "trees"):
            yield value
        elif key == "aftercare":
            yield from value
        for below in value if isinstance(value, list) else [value]:
            if isinstance(below, dict):
                yield from texts_in(below)


def _by_hand(found: re.Match[str]) -> str:
    return f"{float(found[1]) * 9 / 5 + 32:.{len(found[2] or '')}f} degF"


def test_no_text_of_the_code_has_a_temperature_written_out() -> None:
    """Of a job's cautions, sentences and pages: a temperature is a value, or it stays in degC."""
    with TEMPLATE.open("rb") as file:  # which another test holds to the code
        told = [entry.id if isinstance(entry.id, str) else " ".join(entry.id) for entry in read_po(file)]
    told += [caution for job in JOBS.values() for caution in job.cautions]
    assert len(told) > 500
    assert [text for text in told if bare_temperature(text)] == []
