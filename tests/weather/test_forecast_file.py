"""The grower's own log of forecasts."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from season_engine.errors import GrowerError, InputErrors
from season_engine.site import Site
from season_engine.weather.forecast.days import ForecastDays
from season_engine.weather.notices import ForecastTooOld
from season_engine.workspace.settings import FileForecast
from tests.weather.asked import forecast_days

RIDGE = Site("ridge", -45.0, 169.0, 120)
ON = dt.date(2026, 4, 13)
LOG = """issued,date,tmin,tmax
2026-04-12 18:00,2026-04-13,1.5,12
2026-04-12 18:00,2026-04-14,-2,10
2026-04-13 06:00,2026-04-14,-3.5,9
2026-04-13 06:00,2026-04-15,0,11
2026-04-14 06:00,2026-04-15,-9,1
"""


def read(folder: Path, text: str = LOG, on: dt.date = ON) -> ForecastDays:
    (folder / "forecast.csv").write_text(text, "utf-8")
    settings = FileForecast(source="file", file="forecast.csv")
    return forecast_days(RIDGE, settings, folder=folder, cache=folder, on=on, units="degC")


def test_the_last_issue_by_the_day_counts_and_each_day_by_the_last_that_has_it(tmp_path: Path) -> None:
    forecast = read(tmp_path)
    assert forecast.status == "used"
    assert forecast.issued == dt.datetime(2026, 4, 13, 6)
    assert [(day.date.day, day.tmin_c, day.tmax_c, day.lead_days) for day in forecast.days] == [
        (13, 1.5, 12, 1),
        (14, -3.5, 9, 1),
        (15, 0, 11, 2),
    ]


def test_what_is_issued_later_changes_nothing(tmp_path: Path) -> None:
    cut = "".join(line for line in LOG.splitlines(keepends=True) if not line.startswith("2026-04-14"))
    assert read(tmp_path) == read(tmp_path, cut)


def test_an_old_log_is_stale_and_an_empty_one_holds_nothing(tmp_path: Path) -> None:
    old = read(tmp_path, on=dt.date(2026, 4, 17))
    assert (old.status, old.days) == ("stale", ())
    assert old.trouble == ForecastTooOld(3)
    assert read(tmp_path, on=dt.date(2026, 4, 15)).status == "used"
    assert read(tmp_path, on=dt.date(2026, 4, 16)).status == "stale"
    assert read(tmp_path, "issued,date,tmin,tmax\n").status == "none"


def test_nine_days_at_most(tmp_path: Path) -> None:
    rows = "".join(f"2026-04-13,{ON + dt.timedelta(days=n)},1,5\n" for n in range(15))
    forecast = read(tmp_path, "issued,date,tmin,tmax\n" + rows)
    assert [day.lead_days for day in forecast.days] == list(range(10))


def test_units_are_the_files_or_the_workspaces(tmp_path: Path) -> None:
    text = "issued;date;tmin;tmax\n2026-04-13;2026-04-14;32;50\n"
    for own, workspace in ((None, "degF"), ("degF", "degC")):
        (tmp_path / "forecast.csv").write_text(text, "utf-8")
        settings = FileForecast(source="file", file="forecast.csv", units=own)
        forecast = forecast_days(RIDGE, settings, folder=tmp_path, cache=tmp_path, on=ON, units=workspace)
        assert forecast.days[0].tmin_c == pytest.approx(0)
        assert forecast.days[0].tmax_c == pytest.approx(10)


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ("yesterday,2026-04-14,1,5", "issued", "must be a date"),
        (",2026-04-14,1,5", "issued", "is empty"),
        ("2026-04-13,14.4.2026,1,5", "date", "must be a date"),
        ("2026-04-13,2026-02-30,1,5", "date", "does not exist"),
        ("2026-04-13,,1,5", "date", "is empty"),
        ("2026-04-13,2026-04-12,1,5", "date", "was over when"),
        ("2026-04-13,2026-04-14,cold,5", "tmin", "must be a number"),
        ("2026-04-13,2026-04-14,1,", "tmax", "is empty"),
        ("2026-04-13,2026-04-14,1,nan", "tmax", "must be a number"),
        ("2026-04-13,2026-04-14,1,500", "tmax", "no temperature of the air"),
        ("2026-04-13,2026-04-14,6,5", "tmin", "above tmax"),
        ("2026-04-13 06:00,2026-04-14,1,5", "date", "twice"),
    ],
)
def test_faults_are_named_with_file_line_and_column(tmp_path: Path, row: str, column: str, said: str) -> None:
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, f"{LOG}{row}\n")
    (fault,) = caught.value.errors
    assert (fault.file, fault.line, fault.field) == (str(tmp_path / "forecast.csv"), 7, column)
    assert said in fault.problem


def test_all_faults_come_together(tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, LOG + "x,2026-04-14,1,5\n2026-04-13,y,z,5\n")
    places = [(fault.line, fault.field) for fault in caught.value.errors]
    assert places == [(7, "issued"), (8, "date"), (8, "tmin")]


def test_a_missing_file_or_column_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(GrowerError, match=r'column "issued" is missing'):
        read(tmp_path, "date,tmin,tmax\n")
    settings = FileForecast(source="file", file="none.csv")
    with pytest.raises(GrowerError, match="does not exist"):
        forecast_days(RIDGE, settings, folder=tmp_path, cache=tmp_path, on=ON, units="degC")
