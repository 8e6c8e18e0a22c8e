"""Looking back on a yard: what can't be read is told, and a year of too little weather is passed over."""

from __future__ import annotations

import datetime as dt
import pickle
from dataclasses import replace
from pathlib import Path

import pytest

from season_engine.commands.looking_back import hindcast_windows
from season_engine.errors import NotFetchedError, TooLittleWeatherError, WeatherError
from season_engine.verify import hindcast
from season_engine.workspace.workspace import Workspace, load_workspace
from tests.workspaces import make_workspace

ON = dt.date(2024, 11, 1)


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Workspace:
    """With one kind of tree, of which the last three seasons are asked about."""
    monkeypatch.setattr(hindcast, "SEASONS", 3)
    whole = load_workspace(make_workspace(tmp_path / "yard"))
    return replace(whole, trees=tuple(tree for tree in whole.trees if tree.id == "m1"), notes=())


def test_readings_that_go_away_meanwhile_are_told(yard: Workspace, tmp_path: Path) -> None:
    readings = tmp_path / "yard" / "nagano.csv"
    with pytest.raises(WeatherError, match=r"nagano\.csv: this logger file does not exist") as told:
        hindcast_windows(yard, yard.sites, ON, [1], progress=lambda _done, _all: readings.unlink(True))
    assert not isinstance(told.value, TooLittleWeatherError)


def test_a_day_from_which_too_little_was_known_is_passed_over(yard: Workspace, tmp_path: Path) -> None:
    """With two months of a winter missing its sums mean nothing in spring; the autumn before is whole."""
    whole = issued(yard)
    readings = tmp_path / "yard" / "nagano.csv"
    head, *rows = readings.read_text("utf-8").splitlines()
    kept = [row for row in rows if not "2021-12-01" <= row < "2022-02-01"]
    readings.write_text("\n".join([head, *kept]) + "\n", "utf-8")
    autumn = {day for day in whole if day < dt.date(2021, 12, 1)}
    assert issued(yard) == autumn < whole


def issued(yard: Workspace) -> set[dt.date]:
    """The days from which something was forecast."""
    cases = hindcast_windows(yard, yard.sites, ON, [1])
    return {case.season.date_of(case.issued_day) for case in cases}


def test_what_a_worker_could_not_fetch_comes_as_it_was() -> None:
    one = NotFetchedError("nothing came.", hint="Try again.", cause="no answer")
    again = pickle.loads(pickle.dumps(one))
    assert (type(again), str(again), again.cause) == (NotFetchedError, str(one), one.cause)
