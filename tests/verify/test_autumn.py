"""Leaf colour in a backtest: dates of September and October are of one autumn, and own dates tell it."""

from __future__ import annotations

import csv
import datetime as dt
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import backtest
from season_engine.verify.cases import Case, Row, rows
from season_engine.verify.observations import read_observations
from season_engine.verify.rules import rules_for
from season_engine.verify.station_files import Event
from tests.yards import STATIONS

TRAIN_UNTIL = 1995
FIRST, LAST = 1977, 2024
STRAYS_DAYS = 7.0
MIDDLE = dt.date(2001, 10, 2)  # a day of autumn on either side of which the years lie
COLOUR = Event("Acer palmatum", 92)


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Path]:
    """A maple at Nagano that colours by no weather at all."""
    folder = tmp_path_factory.mktemp("autumn")
    sites, weather, events = (folder / f"{name}.csv" for name in ("sites", "weather", "events"))
    sites.write_text("site,latitude,longitude,elevation\nnagano,36.66,138.19,418\n", "utf-8")
    with (STATIONS / "nagano.csv").open(encoding="utf-8", newline="") as file:
        days = [f"nagano,{row['date']},{row['tmin']},{row['tmax']}\n" for row in csv.DictReader(file)]
    weather.write_text("site,date,tmin,tmax\n" + "".join(days), "utf-8")
    strays = np.random.default_rng(11).normal(0.0, STRAYS_DAYS, LAST - FIRST + 1)
    dates = [
        MIDDLE.replace(year=FIRST + place) + dt.timedelta(days=round(float(days)))
        for place, days in enumerate(strays)
    ]
    events.write_text(
        "site,species,bbch,date\n" + "".join(f"nagano,{COLOUR.species},92,{date}\n" for date in dates),
        "utf-8",
    )
    return sites, weather, events


@cache
def found(files: tuple[Path, Path, Path]) -> tuple[Case, ...]:
    observations = read_observations(*files, TRAIN_UNTIL)
    rules = rules_for(observations, TRAIN_UNTIL, load_catalogue())
    assert not observations.notes, "no season and no station is left out"
    assert not rules.fitted, "by the catalogue's own rule"
    return backtest(observations, TRAIN_UNTIL, (4.0, 1.0), rules.of_events).cases


def test_an_autumn_holds_dates_of_september_and_october(files) -> None:
    cases = [case for case in found(files) if case.lead_weeks == 4.0]
    assert {case.season.year for case in cases} == set(range(TRAIN_UNTIL, LAST + 1))
    assert min(case.day for case in cases) < -5 and max(case.day for case in cases) > 5
    assert all(-40 < case.issued_day < -15 for case in cases), "issued in September"


def test_dates_that_no_weather_tells_are_told_by_their_mean_and_spread(files) -> None:
    """As good as the calendar and no better; the rule alone would be weeks late."""
    of_lead: dict[float | None, Row] = {row.lead_weeks: row for row in rows(found(files))}
    far = of_lead[4.0]
    assert far.crps_skill == pytest.approx(0.0, abs=0.1)
    assert abs(far.summary.bias) < 4
    assert 0.7 < far.summary.coverage80 < 0.95
    assert far.summary.width80 == pytest.approx(2.56 * STRAYS_DAYS, rel=0.35)
