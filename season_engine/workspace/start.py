"""A first workspace to edit, filled with what is known of the yard; it runs as it stands.

Without a logger's file it runs on invented weather, and says so.
"""

from __future__ import annotations

import csv
import io
import json
import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from string import Template

from season_engine.errors import GrowerError
from season_engine.files.whole import write_whole
from season_engine.workspace.trees import COLUMNS
from season_engine.workspace.workspace import JOURNAL, SETTINGS, TREES

KEPT_OUT = "# Fetched again when needed.\n*\n!.gitignore\n"
SITE_NAME = "my-yard"
INVENTED = 'source = "demo"', "# invented weather, to try things out; choose one of these two instead:"
COMMENTS_FROM = 32  # column of the comments in the example file


@dataclass(frozen=True, slots=True)
class FirstYard:
    """What a grower said of the yard: where it is, its logger's file and the species of each tree."""

    latitude: float
    longitude: float
    elevation_m: float | None = None
    logger: Path | None = None
    species: Sequence[str] = ()


def init_workspace(folder: Path, yard: FirstYard) -> list[Path]:
    """Write season.toml, trees.csv, journal.csv and data_cache/ into `folder`; returns the files written.

    Raises GrowerError, with no file left behind, where one of the three is there already or can't be written.
    """
    contents = _first_files(folder, yard)
    taken = [folder / name for name in contents if os.path.lexists(folder / name)]
    if taken:
        raise GrowerError(
            "This file is there already; nothing was written.",
            hint="Choose an empty folder, or move the file away.",
            file=taken[0],
        )
    ignore = "data_cache/.gitignore"
    if not os.path.lexists(folder / ignore):
        contents[ignore] = KEPT_OUT
    written: list[Path] = []
    try:
        for name, content in contents.items():
            write_whole(folder / name, content)
            written.append(folder / name)
    except (OSError, ValueError) as error:
        for path in written:
            path.unlink(missing_ok=True)
        reason = getattr(error, "strerror", None) or str(error)
        raise GrowerError(f"Nothing can be written here: {reason}.", file=folder) from None
    return written


def _first_files(folder: Path, yard: FirstYard) -> dict[str, str]:
    templates = resources.files("season_engine.workspace") / "first"
    settings, journal = ((templates / name).read_text("utf-8") for name in (SETTINGS, JOURNAL))
    filled = Template(settings).substitute(_places(folder, yard))
    return {SETTINGS: filled, TREES: _trees(yard.species), JOURNAL: journal}


def _places(folder: Path, yard: FirstYard) -> dict[str, str]:
    """What stands in the example file's places; lines that are switched off begin with a number sign."""
    height = "# elevation_m = 100" if yard.elevation_m is None else f"elevation_m = {yard.elevation_m:g}"
    logger = SITE_NAME + ".csv" if yard.logger is None else _named_from(folder, yard.logger)
    off = "" if yard.logger else "# "
    lines = {
        "latitude": f"latitude = {yard.latitude!r}",
        "longitude": f"longitude = {yard.longitude!r}",
        "elevation": height,
        "logger": f'{off}source = "logger"',
        "file": f"{off}file = {json.dumps(logger, ensure_ascii=False)}",  # its escapes are TOML's as well
    }
    filled = {key: line.ljust(COMMENTS_FROM - 1) for key, line in lines.items()}
    source, what = INVENTED
    return {**filled, "demo": "" if yard.logger else f"{source:{COMMENTS_FROM}}{what}\n\n"}


def _named_from(folder: Path, file: Path) -> str:
    """A file as it is named from a folder; whole where there is no way from one to the other."""
    try:
        return Path(os.path.relpath(file.resolve(), folder.resolve())).as_posix()
    except ValueError:  # another drive
        return file.resolve().as_posix()


def _trees(species: Sequence[str]) -> str:
    """trees.csv with a line a tree: an id of the species' first letter and a count, and the name given."""
    table = io.StringIO()
    writer = csv.DictWriter(table, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    counts: Counter[str] = Counter()
    for name in species:
        letter = next((one for one in name.casefold() if one.isascii() and one.isalpha()), "t")
        counts[letter] += 1
        writer.writerow({"id": f"{letter}{counts[letter]}", "site": SITE_NAME, "species": name})
    return table.getvalue()
