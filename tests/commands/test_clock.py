from __future__ import annotations

import datetime as dt
import os
import time
from collections.abc import Iterator

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.commands import clock

HALF_PAST_TEN = "2026-11-28T22:30:00+00:00"


@pytest.fixture(params=["UTC", "Pacific/Kiritimati", "America/Los_Angeles"])
def zone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    yield request.param
    monkeypatch.undo()
    time.tzset()


def test_the_moment_is_the_machines(zone: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(clock.VARIABLE)
    before = dt.datetime.now(dt.UTC)
    assert before <= clock.now() <= dt.datetime.now(dt.UTC)
    assert clock.now().utcoffset() == dt.datetime.now().astimezone().utcoffset()


def test_a_moment_that_was_set_is_told_by_the_machines_time_zone(
    zone: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(clock.VARIABLE, HALF_PAST_TEN)
    assert clock.now() == dt.datetime.fromisoformat(HALF_PAST_TEN)
    assert clock.today() == dt.date(2026, 11, 29 if zone == "Pacific/Kiritimati" else 28)


@pytest.mark.parametrize("set_to", ["yesterday", "2026-13-01T00:00", "0001-01-01T00:00:00+14:00"])
def test_no_moment_is_told_as_such(set_to: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(clock.VARIABLE, set_to)
    result = CliRunner().invoke(main, ["check", "repotting", "--species", "Acer palmatum"])
    assert result.exit_code == 2
    assert clock.VARIABLE in result.stderr


def test_today_is_the_day_set(monkeypatch: pytest.MonkeyPatch) -> None:
    assert os.environ[clock.VARIABLE]  # the same for every process of a test run
    monkeypatch.setenv(clock.VARIABLE, "2025-04-14T00:30:00")
    arguments = ["check", "repotting", "--species", "Acer palmatum", "--site", "lower-yard", "--json"]
    result = CliRunner().invoke(main, arguments)
    assert '"as_of": "2025-04-14"' in result.stdout
