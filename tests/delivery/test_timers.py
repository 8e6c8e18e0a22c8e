"""Lines of cron and units of systemd that run the report are found, and whose they are."""

from __future__ import annotations

from pathlib import Path

import pytest

from season_engine.delivery import timers as looked_at
from season_engine.delivery.timers import TimedRun, timers

TABLE = """# 5 5 * * * season-engine report --email --workspace /yards/off
17 6 * * * /home/odile/bin/season-engine report --email --workspace /yards/low
0 7 * * 1 cd "/yards/high meadow" && season-engine report
0 8 * * * season-engine weather --workspace /yards/low
0 9 * * * echo "an unclosed quote
0 9 * * * report --workspace /yards/low
"""
SERVICE = "[Service]\nType=oneshot\n{}ExecStart=/opt/season-engine report --email{}\n"


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine whose tables and units are all in one folder, with no cron at first."""
    units = tmp_path / "units"
    units.mkdir()
    monkeypatch.setattr(looked_at, "CRON_FILES", (tmp_path / "crontab", tmp_path / "cron.d"))
    monkeypatch.setattr(looked_at, "UNIT_FOLDERS", (units,))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    return tmp_path


def with_cron(machine: Path, says: str, code: int = 0) -> None:
    (machine / "bin").mkdir(exist_ok=True)
    program = machine / "bin" / "crontab"
    out = machine / "says"
    out.write_text(says, "utf-8")
    where = "" if code == 0 else " >&2"
    program.write_text(
        f'#!/bin/sh\nwhile IFS= read -r line; do echo "$line"; done < "{out}"{where}\nexit {code}\n'
    )
    program.chmod(0o755)


def test_a_machine_without_cron_is_told_from_one_with_an_empty_table(machine: Path) -> None:
    assert (timers().runs, timers().cron_seen) == ((), False)
    with_cron(machine, "no crontab for odile\n", code=1)
    assert (timers().runs, timers().cron_seen) == ((), True)
    with_cron(machine, "you may not use this program\n", code=1)
    assert timers().cron_seen is False


def test_the_report_s_lines_are_found_and_no_others(machine: Path) -> None:
    with_cron(machine, TABLE)
    low, high = timers().runs
    assert (low.folder, low.mails, low.off) == (Path("/yards/low"), True, False)
    assert (high.folder, high.mails) == (Path("/yards/high meadow"), False)
    assert low.is_of(Path("/yards/low")) and not low.is_of(Path("/yards/high meadow"))
    assert low.where == "crontab -l"


def test_the_machine_s_own_tables_count_too(machine: Path) -> None:
    (machine / "cron.d").mkdir()
    line = "17 6 * * * odile season-engine report --email --workspace=/yards/low\n"
    (machine / "cron.d" / "season").write_text(line, "utf-8")
    (run,) = timers().runs
    assert (run.folder, run.where) == (Path("/yards/low"), str(machine / "cron.d" / "season"))


@pytest.mark.parametrize(
    ("more", "at_end", "folder"),
    [
        ("", " --workspace /yards/low", Path("/yards/low")),
        ("WorkingDirectory=/yards/low\n", "", Path("/yards/low")),
        ("", "", None),
    ],
)
def test_a_unit_runs_by_a_timer_that_is_switched_on(
    machine: Path, more: str, at_end: str, folder: Path | None
) -> None:
    unit = machine / "units" / "season-report.service"
    unit.write_text(SERVICE.format(more, at_end), "utf-8")
    (run,) = timers().runs
    assert (run.folder, run.mails, run.off) == (folder, True, True)
    wants = machine / "units" / "timers.target.wants"
    wants.mkdir()
    (wants / "season-report.timer").symlink_to(machine / "units" / "season-report.timer")
    (wants.parent / "season-report.timer").write_text("[Timer]\n", "utf-8")
    assert timers().runs == (TimedRun(str(unit), run.line, folder, True, off=False),)
    assert run.is_of(Path("/yards/other")) == (folder is None)


def test_a_container_s_own_loop_is_found_with_the_folder_it_stands_in(
    machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    yard = machine / "yard"
    yard.mkdir()
    (machine / "cwd").symlink_to(yard)
    monkeypatch.setattr(looked_at, "CONTAINER", Path(__file__).parents[2] / "container" / "every-morning")
    monkeypatch.setattr(looked_at, "STANDS_IN", machine / "cwd")
    (run,) = timers().runs
    assert run.is_of(yard) and run.mails and not run.off
    assert not run.is_of(machine)
