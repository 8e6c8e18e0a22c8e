"""Lines of cron and units of systemd that run the report, as far as these can be looked at.

Only files and `crontab -l` are read; nothing is asked of a running service, and nothing is changed.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

PROGRAM = "season-engine"
PATIENCE_S = 5.0
CRON_FILES = (Path("/etc/crontab"), Path("/etc/cron.d"))
UNIT_FOLDERS = (Path("/etc/systemd/system"), Path("/etc/systemd/user"))
# What a container of the project does, and the folder in which it does so.
CONTAINER, STANDS_IN = Path("/usr/local/bin/every-morning"), Path("/proc/1/cwd")
_CD = re.compile(r"\bcd\s+(?P<folder>\"[^\"]+\"|'[^']+'|\S+)\s*(?:&&|;)")


@dataclass(frozen=True, slots=True)
class TimedRun:
    """A line that runs the report."""

    where: str
    line: str
    folder: Path | None  # the workspace it names; None: it names none
    mails: bool
    off: bool = False  # a unit whose timer isn't switched on, or is missing

    def is_of(self, folder: Path) -> bool:
        """Whether it runs the report of the workspace in `folder`; one that names none may."""
        return self.folder is None or _real(self.folder) == _real(folder)


@dataclass(frozen=True, slots=True)
class Timers:
    """What was found, and whether cron's own list could be looked at."""

    runs: tuple[TimedRun, ...]
    cron_seen: bool


def timers() -> Timers:
    """Every line that runs the report on this machine, for whichever workspace."""
    table = _crontab()
    runs = [*_in_cron("crontab -l", table or "")]
    for file in _files(CRON_FILES):
        runs += _in_cron(str(file), _text(file))
    for folder in (Path.home() / ".config/systemd/user", *UNIT_FOLDERS):
        for unit in sorted(folder.glob("*.service")):
            runs += _in_unit(unit)
    runs += _in_container()
    return Timers(tuple(runs), table is not None)


def _real(folder: Path) -> str:
    return os.path.realpath(os.path.expanduser(folder))  # noqa: PTH111 - Path's raises for an unknown user


def _crontab() -> str | None:
    """The user's own table, empty where there is none; None where cron isn't there or refuses."""
    try:
        done = subprocess.run(
            ["crontab", "-l"],
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            stdin=subprocess.DEVNULL,
            env={**os.environ, "LC_ALL": "C"},  # its words are looked at
        )
    except (OSError, ValueError, subprocess.SubprocessError):
        return None
    if done.returncode == 0:
        return done.stdout
    return "" if "no crontab" in done.stderr else None


def _files(places: Iterable[Path]) -> Iterator[Path]:
    for place in places:
        with suppress(OSError):
            yield from sorted(place.iterdir()) if place.is_dir() else [place]


def _text(file: Path) -> str:
    try:
        return file.read_text("utf-8", "replace")
    except OSError:
        return ""


def _in_cron(where: str, table: str) -> Iterator[TimedRun]:
    for line in table.splitlines():
        if not line.lstrip().startswith("#") and (run := _run(where, line)):
            yield run


def _in_unit(unit: Path) -> Iterator[TimedRun]:
    lines = [line.strip() for line in _text(unit).splitlines()]
    stands_in = [line.partition("=")[2] for line in lines if line.startswith("WorkingDirectory=")]
    on = any(unit.parent.glob(f"*.wants/{unit.stem}.timer"))
    for line in lines:
        command = line.partition("=")[2]
        if line.startswith("ExecStart=") and (run := _run(str(unit), command)):
            folder = run.folder or (Path(stands_in[-1]) if stands_in else None)
            yield TimedRun(run.where, run.line, folder, run.mails, off=not on)


def _in_container() -> Iterator[TimedRun]:
    for run in _in_cron(str(CONTAINER), _text(CONTAINER)):
        yield replace(run, folder=STANDS_IN.resolve())


def _run(where: str, line: str) -> TimedRun | None:
    """What a line runs, if that is the report."""
    try:
        words = shlex.split(line)
    except ValueError:
        words = line.split()
    at = next((place for place, word in enumerate(words) if Path(word).name == PROGRAM), len(words))
    called = words[at + 1 :]
    if "report" not in called:
        return None
    return TimedRun(where, line.strip(), _folder(line, called), "--email" in called)


def _folder(line: str, called: list[str]) -> Path | None:
    for place, word in enumerate(called):
        if word.startswith("--workspace="):
            return Path(word.partition("=")[2])
        if word == "--workspace" and place + 1 < len(called):
            return Path(called[place + 1])
    found = _CD.search(line)
    return Path(found["folder"].strip("\"'")) if found else None
