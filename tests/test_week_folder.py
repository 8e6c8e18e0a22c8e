"""The week's folder: the old one or the new one, whatever goes wrong and whenever."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from season_engine.delivery.folder import recover, write_folder, write_report
from season_engine.errors import GrowerError
from tests.factories import AS_OF, a_report, days

OLD = {"report.txt": "old", "report.json": "old"}
NEW = {"report.txt": "new", "report.json": "new", "report.html": "new"}


def held(folder: Path) -> dict[str, str]:
    return {file.name: file.read_text(encoding="utf-8") for file in folder.iterdir()}


CALENDARS = ["season-calendar.ics", "season-windows.ics"]
FILES = ["report.html", "report.json", "report.txt", *CALENDARS, "windows.csv"]


def test_the_files_land_in_the_iso_weeks_folder(tmp_path):
    folder = write_report(a_report(), tmp_path / "reports")
    assert folder == tmp_path / "reports" / AS_OF.strftime("%G-W%V")
    assert sorted(held(folder)) == FILES
    assert json.loads(held(folder)["report.json"])["as_of"] == "2026-08-11"
    assert sorted(path.name for path in (tmp_path / "reports").iterdir()) == [
        folder.name, "index.html", *CALENDARS,
    ]  # fmt: skip


def test_new_year_falls_into_the_iso_week_of_its_thursday(tmp_path):
    """ISO 8601: a week belongs to the year of its Thursday; 1 Jan 2027 is a Friday."""
    report = a_report(as_of=AS_OF.replace(year=2027, month=1, day=1))
    assert write_report(report, tmp_path).name == "2026-W53"


def test_the_same_report_twice_gives_the_same_bytes(tmp_path):
    first = held(write_report(a_report(), tmp_path))
    assert held(write_report(a_report(), tmp_path)) == first


def test_other_weeks_and_other_files_are_left_alone(tmp_path):
    (tmp_path / "notes.txt").write_text("mine")
    (tmp_path / ".hidden.old").write_text("mine")
    before = write_report(a_report(as_of=AS_OF - days(7)), tmp_path)
    write_report(a_report(), tmp_path)
    recover(tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        ".hidden.old", before.name, "2026-W33", "index.html", "notes.txt", *CALENDARS,
    ]  # fmt: skip


def test_a_new_report_replaces_the_old_one_whole(tmp_path):
    folder = write_folder(OLD, tmp_path / "2026-W33")
    write_folder({"report.txt": "new"}, folder)
    assert held(folder) == {"report.txt": "new"}


def _failing_at(nth: int, real):
    calls = iter(range(1, 100))

    def call(*args, **kwargs):
        if next(calls) == nth:
            raise OSError(28, "No space left on device")
        return real(*args, **kwargs)

    return call


@pytest.mark.parametrize("name", ["rename", "fsync"])
@pytest.mark.parametrize("nth", [1, 2, 3, 4])
def test_a_failure_leaves_the_old_report_or_the_new_one(tmp_path, monkeypatch, name, nth):
    folder = write_folder(OLD, tmp_path / "2026-W33")
    with monkeypatch.context() as patched:
        patched.setattr(os, name, _failing_at(nth, getattr(os, name)))
        try:
            write_folder(NEW, folder)
            failed = False
        except GrowerError as error:
            failed = True
            assert "No space left on device" in str(error)
            assert error.file == str(folder)
    assert failed == (name == "fsync" or nth <= 2), "two renames and more than four syncs are made"
    assert held(folder) in (OLD, NEW)
    assert [path.name for path in tmp_path.iterdir()] == ["2026-W33"], "no leftovers"


def test_when_not_even_putting_back_works_the_next_start_does_it(tmp_path, monkeypatch):
    folder = write_folder(OLD, tmp_path / "2026-W33")
    real, calls = os.rename, iter(range(100))

    def only_the_first(*args):
        if next(calls) > 0:
            raise OSError(5, "Input/output error")
        return real(*args)

    with monkeypatch.context() as patched:
        patched.setattr(os, "rename", only_the_first)
        with pytest.raises(GrowerError):
            write_folder(NEW, folder)
    assert not folder.exists()
    recover(tmp_path)
    assert held(folder) == OLD
    assert [path.name for path in tmp_path.iterdir()] == ["2026-W33"]


def killed(name: str, nth: int, folder: Path) -> int:
    """Exit code of a process of its own that writes the new report and ends at the nth call of a name."""
    process = os.fork()
    if process == 0:
        try:
            real, calls = getattr(os, name), iter(range(1, 100))

            def call(*given, **more):
                return os._exit(9) if next(calls) == nth else real(*given, **more)

            setattr(os, name, call)
            write_folder(NEW, folder)
        finally:
            os._exit(0)  # whatever happens, it runs none of the tests that follow
    return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])


@pytest.mark.parametrize(
    ("name", "nth", "after"),
    [("fsync", 2, OLD), ("rename", 1, OLD), ("rename", 2, OLD), ("rmdir", 1, NEW)],
)
def test_a_run_killed_at_any_step_leaves_one_whole_report(tmp_path, name, nth, after):
    """The process ends at once, with no chance to tidy up, as in a power cut."""
    folder = write_folder(OLD, tmp_path / "2026-W33")
    assert killed(name, nth, folder) == 9
    if folder.exists():
        assert held(folder) in (OLD, NEW)
    recover(tmp_path)
    assert held(folder) == after
    assert [path.name for path in tmp_path.iterdir()] == ["2026-W33"]
    recover(tmp_path)
    assert held(folder) == after


def test_what_a_kill_left_of_index_and_feed_is_cleared_away(tmp_path):
    (tmp_path / ".index.html.x1y2z3").write_text("half")
    (tmp_path / ".season-calendar.ics.x1y2z3").write_text("half")
    (tmp_path / ".index.html").write_text("mine")
    recover(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [".index.html"]


def test_an_index_that_can_not_be_written_is_told(tmp_path):
    (tmp_path / "index.html").mkdir()
    with pytest.raises(GrowerError, match="can't be written"):
        write_report(a_report(), tmp_path)
    assert sorted(held(tmp_path / "2026-W33")) == FILES


def test_an_out_that_is_a_file_is_named_to_the_grower(tmp_path):
    (tmp_path / "out").write_text("not a folder")
    with pytest.raises(GrowerError, match="can't be written") as raised:
        write_report(a_report(), tmp_path / "out")
    assert raised.value.hint


def test_recovering_where_nothing_was_ever_written_does_nothing(tmp_path):
    recover(tmp_path / "never")
    assert not (tmp_path / "never").exists()


@pytest.mark.parametrize("name", ["../../escape", "a/b", "<i>\n"])
def test_a_sites_name_never_reaches_the_file_system(tmp_path, name):
    report = a_report()
    site = report.sites[0]
    report = a_report(sites=(replace(site, site=replace(site.site, name=name), tree_names={"M1": name}),))
    write_report(report, tmp_path / "out")
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    assert len(list((tmp_path / "out").rglob("*"))) == 2 + len(FILES + CALENDARS), (
        "a folder, its files, index and calendars"
    )
