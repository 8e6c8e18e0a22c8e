"""What pages show: blocks of code, the commands in them, and the yard that these are about."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from season_engine.commands import clock
from season_engine.weather.invented.climates import COOL_INLAND_NORTH
from season_engine.weather.invented.series import demo_series

PROJECT = Path(__file__).parent.parent
README = PROJECT / "README.md"
GUIDE = PROJECT / "docs" / "guide"
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```", re.MULTILINE | re.DOTALL)
SAID_EXIT = re.compile(r"#\s*exits\s+(.+)$")
CONTINUED = re.compile(r"\\\n\s*")

SETTINGS = """
[[site]]
name = "my-yard"
latitude = 51.5
longitude = -30.5
[site.weather]
source = "logger"
file = "my-yard.csv"
"""
TREES = "id,site,species\np1,my-yard,Pinus thunbergii\nj1,my-yard,Acer palmatum\n"


@dataclass(frozen=True)
class Command:
    """One command; `exits` holds the codes a trailing comment such as `# exits 0, 10 or 11` allows."""

    text: str
    exits: frozenset[int]


def blocks(page: Path, language: str, holding: str = "") -> list[str]:
    """A page's blocks of a language, without their fences, that hold a text."""
    found = BLOCK.findall(page.read_text("utf-8"))
    return [text for tongue, text in found if tongue == language and holding in text]


def commands(markdown: str, *languages: str) -> Iterator[Command]:
    """The `$ ` lines of console blocks, and all lines of blocks in `languages`, in the page's order."""
    for language, block in BLOCK.findall(markdown):
        for line in CONTINUED.sub("", block).splitlines():
            if language in languages or (language == "console" and line.startswith("$ ")):
                said = SAID_EXIT.search(line)
                exits = {int(code) for code in re.findall(r"\d+", said[1])} if said else {0}
                yield Command(line.removeprefix("$ "), frozenset(exits))


def a_yard(folder: Path, *, since: int = 2014, trees: str = TREES) -> Path:
    """A yard as the pages take it for granted, its logger read this morning; the readings are invented."""
    folder.mkdir()
    (folder / "season.toml").write_text(SETTINGS, "utf-8")
    (folder / "trees.csv").write_text(trees, "utf-8")
    series = demo_series(COOL_INLAND_NORTH, clock.today())
    with (folder / "my-yard.csv").open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow(["date", "tmin", "tmax"])
        days = zip(series.days.tolist(), series.tmin_c.tolist(), series.tmax_c.tolist(), strict=True)
        rows.writerows([day, low, high] for day, low, high in days if day.year >= since and low == low)
    return folder


def journal_lines(folder: Path) -> list[dict[str, str]]:
    """The lines of a yard's journal."""
    with (folder / "journal.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
