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
from season_engine.workspace.said_trees import SaidTree
from season_engine.workspace.trees import COLUMNS
from season_engine.workspace.workspace import JOURNAL, SETTINGS, TREES

KEPT_OUT = "# Fetched again when needed.\n*\n!.gitignore\n"
SITE_NAME = "my-yard"
INVENTED = 'source = "demo"', "# invented weather, to try things out; choose one of these two instead:"
COMMENTS_FROM = 32  # column of the comments in the example file


@dataclass(frozen=True, slots=True)
class FirstMail:
    """Whom the report is mailed to, and through which server."""

    to: str
    host: str
    username: str


@dataclass(frozen=True, slots=True)
class FirstLogger:
    """A logger's file, or a pattern of several, and the lines of season.toml that say how it is read."""

    file: str
    settings: tuple[str, ...] = ()

    @property
    def table(self) -> str:
        """As a table of TOML."""
        return "\n".join(('source = "logger"', f"file = {_quoted(self.file)}", *self.settings)) + "\n"


@dataclass(frozen=True, slots=True)
class FirstYard:
    """What a grower said of the yard: where it is, where its weather comes from, each tree, who gets mail."""

    latitude: float
    longitude: float
    elevation_m: float | None = None
    logger: FirstLogger | None = None
    station: str | None = None  # a public one instead: its id, or "nearest"
    reference_station: bool = False  # the nearest one's years before the logger's
    trees: Sequence[SaidTree] = ()
    mail: FirstMail | None = None

    @property
    def invented(self) -> bool:
        """Whether it runs on invented weather for now."""
        return self.logger is None and self.station is None


def init_workspace(folder: Path, yard: FirstYard) -> list[Path]:
    """Write season.toml, trees.csv, journal.csv and data_cache/ into `folder`; returns the files written.

    Raises GrowerError, with no file left behind, where one of the three is there already or can't be written.
    """
    refuse_taken(folder)
    contents = _first_files(folder, yard)
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


def refuse_taken(folder: Path) -> None:
    """Raise GrowerError where there is one of a workspace's files already."""
    for name in (SETTINGS, TREES, JOURNAL):
        if os.path.lexists(folder / name):
            raise GrowerError(
                "This file is there already; nothing was written.",
                hint="Choose an empty folder, or move the file away.",
                file=folder / name,
            )


def _first_files(folder: Path, yard: FirstYard) -> dict[str, str]:
    settings = Template(_template(SETTINGS)).substitute(_places(folder, yard))
    return {SETTINGS: settings, TREES: _trees(yard.trees), JOURNAL: _template(JOURNAL)}


def _places(folder: Path, yard: FirstYard) -> dict[str, str]:
    """What stands in the example file's places; lines that are switched off begin with a number sign."""
    height = "# elevation_m = 100" if yard.elevation_m is None else f"elevation_m = {yard.elevation_m:g}"
    logger = SITE_NAME + ".csv" if yard.logger is None else _named_from(folder, Path(yard.logger.file))
    lines = {
        "latitude": f"latitude = {yard.latitude!r}",
        "longitude": f"longitude = {yard.longitude!r}",
        "elevation": height,
        "logger": _line('source = "logger"', on=yard.logger is not None),
        "file": _line(f"file = {_quoted(logger)}", on=yard.logger is not None),
        "station": _line('source = "station"', on=yard.station is not None),
        "nearest": _line(f"station = {_quoted(yard.station or 'nearest')}", on=yard.station is not None),
        "reference": _line('reference_station = "nearest"', on=yard.reference_station),
    }
    filled = {key: line.ljust(COMMENTS_FROM - 1) for key, line in lines.items()}
    source, what = INVENTED
    demo = f"{source:{COMMENTS_FROM}}{what}\n\n" if yard.invented else ""
    settings = "".join(f"{line}\n" for line in yard.logger.settings) if yard.logger else ""
    return {**filled, "demo": demo, "settings": settings, "email": _email(yard.mail)}


def _line(text: str, *, on: bool) -> str:
    return text if on else f"# {text}"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)  # its escapes are TOML's as well


def _email(mail: FirstMail | None) -> str:
    """The mail account's table; switched off, with an example, where nobody is to be told."""
    told = mail or FirstMail("grower@example.org", "mail.example.org", "grower")
    places = {"host": told.host, "username": told.username, "sender": told.to, "to": told.to}
    table = Template(_template("email.toml")).substitute({key: _quoted(one) for key, one in places.items()})
    return "".join(f"{_line(line, on=mail is not None)}\n" for line in table.splitlines())


def _template(name: str) -> str:
    return (resources.files("season_engine.workspace") / "first" / name).read_text("utf-8")


def _named_from(folder: Path, file: Path) -> str:
    """A file as it is named from a folder; whole where there is no way from one to the other."""
    try:
        return Path(os.path.relpath(file.resolve(), folder.resolve())).as_posix()
    except ValueError:  # another drive
        return file.resolve().as_posix()


def _trees(trees: Sequence[SaidTree]) -> str:
    """trees.csv with a line a tree: an id of the name's first letter and a count, and what was said of it."""
    table = io.StringIO()
    writer = csv.DictWriter(table, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    counts: Counter[str] = Counter()
    for tree in trees:
        letter = next((one for one in tree.species.casefold() if one.isascii() and one.isalpha()), "t")
        counts[letter] += 1
        said = {"species": tree.species, "size": tree.size or "", "stage": tree.stage or ""}
        writer.writerow({"id": f"{letter}{counts[letter]}", "site": SITE_NAME, **said})
    return table.getvalue()
