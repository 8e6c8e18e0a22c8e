"""A kind of marker is one file: where it stands, a species' table can use it."""

from __future__ import annotations

import datetime as dt
import json
import subprocess
import sys
from pathlib import Path
from statistics import median
from typing import Any

import pytest

from season_engine.markers.registry import kinds
from season_engine.measures.hourly import hourly_temperatures_c
from tests.schemas import assert_valid
from tests.species.test_own_catalogue import yard
from tests.yards import NORTH, view

PROJECT = Path(__file__).parents[2]
WARM_HOURS = '''
from typing import ClassVar, Literal

import numpy as np
from pydantic import Field

from season_engine.markers.base import CountedAfter
from season_engine.markers.progress import Progress, since
from season_engine.markers.scene import Scene
from season_engine.markers.sums import Summed


class WarmHours(Summed, CountedAfter):
    """Hours as warm as a level, counted from another marker."""

    kind: Literal["warm_hours"]
    need: float = Field(gt=0, title="{need:g} warm hours")
    level_c: float = Field(ge=0, le=40, title="{level_c:g} degC or warmer")

    measured_in: ClassVar[str] = "warm hours"

    def progress(self, scene: Scene) -> Progress:
        hours = scene.traces.by_day(lambda hours: hours >= self.level_c)
        start = scene.dates[self.after]
        return Progress(since(start, hours), np.array(self.need), start)
'''
OWN = """
[species."Acer palmatum".marker.buds_swelling]
kind = "warm_hours"
label = "buds swell"
after = "midwinter"
need = 250
level_c = 8
sd_days = 9
from = "memory"
"""
# Has a second folder of kinds beside the package's own, and runs the command line on a workspace.
RUN = """
import json, sys
from pathlib import Path
from season_engine.markers import kinds
kinds.__path__.append(sys.argv[1])
from click.testing import CliRunner
from season_engine.cli import main
from season_engine.markers.registry import kinds
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import load_workspace
check = ["check", "repotting", "--species", "Acer palmatum", "--on", "2025-03-10", "--explain"]
runs = {
    name: CliRunner().invoke(main, [*check, *more, "--workspace", folder])
    for name, folder, more in (
        ("text", sys.argv[2], ()), ("json", sys.argv[2], ("--json",)), ("misspelt", sys.argv[3], ())
    )
}
said = {name: run.stdout or run.stderr for name, run in runs.items()}
marker = catalogue_of(load_workspace(Path(sys.argv[2]))).find("Acer palmatum").markers["buds_swelling"]
print(json.dumps({**said, "numbers": marker.numbers, "kinds": list(kinds())}))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What is said by a process that found a file with a made-up kind where kinds stand."""
    folder = tmp_path_factory.mktemp("made up")
    (folder / "kinds").mkdir()
    (folder / "kinds" / "warm_hours.py").write_text(WARM_HOURS, "utf-8")
    for name, catalogue in (("yard", OWN), ("misspelt", OWN.replace("warm_hours", "warm_hour"))):
        (folder / name).mkdir()
        yard(folder / name, catalogue=catalogue)
    call = [sys.executable, "-c", RUN, *(str(folder / name) for name in ("kinds", "yard", "misspelt"))]
    found = subprocess.run(call, cwd=PROJECT, capture_output=True, text=True, encoding="utf-8", check=False)
    assert found.returncode == 0, found.stderr
    document: dict[str, Any] = json.loads(found.stdout)
    return document


def test_the_shipped_kinds_are_found_by_the_names_they_are_written_by() -> None:
    assert len(kinds()) > 15
    for name, kind in kinds().items():
        assert kind.__name__.lower() == name.replace("_", "")


def test_a_kind_in_a_file_of_its_own_dates_a_window_and_is_explained(told: dict[str, Any]) -> None:
    document = json.loads(told["json"])
    assert_valid(document, "check")
    (step,) = (one for one in document["explanation"]["steps"] if one["kind"] == "warm_hours")
    seen = view(NORTH, dt.date(2025, 3, 10)).season()
    first, today = seen.column(dt.date(2025, 1, 1)), seen.column(dt.date(2025, 3, 10))
    hours = hourly_temperatures_c(seen.tmin_c, seen.tmax_c, seen.day_length_h)[:, first : today + 1]
    so_far = median(sum(hour >= 8 for hour in row.flat) for row in hours)
    assert step["have"] == so_far
    assert step["text"] == f"Buds swell: {so_far:.0f} of 250 warm hours so far"
    assert step["numbers"] == {"sd_days": 9, "need": 250, "level_c": 8}
    assert step["counted_from"] == ["midwinter"] and "2025-03-10" < step["date_p50"] < "2025-05-01"
    assert "buds_swelling (warm hours, counted with midwinter)" in told["text"]


def test_it_is_listed_with_the_others(told: dict[str, Any]) -> None:
    assert told["kinds"] == sorted([*kinds(), "warm_hours"])
    assert told["numbers"] == ["250 warm hours", "8 degC or warmer"]
    assert 'got "warm_hour". Did you mean "warm_hours"?' in told["misspelt"]
