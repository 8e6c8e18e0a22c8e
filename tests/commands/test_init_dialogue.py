"""`init` in a terminal: it asks, tells back, and writes a workspace with its first report."""

from __future__ import annotations

import csv
import datetime as dt
import tomllib
from pathlib import Path

from season_engine.commands import clock
from tests.terminal import typed

NAGANO = Path(__file__).parents[1] / "data" / "japan" / "nagano.csv"
PLAIN = {"BROWSER": "true", "NO_COLOR": "1"}


def settings(folder: Path) -> dict[str, object]:
    return tomllib.loads((folder / "season.toml").read_text("utf-8"))


def up_to_yesterday(folder: Path) -> Path:
    """Ten years of Nagano's readings [degC], moved by whole years so that they end yesterday."""
    yesterday, moved = clock.today() - dt.timedelta(days=1), clock.today().year - 2025
    rows = list(csv.reader(NAGANO.open()))
    days = [(f"{int(day[:4]) + moved}{day[4:]}", *of) for day, *of in rows[1:] if day[5:] != "02-29"]
    kept = [row for row in days if f"{yesterday.year - 10}" <= row[0] <= yesterday.isoformat()]
    (folder / "logger.csv").write_text("\n".join(",".join(row) for row in (rows[0], *kept)) + "\n")
    return folder / "logger.csv"


def test_a_newcomer_is_asked_and_has_a_report(tmp_path: Path) -> None:
    answers = ["36.66 N, 138.19 E", "y", "418", str(up_to_yesterday(tmp_path)), "y"]
    answers += ["3 black pines, 2 tridents, one of them large", "y", ""]
    code, told = typed(["init", "yard"], answers, folder=tmp_path, environment=PLAIN)
    assert code == 0, told
    assert "36.66° north, 138.19° east: January is in the cold half of the year there." in told
    (site,) = settings(tmp_path / "yard")["site"]
    assert (site["latitude"], site["longitude"], site["elevation_m"]) == (36.66, 138.19, 418)
    assert site["weather"]["source"] == "logger"
    rows = list(csv.DictReader((tmp_path / "yard" / "trees.csv").open()))
    kinds = [("black pine", "")] * 3 + [("Acer buergerianum", ""), ("Acer buergerianum", "large")]
    assert [(row["species"], row["size"]) for row in rows] == kinds
    assert len(list((tmp_path / "yard" / "reports").glob("*/report.html"))) == 1
    assert "Logger file" in told, "what `weather` tells stands above"


def test_how_a_logger_s_file_was_read_is_told_and_a_missing_setting_taken(tmp_path: Path) -> None:
    """Degrees Fahrenheit that nothing says, in two files of a folder."""
    rows = up_to_yesterday(tmp_path).read_text().splitlines()
    warmer = [
        ",".join((day, *(f"{float(one) * 1.8 + 32:.1f}" if one else "" for one in of)))
        for day, *of in (row.split(",") for row in rows[1:])
    ]
    (tmp_path / "logger").mkdir()
    for number, part in enumerate((warmer[:2000], warmer[1900:])):
        text = "\n".join((rows[0], *part)) + "\n"
        (tmp_path / "logger" / f"{number}.csv").write_text(text)
    answers = ["36.66, 138.19", "y", "", "logger", "units = degF", 'units = "degF"', "y", "trident", "y", ""]
    code, told = typed(["init", "yard"], answers, folder=tmp_path, environment=PLAIN)
    assert code == 0, told
    assert 'Write units = "degF"' in " ".join(told.split())
    assert "in Fahrenheit, as season.toml says" in " ".join(told.split())
    (site,) = settings(tmp_path / "yard")["site"]
    assert site["weather"] == {"source": "logger", "file": "../logger/*.csv", "units": "degF"}


def test_what_is_wrong_is_told_and_asked_again(tmp_path: Path) -> None:
    answers = ["nowhere at all 9", "137, 0", "-36.66, 138.19", "n", "-36.66, 138.19", "y", "tall", ""]
    answers += ["no such file.csv", str(NAGANO), "", "n"]
    answers += [
        "2 maples",
        "2 black pines",
        "n",
        "2 tridents",
        "y",
        "nobody",
        "me@example.org",
        "mail.example.org",
        "",
    ]
    unreachable = {**PLAIN, "SEASON_ENGINE_WEATHER_URL": "http://127.0.0.1:9"}
    code, told = typed(["init", "yard"], answers, folder=tmp_path, environment=unreachable)
    assert code == 0, told
    for said in (
        "The directory of weather stations can't be fetched",
        "Latitudes go from -90 to 90",
        "there is a minus",
        "A number of metres",
        "this logger file does not exist",
        "is warmest about 27 July, as it is north of the equator",
        '"maples" could be',
        "A mail address, such as",
        "Its weather is invented until season.toml names your own.",
        "SEASON_MAIL_PASSWORD",
    ):
        assert said in " ".join(told.split()), said
    written = settings(tmp_path / "yard")
    assert written["email"]["to"] == ["me@example.org"] and written["email"]["host"] == "mail.example.org"
    assert written["site"][0]["weather"] == {"source": "demo"}


def test_where_nobody_can_answer_flags_are_wanted(tmp_path: Path) -> None:
    code, told = typed(["init", "yard", "--yes"], [], folder=tmp_path)
    assert code == 2 and "say where the yard is: --latitude and --longitude" in " ".join(told.split())
    assert not (tmp_path / "yard").exists()
