from __future__ import annotations

import csv
import datetime as dt
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from tests.schemas import assert_valid
from tests.workspaces import PLACE, SINCE, STATIONS, demo_report, make_workspace


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_workspace(tmp_path_factory.mktemp("yard"))


def run(*arguments: object) -> Result:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result


def check(folder: Path, on: dt.date | str, *more: str, job: str = "repotting") -> dict[str, object]:
    result = run("check", job, *more, "--workspace", folder, "--on", on, "--json")
    document = json.loads(result.stdout)
    assert_valid(document, "check")
    assert result.exit_code == expected_exit(document)
    return document


def expected_exit(document: dict[str, object]) -> int:
    """Exit codes as the outside contract fixes them."""
    by_verdict = {"wait": 10, "soon": 10, "closed": 11, "not-here": 12}
    if (verdict := document["verdict"]) in by_verdict:
        return by_verdict[verdict]
    return 0 if document["today"] in ("do", "only-with-shelter") else 13


def test_through_a_year_of_mondays_the_verdict_goes_round_once_in_order(yard: Path) -> None:
    """A real station; from the day a window is forgotten to the same a year on, each week of spring."""
    weeks = [*range(0, 18, 8), *range(18, 26), *range(30, 52, 8)]
    mondays = [dt.date(2019, 11, 4) + dt.timedelta(weeks=week) for week in weeks]
    verdicts = [check(yard, on, "--species", "Pinus thunbergii")["verdict"] for on in mondays]
    changes = [v for before, v in zip([None, *verdicts], verdicts, strict=False) if v != before]
    assert changes[:5] == ["wait", "soon", "open", "last-call", "closed"]
    assert changes[5:] in ([], ["wait"])  # halfway to the next opening, it is waited for again


@pytest.mark.parametrize("on", ["2016-02-29", "2020-07-20", "2022-10-01", "2024-12-31"])
def test_reports_on_a_real_station_are_whole_and_valid(yard: Path, tmp_path: Path, on: str) -> None:
    result = run("report", "--workspace", yard, "--on", on, "--out", tmp_path, "--json")
    assert result.exit_code == 0, result.stderr
    document = json.loads(result.stdout)
    assert_valid(document, "report")
    year, week, _ = dt.date.fromisoformat(on).isocalendar()
    folder = tmp_path / f"{year}-W{week:02d}"
    assert {path.name for path in folder.iterdir()} >= {"report.html", "report.txt", "report.json"}
    assert json.loads((folder / "report.json").read_text("utf-8")) == document
    assert "Nothing known" in (folder / "report.txt").read_text(
        "utf-8"
    )  # a species nobody catalogued is named


def test_a_weak_tree_and_one_repotted_this_season_are_left_alone(yard: Path) -> None:
    strong = check(yard, "2022-04-12", "--tree", "p1")
    weak = check(yard, "2022-04-12", "--tree", "p2")
    assert strong["verdict"] in ("open", "last-call")
    assert (weak["today"], "weak" in weak["today_why"]) == ("no", True)
    again = check(yard, "2021-04-14", "--tree", "p1")
    assert again["today"] == "no"
    same_season = check(yard, "2021-06-12", "--tree", "p1", job="decandling")
    assert (same_season["today"], "repotting" in same_season["today_why"]) == ("no", True)


def test_a_sheltered_tree_may_be_repotted_at_even_odds(yard: Path) -> None:
    """Floors of 0.8 exposed and 0.5 sheltered, one practitioner's judgement, from memory."""
    days = [dt.date(2022, 3, 1) + dt.timedelta(days=n) for n in (10, *range(22, 60, 4))]
    first = {}
    for who in (("--tree", "m1"), ("--species", "Acer palmatum")):
        first[who] = next(on for on in days if check(yard, on, *who)["verdict"] in ("open", "last-call"))
    assert first["--tree", "m1"] < first["--species", "Acer palmatum"]


def test_measures_has_a_row_a_day_in_the_fixed_columns(yard: Path) -> None:
    result = run("measures", "--workspace", yard, "--from", "2019-12-30", "--to", "2020-03-02")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    assert ",".join(rows[0]) == (
        "date,tmin_c,tmax_c,day_length_h,chilling_hours,utah_units,chill_portions,gdd_c,gdh_c,observed_share"
    )
    assert [row["date"] for row in (rows[0], rows[-1])] == ["2019-12-30", "2020-03-02"]
    assert len(rows) == 64  # 29 February is a day like any other
    assert rows[0]["chill_portions"] == "0.0"


def test_weather_says_what_there_is(yard: Path) -> None:
    result = run("weather", "--workspace", yard, "--on", "2020-05-01", "--json")
    document = json.loads(result.stdout)
    assert_valid(document, "weather")
    assert document["sites"][0]["weather"]["data_through"] == "2020-05-01"
    assert f"1 Jan {SINCE}" in run("weather", "--workspace", yard, "--on", "2020-05-01").stdout


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("check", "repotting"), 2, "give either --species or --tree"),
        (("check", "repoting", "--species", "Acer palmatum"), 2, 'Did you mean "repotting"?'),
        (("check", "repotting", "--species", "Acer palmatun"), 2, 'Did you mean "Acer palmatum"?'),
        (("check", "decandling", "--species", "Acer palmatum"), 2, "It has repotting"),
        (("check", "repotting", "--tree", "p9"), 2, 'no tree "p9"'),
        (("check", "repotting", "--species", "Acer palmatum", "--site", "nogano"), 2, "nagano"),
        (("check", "repotting", "--species", "Acer palmatum", "--on", "31/12/2020"), 2, "2026-08-24"),
        (("check", "repotting", "--species", "Acer palmatum", "--on", "2011-01-01"), 3, "complete seasons"),
        (("check", "repotting", "--species", "Acer palmatum", "--on", "2026-06-01"), 3, "days ago"),
        (("report", "--on", "1970-01-01"), 3, "nothing up to"),
    ],
)
def test_mistakes_get_a_sentence_and_a_code(
    yard: Path, arguments: tuple[str, ...], code: int, said: str
) -> None:
    result = run(*arguments, "--workspace", yard)
    assert (result.exit_code, result.stdout) == (code, "")
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr


def test_several_sites_need_one_named(tmp_path: Path) -> None:
    result = run("check", "repotting", "--species", "Acer palmatum", "--workspace", tmp_path)
    assert result.exit_code == 2
    assert "lower-yard" in result.stderr and "dune-yard" in result.stderr


def test_without_a_workspace_the_demo_answers_and_says_so() -> None:
    result = demo_report()
    assert result.exit_code == 0
    assert "invented" in result.stderr
    document = json.loads(result.stdout)
    assert_valid(document, "report")
    assert document["demo"] is True
    assert {site["hemisphere"] for site in document["sites"]} == {"north", "south"}
    for name in ("report.html", "report.txt"):
        assert "invented" in result.files[name]


def test_trees_without_settings_are_not_the_demo(tmp_path: Path) -> None:
    (tmp_path / "trees.csv").write_text("id,species,site\n", encoding="utf-8")
    assert run("report", "--workspace", tmp_path).exit_code == 2


def test_init_writes_a_workspace_that_reports_at_once(tmp_path: Path) -> None:
    call = ("init", tmp_path / "mine", *PLACE, "--elevation", "120", "--tree", "2 Acer palmatum", "--yes")
    assert run(*call).exit_code == 0
    result = run("report", "--workspace", tmp_path / "mine", "--on", "2026-03-30", "--json")
    assert result.exit_code == 0, result.stderr
    (site,) = json.loads(result.stdout)["sites"]
    assert (site["latitude"], site["longitude"], site["hemisphere"]) == (-45.0, 169.0, "south")
    assert {tree["tree"] for tree in site["trees"]} == {"a1", "a2"}
    assert {window["species"] for window in site["windows"]} == {"Acer palmatum"}
    assert run(*call).exit_code == 2


def test_init_on_a_logger_s_file_runs_on_it(tmp_path: Path) -> None:
    place = ("--latitude", "36.66", "--longitude", "138.19")
    call = ("init", tmp_path / "mine", *place, "--logger", STATIONS / "nagano.csv", "--tree", "trident maple")
    assert run(*call).exit_code == 0
    result = run("check", "repotting", "--tree", "t1", "--workspace", tmp_path / "mine", "--on", "2025-03-30")
    assert result.exit_code in (0, 10, 13)
    assert "logger file" in result.stdout.casefold() and "invented" not in result.stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "say where the yard is: --latitude and --longitude in degrees"),
        (("--latitude", "45"), "say where the yard is: --longitude in degrees"),
        (("--latitude", "137", "--longitude", "0"), 'with a minus south of the equator; got "137"'),
        (("--latitude", "nan", "--longitude", "0"), "write the latitude in degrees"),
        (("--latitude", "37,8", "--longitude", "0"), 'got "37,8"'),
        (("--latitude", "45", "--longitude", "181"), "write the longitude in degrees, from -180 to 180"),
        ((*PLACE, "--elevation", "tall"), "the height above the sea in metres"),
        ((*PLACE, "--tree", "2 Acer palmatun"), 'no species "Acer palmatun". Did you mean "Acer palmatum"?'),
        ((*PLACE, "--tree", "maple"), '"maple" could be "Amur maple"'),
        ((*PLACE, "--tree", "0 Acer palmatum"), "isn't clear"),
        ((*PLACE, "--tree", "12"), '"12" isn\'t clear'),
        ((*PLACE, "--tree", " "), "There is an empty --tree."),
        ((*PLACE, "--logger", "nowhere.csv"), "nowhere.csv"),
        ((*PLACE, "--logger", "README.md"), "README.md"),
        ((*PLACE, "--logger", str(STATIONS / "nagano.csv")), "--latitude: the year of the logger file"),
        ((*PLACE, "--logger", str(STATIONS / "nagano.csv")), "Write --latitude 45.0. If the place is right"),
    ],
)  # fmt: skip
def test_init_refuses_what_it_can_t_take_before_anything_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(Path(__file__).parent.parent)
    result = run("init", tmp_path / "mine", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())
    assert not (tmp_path / "mine").exists()


def test_it_runs_as_a_module_too() -> None:
    done = subprocess.run([sys.executable, "-m", "season_engine.cli"], capture_output=True, text=True)
    assert done.returncode == 2 and "too early, or too late" in done.stdout + done.stderr
