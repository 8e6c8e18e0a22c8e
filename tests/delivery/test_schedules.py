"""The cron line and systemd units of README and guide do what these say."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.delivery.schedules import cron_line, in_place, systemd_units, the_program, yard_of_today
from tests.delivery.server import Mailbox, mail_server

# What Debian's cron gives a command (crontab(5), read in the manual page): the shell is sh, and little else.
CRONS_ENVIRONMENT = {"SHELL": "/bin/sh", "PATH": "/usr/bin:/bin", "LANG": "C"}
UNITS_REQUIRED = os.environ.get("SEASON_ENGINE_SYSTEMD_TESTS") == "required"


def test_the_cron_line_as_written_sends_one_mail(tmp_path: Path, mailbox: Mailbox) -> None:
    with mail_server(mailbox, security="none", login=False) as port:
        program, yard = the_program(tmp_path), yard_of_today(tmp_path / "yard", port)
        *when, command = cron_line().split(maxsplit=5)
        assert all(re.fullmatch(r"[\d*]+", field) for field in when) and len(when) == 5
        assert "%" not in command  # cron would end the command there
        for _ in range(2):
            done = subprocess.run(
                ["/bin/sh", "-c", in_place(command, program, yard)],
                env={**CRONS_ENVIRONMENT, "HOME": str(tmp_path)},
                cwd=tmp_path,
                capture_output=True,
                text=True,
            )
            assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert len(mailbox.received) == 1


def verify(folder: Path, units: dict[str, str]) -> subprocess.CompletedProcess[str]:
    for name, text in units.items():
        (folder / name).write_text(text, "utf-8")
    paths = [str(folder / name) for name in units]
    return subprocess.run(
        ["systemd-analyze", "verify", "--man=no", *paths], capture_output=True, text=True, cwd=folder
    )


@pytest.mark.skipif(
    shutil.which("systemd-analyze") is None and not UNITS_REQUIRED,
    reason="systemd-analyze is not installed (on Debian: apt install systemd)",
)
def test_the_systemd_units_pass_systemds_own_check(tmp_path: Path) -> None:
    units = systemd_units()
    assert set(units) == {"season-report.service", "season-report.timer"}
    program = the_program(tmp_path)
    service = in_place(units["season-report.service"], program, tmp_path)
    good = verify(tmp_path, {**units, "season-report.service": service})
    assert (good.returncode, good.stderr) == (0, "")
    for old, new in (("OnCalendar=", "OnCalender="), ("06:17:00", "06:77:00"), ("Type=oneshot", "Type=once")):
        broken = {
            name: text.replace(old, new) for name, text in {**units, "season-report.service": service}.items()
        }
        bad = verify(tmp_path, broken)
        assert bad.returncode != 0 or bad.stderr != "", f"{new} passes"


def test_the_timer_runs_every_day_and_makes_up_for_a_missed_one() -> None:
    timer = systemd_units()["season-report.timer"]
    assert "OnCalendar=*-*-* " in timer and "Persistent=true" in timer
