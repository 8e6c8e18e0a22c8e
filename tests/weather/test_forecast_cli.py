"""Forecast days as a grower meets them: on, off, stale or refused, and the report says which."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands.looking_back import hindcast_windows
from season_engine.documents.backtest import backtest_document
from season_engine.prints.backtest import backtest_text
from season_engine.verify import hindcast
from season_engine.verify.cases import forecast_gain
from season_engine.weather.station.readings import StationReadings
from season_engine.workspace.workspace import load_workspace
from tests.schemas import assert_valid
from tests.test_structure import HEAVY, run_cli
from tests.weather.provider import NOW, SITE, TODAY, Provider, forecast_file
from tests.weather.test_station_cli import SETTINGS, TREES
from tests.workspaces import make_workspace

ASKED = '\n[site.forecast]\nsource = "service"\ncontact = "grower@example.org"\n'
CHECK = ("check", "repotting", "--species", "Pinus thunbergii")


@pytest.fixture
def yard(first: StationReadings, provider: Provider, tmp_path: Path) -> Path:
    """A yard whose station has been fetched, with a forecast to be had that was issued a minute ago."""
    (tmp_path / "season.toml").write_text(SETTINGS + ASKED)
    (tmp_path / "trees.csv").write_text(TREES)
    issued = NOW - dt.timedelta(minutes=1)
    provider.forecast = forecast_file(issued, [(-9.0, 21.0)] * 12, longitude=SITE.longitude)
    return tmp_path


def call(folder: Path, *arguments: str) -> Result:
    result = CliRunner().invoke(main, [*arguments, "--workspace", str(folder)])
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result


def report(folder: Path, on: dt.date | None = None) -> tuple[str, str, dict[str, Any]]:
    """Text on one line, page, and the site's weather as JSON; the document keeps to its schema."""
    day = ("--on", on.isoformat()) if on else ()
    out = folder / f"out-{len(list(folder.iterdir()))}"
    assert call(folder, "report", "--out", str(out), *day).exit_code == 0
    (made,) = out.glob("*/report.txt")
    document = json.loads((made.parent / "report.json").read_text("utf-8"))
    assert_valid(document, "report")
    text = " ".join(made.read_text("utf-8").split())
    return text, (made.parent / "report.html").read_text("utf-8"), document["sites"][0]["weather"]


def test_on(yard: Path, provider: Provider) -> None:
    text, page, weather = report(yard)
    for shown in (text, page):
        assert "Forecast: nine days from MET Norway, issued " in shown
        assert "forecast: MET Norway, licence CC BY 4.0, blended here with past years" in shown.replace(
            "Forecast: MET", "forecast: MET"
        )
    assert weather["forecast"]["status"] == "used"
    assert len(weather["forecast"]["days"]) >= 9
    assert weather["data_through"] < TODAY.isoformat()
    assert [path for path, _ in provider.requests] == ["/forecast/complete?lat=45.00&lon=-30.00&altitude=400"]


def test_off(yard: Path, provider: Provider) -> None:
    (yard / "season.toml").write_text(SETTINGS)
    text, page, weather = report(yard)
    assert "orecast" not in text.replace("forecasts", "")
    assert "Forecast:" not in page
    assert weather["forecast"]["text"] == "No forecast is asked for."
    assert not [path for path, _ in provider.requests if "forecast" in path]


def test_refused(yard: Path, provider: Provider) -> None:
    provider.fault("/forecast", "403")
    text, page, weather = report(yard)
    said = "The forecast could not be fetched: the service answered with error 403."
    assert said in text
    assert said in page
    assert (weather["forecast"]["status"], weather["forecast"]["text"]) == ("failed", said)
    assert weather["forecast"]["days"] == []
    assert said in json.loads(call(yard, *CHECK, "--json").stdout)["warnings"]


def test_weather_shows_it_and_refresh_asks_again(yard: Path, provider: Provider) -> None:
    said = " ".join(call(yard, "weather").stdout.split())
    assert "Forecast: nine days from MET Norway" in said
    assert "never as a reading" in said
    document = json.loads(call(yard, "weather", "--json").stdout)
    assert_valid(document, "weather")
    asked = [path for path, _ in provider.requests if "forecast" in path]
    assert len(asked) == 1
    call(yard, "weather", "--refresh")
    assert len([path for path, _ in provider.requests if "forecast" in path]) == 2


def test_check_with_a_kept_forecast_is_light_and_asks_nobody(yard: Path, provider: Provider) -> None:
    call(yard, *CHECK)
    provider.counted()
    done, imported = run_cli(yard, *CHECK, "--json")
    assert done.returncode in {0, 10, 11, 13}, done.stderr
    assert imported & (HEAVY | {"urllib3"}) == set()
    assert provider.counted() == {}


def test_measures_ask_nobody_for_a_forecast(yard: Path, provider: Provider) -> None:
    assert call(yard, "measures", "--from", TODAY.isoformat()).exit_code == 0
    assert provider.requests == []


ON = dt.date(2024, 4, 10)
FILE = '\n[site.forecast]\nsource = "file"\nfile = "forecast.csv"\n'


def logged(folder: Path, *issues: dt.date, tmin_c: float = -8.0) -> Path:
    """A workspace with a log of forecasts issued on these days, nine days each."""
    make_workspace(folder)
    settings = folder / "season.toml"
    settings.write_text(settings.read_text("utf-8") + FILE)
    rows = ["issued,date,tmin,tmax"]
    for issued in issues:
        ahead = (issued + dt.timedelta(days=n) for n in range(1, 10))
        rows += [f"{issued},{date},{tmin_c},9" for date in ahead]
    (folder / "forecast.csv").write_text("\n".join(rows) + "\n")
    return folder


def test_a_log_of_ones_own_is_used_named_and_cut(tmp_path: Path) -> None:
    text, page, weather = report(logged(tmp_path / "a", ON), ON)
    assert "Forecast: nine days from forecast file forecast.csv, issued Wed 10 Apr." in text
    assert "frost of about -8 °C is forecast for the night to Thu 11 Apr" in page
    assert weather["data_through"] == ON.isoformat()
    later = logged(tmp_path / "b", ON, ON + dt.timedelta(days=1))
    again = report(later, ON)
    assert (again[0], again[2]) == (text, weather)


def test_stale(tmp_path: Path) -> None:
    folder = logged(tmp_path / "a", ON)
    three_later = ON + dt.timedelta(days=3)
    text, page, weather = report(folder, three_later)
    said = "The last forecast is 3 days old and was not used."
    assert said in text
    assert said in page
    assert (weather["forecast"]["status"], weather["forecast"]["days"]) == ("stale", [])
    asked = ("check", "repotting", "--tree", "p1", "--on", three_later.isoformat(), "--json")
    old = json.loads(call(folder, *asked).stdout)
    assert said in old.pop("warnings")
    (folder / "season.toml").write_text((folder / "season.toml").read_text("utf-8").replace(FILE, ""))
    without = json.loads(call(folder, *asked).stdout)
    without.pop("warnings")
    assert old == without


def test_a_fault_in_the_log_exits_2_with_its_place(tmp_path: Path) -> None:
    folder = logged(tmp_path / "a", ON)
    with (folder / "forecast.csv").open("a") as file:
        file.write("2024-04-10,2024-04-12,cold,9\n")
    result = call(folder, "report", "--on", ON.isoformat())
    assert result.exit_code == 2
    assert "forecast.csv, line 11, tmin: tmin must be a number" in result.stderr


def test_a_forecast_for_invented_weather_is_refused(tmp_path: Path) -> None:
    settings = SETTINGS.replace('"station"\nstation = "nearest"', '"demo"')
    (tmp_path / "season.toml").write_text(settings + ASKED)
    result = call(tmp_path, "weather")
    assert result.exit_code == 2
    assert "line 11, site.forecast: invented weather has no forecast" in result.stderr


def test_hindcasts_have_the_forecast_kept_and_what_came_knows_nothing_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A log that turns a past spring on its head moves the cases made in it, and nothing else."""
    monkeypatch.setattr(hindcast, "SEASONS", 2)
    issues = [dt.date(2022, 3, 1) + dt.timedelta(days=n) for n in range(60)]
    workspace = load_workspace(logged(tmp_path / "a", *issues, tmin_c=8.0))
    asked = replace(workspace, trees=tuple(tree for tree in workspace.trees if tree.id == "m1"))
    bare = replace(asked, sites=tuple(replace(entry, forecast=None) for entry in asked.sites))
    with_log, without = (hindcast_windows(one, one.sites, dt.date(2024, 1, 10), [1]) for one in (asked, bare))
    having = [case for case in with_log if case.without_forecast]
    assert 0 < len(having) < len(with_log)
    assert all(case.season.date_of(case.issued_day) in issues for case in having)
    assert any(case.scored != case.without_forecast for case in having)
    as_without = [
        replace(case, scored=case.without_forecast or case.scored, without_forecast=None) for case in with_log
    ]
    assert as_without == without
    gain = forecast_gain(with_log)
    assert gain is not None
    assert gain.n == len(having)
    assert gain.crps == pytest.approx(sum(case.scored.crps for case in having) / len(having))
    told = " ".join(backtest_text(with_log, None).split())
    assert f"{gain.n} of the {len(with_log)} cases had a kept forecast of the days ahead" in told
    assert "had a kept forecast" not in backtest_text(without, None)
    assert backtest_document(with_log, None).with_forecast.n == gain.n
    assert backtest_document(without, None).with_forecast is None


def test_kept_forecasts_are_scored(tmp_path: Path) -> None:
    """As `backtest --own` tells it, in text and JSON, from what was issued by the day alone."""
    issues = [dt.date(2022, 3, 1) + dt.timedelta(days=n) for n in range(30)]
    folder = logged(tmp_path / "a", *issues)
    on = dt.date(2022, 3, 20)
    own = ("backtest", "--own", "--on", on.isoformat())
    document = json.loads(call(folder, *own, "--json").stdout)
    assert_valid(document, "backtest")
    (kept,) = document["forecasts"]
    assert (kept["site"], kept["issues"], kept["first"], kept["last"]) == (
        *("nagano", 19, "2022-03-01"),
        "2022-03-19",
    )
    assert [(one["lead_days"], one["n"]) for one in kept["ahead"]] == [(n, 20 - n) for n in range(1, 10)]
    low = kept["ahead"][0]["tmin"]
    assert low["bias_c"] < 0 < low["usual_rmse_c"] < low["rmse_c"]  # -8 degC is no night of a March here
    done = call(folder, *own)
    assert "nagano: the forecasts kept, on 19 days of issue from " in " ".join(done.stdout.split())
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert (
        json.loads(call(folder, "backtest", "--own", "--on", "2022-03-01", "--json").stdout)["forecasts"]
        == []
    )
