"""The container's parts, as far as they go without an engine: what it copies, who it is, what it runs."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import time
from contextlib import suppress
from pathlib import Path

import pytest

from tests.delivery.schedules import PROJECT, the_program, yard_of_today
from tests.delivery.server import Mailbox, mail_server

MORNING = PROJECT / "container" / "every-morning"
FILE = (PROJECT / "Containerfile").read_text("utf-8")
STEPS = re.sub(r"\\\n\s*", "", FILE)


def steps(name: str) -> list[str]:
    return re.findall(rf"^{name} (.+)$", STEPS, re.MULTILINE)


def test_it_copies_what_is_there_and_what_its_list_of_exceptions_lets_through() -> None:
    copied = [name for step in steps("COPY") if "--from" not in step for name in step.split()[:-1]]
    kept = {
        line[1:] for line in (PROJECT / ".dockerignore").read_text("utf-8").splitlines() if line[0] == "!"
    }
    assert len(copied) == 6
    for name in copied:
        assert (PROJECT / name).exists(), name
        assert name.split("/")[0] in kept, name


def test_it_builds_on_an_official_python_that_the_project_supports() -> None:
    names = {name.split()[0] for name in steps("FROM")}
    (version,) = {re.fullmatch(r"python:3\.(\d+)-slim", name)[1] for name in names}  # type: ignore[index]
    assert f'"Programming Language :: Python :: 3.{version}"' in (PROJECT / "pyproject.toml").read_text(
        "utf-8"
    )


def test_it_is_nobody_with_rights_and_keeps_no_password() -> None:
    last = STEPS[STEPS.rindex("\nFROM") :]
    assert last.index("USER grower") < last.index("CMD") and "USER root" not in last
    assert "VOLUME /yard" in last and "TZ=" in last
    assert "password" not in FILE.casefold()


def test_what_it_runs_every_morning_sends_one_mail_and_stops_when_told(
    tmp_path: Path, mailbox: Mailbox
) -> None:
    assert os.access(MORNING, os.X_OK)
    with mail_server(mailbox, security="none", login=False) as port:
        program, yard = the_program(tmp_path), yard_of_today(tmp_path / "yard", port)
        path = os.pathsep.join([str(program.parent), os.environ["PATH"]])
        running = subprocess.Popen(
            [str(MORNING)],
            cwd=yard,
            env={"PATH": path, "TZ": "Etc/UTC", "AT": "06:17", "HOME": str(tmp_path)},
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )
        try:
            until = time.monotonic() + 60
            while not mailbox.received and time.monotonic() < until:
                time.sleep(0.05)
            os.kill(running.pid, signal.SIGTERM)
            assert running.wait(20) == 0
        finally:
            with suppress(ProcessLookupError):
                os.killpg(running.pid, signal.SIGKILL)
    assert len(mailbox.received) == 1


@pytest.mark.parametrize("now", ["05:00", "06:17", "23:59"])
def test_it_sleeps_until_the_next_morning(tmp_path: Path, now: str) -> None:
    """With a clock that stands, and a sleep that tells for how long."""
    date = shutil.which("date")
    for name, body in {
        "season-engine": "exit 3",
        "date": f'[ "$1" = +%s ] && exec {date} --date="2026-03-02 {now}" +%s\n'
        f'exec {date} --date="2026-03-02 ${{1#--date=}}" +%s',
        "sleep": f'echo "$1" > {tmp_path}/slept; kill "$PPID"',
    }.items():
        (tmp_path / name).write_text(f"#!/bin/sh\n{body}\n", "utf-8")
        (tmp_path / name).chmod(0o755)
    path = os.pathsep.join([str(tmp_path), os.environ["PATH"]])
    done = subprocess.run(
        [str(MORNING)], env={"PATH": path, "TZ": "Etc/UTC", "AT": "06:17"}, capture_output=True, text=True
    )
    assert done.stderr == "The report ended with code 3.\n"
    hours, minutes = map(int, now.split(":"))
    to_go = (6 * 60 + 17 - hours * 60 - minutes) % (24 * 60) or 24 * 60
    assert int((tmp_path / "slept").read_text()) == to_go * 60
