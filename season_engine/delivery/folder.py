"""A week's report on disk: the folder is the old one or the new one, never half of either.

The new folder is written beside the old one under a hidden name, the old one is set aside, the new one
takes its place, and only then the old one goes. A stop in between leaves the old one aside; `recover`
puts it back at the next start.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from season_engine.documents.calendar_feed import FEED, WINDOWS, season_calendar, season_windows
from season_engine.documents.model import json_text
from season_engine.documents.report import report_document
from season_engine.documents.windows_csv import windows_csv
from season_engine.errors import GrowerError
from season_engine.files.whole import sync_folder, write_whole
from season_engine.pages.index_page import INDEX, week_folders, write_index
from season_engine.pages.page import report_page
from season_engine.prints.report import report_text
from season_engine.report.contents import Report
from season_engine.words.timing import iso_week

PAGE = "report.html"
# Hidden names beside 2026-W33: .2026-W33.new-abc123 is being written, .2026-W33.old is set aside.
_LEFT_BEHIND = re.compile(r"\.(?P<week>\d{4,}-W\d\d(-mail)?)\.(?P<kind>new|old)(-.+)?")
_HALF_WRITTEN = re.compile(rf"\.({'|'.join(map(re.escape, (INDEX, FEED, WINDOWS)))})\.[^.]+")


def write_report(report: Report, out: Path, *, every_site: bool = True) -> Path:
    """Write `out`/<ISO year>-W<week>/, which belongs to the engine, list it in `out`/index.html, return it.

    The calendars' copies in `out`, which a calendar subscribes to, are the newest week's with `every_site`.

    Raises
    ------
    GrowerError
        If the folder can't be written; the old one is then still there, or put back at the next start.
    """
    calendars = {FEED: season_calendar(report), WINDOWS: season_windows(report)}
    contents: dict[str, str | bytes] = {
        PAGE: report_page(report, _last_week(out, report)),
        "report.txt": report_text(report),
        "report.json": json_text(report_document(report)),
        "windows.csv": windows_csv(report),
        **calendars,
    }
    folder = write_folder(contents, out / iso_week(report.as_of))
    with _said_to_the_grower(out):
        if every_site and week_folders(out)[0] == folder:
            for name, calendar in calendars.items():
                write_whole(out / name, calendar)
        write_index(out, report.language)
    return folder


def _last_week(out: Path, report: Report) -> str:
    """The folder of the newest week before; empty where there is none."""
    this = iso_week(report.as_of)
    earlier = [path.name for path in week_folders(out) if path.name < this] if out.is_dir() else []
    return max(earlier, default="")


def write_folder(contents: Mapping[str, str | bytes], folder: Path) -> Path:
    """Replace `folder` by one that holds these files (name to text or bytes), whole or not at all."""
    with _said_to_the_grower(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        _recover(folder.parent)
        new = _written_aside(contents, folder)
        try:
            _swap(new, folder)
        except OSError:
            with suppress(OSError):
                _recover(folder.parent)
            raise
    return folder


def recover(out: Path) -> None:
    """Put a report set aside back where its new one never arrived, and clear what a stop left behind.

    Not for use while another run writes to `out`. Raises GrowerError where it can't be done.
    """
    with _said_to_the_grower(out):
        _recover(out)


@contextmanager
def _said_to_the_grower(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise GrowerError(
            f"The report can't be written: {error.strerror or error}.",
            hint="Check that the folder can be written to, or choose another with --out.",
            file=folder,
        ) from error


def _written_aside(contents: Mapping[str, str | bytes], folder: Path) -> Path:
    new = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}.new-"))
    try:
        for name, content in contents.items():
            with (new / name).open("wb") as file:
                file.write(content.encode("utf-8") if isinstance(content, str) else content)
                file.flush()
                os.fsync(file.fileno())
        new.chmod(0o755)
        sync_folder(new)
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        raise
    return new


def _swap(new: Path, folder: Path) -> None:
    old = _aside(folder)
    if _there(folder):
        folder.rename(old)
    new.rename(folder)
    sync_folder(folder.parent)
    _remove(old)


def _recover(out: Path) -> None:
    if not out.is_dir():
        return
    for left in sorted(out.iterdir()):
        if _HALF_WRITTEN.fullmatch(left.name):
            _remove(left)
        match = _LEFT_BEHIND.fullmatch(left.name)
        if match is None:
            continue
        folder = out / match["week"]
        if match["kind"] == "old" and not _there(folder):
            left.rename(folder)
        else:
            _remove(left)
    sync_folder(out)


def _aside(folder: Path) -> Path:
    return folder.parent / f".{folder.name}.old"


def _there(path: Path) -> bool:
    return path.exists() or path.is_symlink()


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
