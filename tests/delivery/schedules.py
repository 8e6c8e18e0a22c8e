"""What README and guide say about cron and systemd, ready to be tried: their placeholders filled in."""

from __future__ import annotations

import csv
import re
import sys
from pathlib import Path

import numpy as np

from season_engine.commands import clock
from season_engine.weather.invented.climates import COOL_INLAND_NORTH
from season_engine.weather.invented.series import demo_series
from tests.delivery.yard import READER, SENDER

PROJECT = Path(__file__).parents[2]
README, GUIDE = PROJECT / "README.md", PROJECT / "docs" / "guide" / "cron.md"
PROGRAM = "/home/you/.local/bin/season-engine"
WORKSPACE = "/home/you/yard"

SETTINGS = """
[[site]]
name = "yard"
latitude = 51.5
longitude = -30.5
[site.weather]
source = "logger"
file = "yard.csv"
[email]
host = "localhost"
port = %d
security = "none"
from = "%s"
to = ["%s"]
"""


def cron_line() -> str:
    """The line of the crontab, the same in both."""
    (line,) = {
        line
        for page in (README, GUIDE)
        for block in re.findall(r"^```cron\n(.*?)^```", page.read_text("utf-8"), re.MULTILINE | re.DOTALL)
        for line in block.splitlines()
    }
    return str(line)


def systemd_units() -> dict[str, str]:
    """File name and text of each unit in the guide."""
    pattern = r"`/etc/systemd/system/(season-report\.\w+)`[^`]*?(?:`[^`\n]*`[^`]*?)?```ini\n(.*?)^```"
    return dict(re.findall(pattern, GUIDE.read_text("utf-8"), re.MULTILINE | re.DOTALL))


def in_place(text: str, program: Path, workspace: Path) -> str:
    """The text with the reader's own program and folder."""
    assert PROGRAM in text and WORKSPACE in text
    return text.replace(PROGRAM, str(program)).replace(WORKSPACE, str(workspace))


def the_program(folder: Path) -> Path:
    """The command as it is installed, of this checkout."""
    path = folder / "season-engine"
    path.write_text(
        f"#!{sys.executable}\nimport sys\nsys.path.insert(0, {str(PROJECT)!r})\n"
        "from season_engine.cli import main\nmain()\n",
        "utf-8",
    )
    path.chmod(0o755)
    return path


def yard_of_today(folder: Path, port: int) -> Path:
    """A yard whose logger has been read this morning; the readings are the demo's inventions."""
    folder.mkdir()
    (folder / "trees.csv").write_text("id,species,site\np1,Pinus thunbergii,yard\n", "utf-8")
    (folder / "season.toml").write_text(SETTINGS % (port, SENDER, READER), "utf-8")
    series = demo_series(COOL_INLAND_NORTH, clock.today())
    with (folder / "yard.csv").open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow(["date", "tmin", "tmax"])
        for day, low, high in zip(series.days, series.tmin_c, series.tmax_c, strict=True):
            rows.writerow([day, *("" if np.isnan(value) else value for value in (low, high))])
    return folder
