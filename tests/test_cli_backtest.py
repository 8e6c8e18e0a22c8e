"""`backtest` from the command line: stations' files, a workspace's windows, and what it writes."""

from __future__ import annotations

import csv
import datetime as dt
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.documents.backtest import backtest_document
from season_engine.pages.pictures.backtest_charts import reliability_chart, skill_chart
from season_engine.prints.backtest import backtest_text
from tests.schemas import assert_valid
from tests.verify.simple import made_records
from tests.workspaces import make_workspace

PNG = b"\x89PNG"
ROW_KEYS = {
    *(
        "species",
        "bbch",
        "rule",
        "lead_weeks",
        "n",
        "mae",
        "bias",
        "rmse",
        "crps",
        "mae_calendar",
        "crps_calendar",
    ),
    *("crps_skill", "crps_skill_from", "crps_skill_to"),
    *("skill", "coverage50", "coverage80", "width50", "width80", "not_reached"),
}


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["backtest", "--jobs", "1", *arguments])


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Two yards with a made species, as files."""
    folder = tmp_path_factory.mktemp("stations")
    records, _ = made_records(2, need=150.0, sd_days=3.0)
    rows: dict[str, list[object]] = {
        "sites": ["site,latitude,longitude,elevation"],
        "weather": ["site,date,tmin,tmax"],
        "events": ["site,species,bbch,date"],
    }
    for record in records:
        name, series = record.site.name, record.series
        rows["sites"].append(f"{name},{record.site.latitude},{record.site.longitude},100")
        days = zip(series.days.tolist(), series.tmin_c, series.tmax_c, strict=True)
        rows["weather"] += [f"{name},{day},{low:.1f},{high:.1f}" for day, low, high in days]
        for year, day in record.observed.items():
            seen = record.site.season_on(dt.date(year, 12, 1)).date_of(int(day))
            rows["events"].append(f"{name},Arbor ficta,61,{seen}")
    arguments = []
    for name, lines in rows.items():
        (folder / f"{name}.csv").write_text("\n".join(map(str, lines)) + "\n", "utf-8")
        arguments += [f"--{name}", str(folder / f"{name}.csv")]
    return arguments


def test_stations_as_json_and_in_a_folder(files: list[str], tmp_path: Path) -> None:
    done = run(*files, "--train-until", "2015", "--lead-weeks", "4,1", "--json", "--out", str(tmp_path))
    assert done.exit_code == 0, done.stderr
    document = json.loads(done.stdout)
    assert_valid(document, "backtest")
    assert document["train_until"] == 2015
    assert [row["lead_weeks"] for row in document["rows"]] == [4, 1, None]
    for row in document["rows"]:
        assert set(row) == ROW_KEYS
        assert (row["species"], row["bbch"], row["rule"]) == ("Arbor ficta", 61, "fitted")
        assert row["skill"] == pytest.approx(1 - row["mae"] / row["mae_calendar"], abs=1e-3)
        assert row["crps_skill"] == pytest.approx(1 - row["crps"] / row["crps_calendar"], abs=1e-3)
        assert row["crps_skill_from"] <= row["crps_skill"] <= row["crps_skill_to"]
    assert json.loads((tmp_path / "backtest.json").read_text("utf-8")) == document
    with (tmp_path / "cases.csv").open(encoding="utf-8", newline="") as file:
        cases = list(csv.DictReader(file))
    far = [case for case in cases if case["lead_weeks"] == "4"]
    errors = [abs(float(case["p50"]) - float(case["observed"])) for case in far]
    assert sum(errors) / len(errors) == pytest.approx(document["rows"][0]["mae"], abs=1e-3)
    for name in ("skill.png", "reliability.png"):
        assert (tmp_path / name).read_bytes().startswith(PNG)


def test_stations_as_text_fit_eighty_columns(files: list[str]) -> None:
    done = run(*files, "--train-until", "2018", "--lead-weeks", "2")
    assert done.exit_code == 0, done.stderr
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "Arbor ficta, BBCH 61, by a rule fitted here on dates to 2018" in done.stdout
    assert "Arbor ficta, BBCH 61: the catalogue has no rule for it" in done.stderr
    assert "all of the site's own dates before each season" in " ".join(done.stdout.split())
    assert "known" in done.stdout


def test_so_many_of_the_sites_own_dates(files: list[str], tmp_path: Path) -> None:
    call = (*files, "--train-until", "2018", "--lead-weeks", "2", "--log-years", "0")
    done = run(*call, "--out", str(tmp_path))
    document = json.loads((tmp_path / "backtest.json").read_text("utf-8"))
    assert_valid(document, "backtest")
    assert document["log_years"] == 0
    assert "moved by none of the site's own dates" in " ".join(done.stdout.split())
    assert run("--log-years", "3").exit_code == 2


def test_a_wrong_call_is_told(files: list[str]) -> None:
    assert run(*files).exit_code == 2
    assert "go together" in run(*files).stderr
    assert run(*files, "--train-until", "2015", "--lead-weeks", "4,four").exit_code == 2
    late = run(*files, "--train-until", "2030")
    assert late.exit_code == 2
    assert "no season after 2030 can be tested" in late.stderr
    early = run(*files, "--train-until", "1996")
    assert early.exit_code == 2
    assert "no event has a rule in the catalogue, or 10 dates" in early.stderr


def test_windows_of_a_workspace(tmp_path: Path) -> None:
    folder = make_workspace(tmp_path / "yard")
    (folder / "journal.csv").unlink()
    (folder / "trees.csv").write_text("id,species,site,size\np1,Pinus thunbergii,nagano,large\n", "utf-8")
    header, *days = (folder / "nagano.csv").read_text("utf-8").splitlines()
    days = [day for day in days if day >= "2000"]  # of fifty years each would be looked ahead from
    (folder / "nagano.csv").write_text("\n".join([header, *days]), "utf-8")
    call = ("--workspace", str(folder), "--on", "2024-11-01", "--lead-weeks", "2", "--json")
    done = run(*call)
    assert done.exit_code == 0, done.stderr
    document = json.loads(done.stdout)
    assert_valid(document, "backtest")
    assert document["train_until"] is None
    assert document["invented_weather"] is False
    assert {row["bbch"] for row in document["rows"]} == {None}
    assert {row["job"] for row in document["rows"]} >= {"repotting", "decandling"}
    assert all(row["n"] <= 10 for row in document["rows"])


def test_drawings_of_nothing_are_no_error() -> None:
    assert skill_chart([]).startswith("<svg ")
    assert reliability_chart([]).startswith("<svg ")


def test_invented_weather_is_marked_in_every_output() -> None:
    for draw in (skill_chart, reliability_chart):
        assert draw([], invented=True).count("invented weather") == 2  # its title, and a word in the picture
        assert "invented" not in draw([])
    assert "The weather is invented" in backtest_text([], None, invented=True)
    assert backtest_document([], None, invented=True).invented_weather is True
    assert "invented" not in backtest_text([], None)


@pytest.mark.parametrize(("train_until", "dates"), [("2002", 8), ("2006", 16)])
def test_a_young_record_is_learnt_from_and_one_too_short_told(
    files: list[str], tmp_path: Path, train_until: str, dates: int
) -> None:
    """Temperatures from 1998 on: a date a season and site that has ended by then, and ten are wanted."""
    weather = Path(files[files.index("--weather") + 1])
    header, *rows = weather.read_text("utf-8").splitlines()
    young = tmp_path / "weather.csv"
    young.write_text("\n".join([header, *(row for row in rows if row.split(",")[1] >= "1998")]), "utf-8")
    call = [*files, "--train-until", train_until, "--lead-weeks", "2"]
    call[call.index(str(weather))] = str(young)
    done = run(*call)
    if dates >= 10:
        assert (done.exit_code, done.stdout[:9]) == (0, "Forecasts")
        return
    assert (done.exit_code, done.stdout) == (2, "")
    said = " ".join(done.stderr.split())
    assert f"10 dates in seasons with temperatures that ended by {train_until}" in said
    assert "Choose a later --train-until" in said


def test_by_which_rule_is_told(files: list[str], tmp_path: Path) -> None:
    """The catalogue has one for the first flowers, fitted on years to 2005, and none for full bloom."""
    events = Path(files[files.index("--events") + 1])
    full_bloom = tmp_path / "events.csv"
    full_bloom.write_text(events.read_text("utf-8").replace("Arbor ficta,61", "Prunus mume,65"), "utf-8")
    call = [*files, "--lead-weeks", "2", "--train-until"]
    call[call.index(str(events))] = str(full_bloom)
    done = run(*call, "2020")
    assert "Prunus mume, BBCH 65, by the catalogue's rule" in done.stdout
    assert "dated by the catalogue's rule for BBCH 67, the nearest stage it has" in done.stderr
    done = run(*call, "2004", "--json")
    assert {row["rule"] for row in json.loads(done.stdout)["rows"]} == {"fitted"}
    assert "the catalogue's rule is fitted on dates to 2005, so one was fitted here" in done.stderr
