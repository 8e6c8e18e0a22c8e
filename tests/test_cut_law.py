"""Nothing dated after the day judged may change what is said: cutting there gives the same answer."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from season_engine.documents.report import report_document
from season_engine.pipeline import make_report
from season_engine.prints.report import report_text
from season_engine.workspace.workspace import load_workspace
from tests.workspaces import make_workspace


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_workspace(tmp_path_factory.mktemp("whole"))


@settings(max_examples=2, suppress_health_check=[HealthCheck.too_slow])
@given(on=st.dates(dt.date(2016, 1, 1), dt.date(2025, 12, 31)))
def test_what_comes_later_changes_nothing(
    whole: Path, tmp_path_factory: pytest.TempPathFactory, on: dt.date
) -> None:
    cut = make_workspace(tmp_path_factory.mktemp("cut"), cut_on=on)
    with_future, without = (report(folder, on) for folder in (whole, cut))
    assert with_future == without


def report(folder: Path, on: dt.date) -> tuple[object, str]:
    workspace = load_workspace(folder)
    made = make_report(workspace, workspace.sites, on)
    return report_document(made), report_text(made)
