"""Cron for real, as root on a Debian machine: ``python -m tests.benchmarks.bench_cron``.

Starts Debian's cron daemon with the README's line as root's crontab, every minute in place of every
morning, and a mail server on this machine. The mail must arrive after the first minute, and nothing more
after the second. Root's own crontab is put back at the end.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.delivery.schedules import cron_line, in_place, the_program, yard_of_today
from tests.delivery.server import Mailbox, mail_server

EVERY_MINUTE = "* * * * *"
PATIENCE_S = 150


def crontab(*arguments: str, text: str = "") -> str:
    """Run `crontab`; what it prints."""
    return subprocess.run(["crontab", *arguments], input=text, capture_output=True, text=True).stdout


def runs_noted(log: Path) -> int:
    """How often the command has written into its log."""
    return len(log.read_text("utf-8").splitlines()) if log.exists() else 0


def main() -> None:
    """Wait for two minutes of cron."""
    if shutil.which("cron") is None:
        sys.exit("There is no cron daemon here (on Debian: apt install cron).")
    mailbox, before = Mailbox(), crontab("-l")
    with tempfile.TemporaryDirectory() as name, mail_server(mailbox, security="none", login=False) as port:
        folder = Path(name)
        program, yard = the_program(folder), yard_of_today(folder / "yard", port)
        command = in_place(cron_line().split(maxsplit=5)[5], program, yard)
        daemon = subprocess.Popen(["cron", "-f"])
        try:
            crontab("-", text=f"{EVERY_MINUTE} {command}\n")
            log, end = yard / "reports" / "delivery.log", time.monotonic() + PATIENCE_S
            while runs_noted(log) < 2 and time.monotonic() < end:
                time.sleep(1)
        finally:
            crontab("-", text=before) if before else crontab("-r")
            daemon.terminate()
            daemon.wait()
        time.sleep(5)  # a run that is still at work
        sys.stdout.write(log.read_text("utf-8") if log.exists() else "The command never ran.\n")
        (_, content), *more = mailbox.received or [("", b"nothing")]
        sys.stdout.write(f"{content[:300].decode()}\n{len(mailbox.received)} mail(s) arrived\n")
        sys.exit(0 if len(mailbox.received) == 1 and runs_noted(log) >= 2 and not more else 1)


if __name__ == "__main__":
    main()
