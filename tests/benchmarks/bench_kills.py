"""Kill `report --email` at random moments and run it again: `python -m tests.benchmarks.bench_kills 200`.

Each round is a week of its own. The run is killed (SIGKILL, no chance to tidy up) at a moment drawn from
the time a whole run takes, then run again until it says that it is done. Then: has each reader had exactly
one mail, or two that are the same to the byte where the kill fell between the server's yes and our record?
And is each week's report folder whole?
"""

from __future__ import annotations

import datetime as dt
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from season_engine.words.timing import full_day
from tests.benchmarks.markdown import markdown_table, show
from tests.delivery.server import Mailbox, mail_server
from tests.delivery.yard import READER, make_yard

PROJECT = Path(__file__).parents[2]
COMMAND = "from season_engine.cli import main; main()"
READERS = (READER, "other@example.org")
CALENDARS = {"season-calendar.ics", "season-windows.ics"}
FILES = {"report.html", "report.txt", "report.json", "windows.csv", *CALENDARS}
SEED = 20220411
FIRST = dt.date(2000, 1, 3)  # a Monday; the yard's readings go on for 26 years
SINCE = "1988"  # weather enough for the first
LATE_SHARE = 0.5  # of the kills, aimed at the last part of a run, where the mail goes out


@dataclass
class Tally:
    """What the rounds came to."""

    kills: int = 0
    ended_before: int = 0  # runs that were done before the kill came
    once: int = 0  # reader and week with exactly one mail
    repeated: int = 0  # with the very same mail twice
    wrong: list[str] = field(default_factory=list)

    def rows(self) -> list[tuple[str, str]]:
        return [
            ("runs killed", str(self.kills)),
            ("runs that had ended before the kill", str(self.ended_before)),
            ("mails that came once", str(self.once)),
            ("mails repeated to the byte", str(self.repeated)),
            ("other faults, torn report folders among them", str(len(self.wrong))),
        ]


def start(folder: Path, on: dt.date) -> subprocess.Popen[bytes]:
    """The command in a process of its own."""
    options = ["report", "--email", "--workspace", str(folder), "--on", on.isoformat()]
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # as on a grower's machine
    return subprocess.Popen(
        [sys.executable, "-c", COMMAND, *options],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )


def kill_rounds(folder: Path, rounds: int, seed: int = SEED) -> Tally:
    """Run the rounds in a new yard in `folder`."""
    tally, chance, mailbox = Tally(), random.Random(seed), Mailbox()
    with mail_server(mailbox, security="none", login=False) as port:
        yard = make_yard(folder / "yard", port, to=READERS, security="none", since=SINCE)
        settings = yard.folder / "season.toml"
        login = 'username = "grower"\npassword_env = "SEASON_MAIL_PASSWORD"\n'
        settings.write_text(settings.read_text("utf-8").replace(login, ""), "utf-8")
        assert start(yard.folder, FIRST - dt.timedelta(weeks=1)).wait() == 0  # warms the caches
        began = time.monotonic()
        assert start(yard.folder, FIRST - dt.timedelta(weeks=2)).wait() == 0
        whole_s = time.monotonic() - began
        mailbox.received.clear()
        week = 0
        while tally.kills < rounds:
            on = FIRST + dt.timedelta(weeks=week)
            week += 1
            earliest = 0.6 if chance.random() < LATE_SHARE else 0.0
            _one_round(yard.folder, on, whole_s * chance.uniform(earliest, 1.0), tally)
            _judge(yard.folder, on, mailbox, tally)
    return tally


def _one_round(folder: Path, on: dt.date, after_s: float, tally: Tally) -> None:
    run = start(folder, on)
    try:
        run.wait(after_s)
        tally.ended_before += 1
    except subprocess.TimeoutExpired:
        run.kill()
        tally.kills += 1
    run.communicate()
    whole_or_gone = folder / "reports" / week_of(on)
    if whole_or_gone.exists():
        _check_folder(whole_or_gone, on, tally)
    again = start(folder, on)
    said = again.communicate()[0]
    if again.returncode != 0 or said:
        tally.wrong.append(f"{on}: exit {again.returncode}, said {said!r}")


def _judge(folder: Path, on: dt.date, mailbox: Mailbox, tally: Tally) -> None:
    _check_folder(folder / "reports" / week_of(on), on, tally)
    left = [
        path.name for path in (folder / "reports").iterdir() if ".new" in path.name or ".old" in path.name
    ]
    if left:
        tally.wrong.append(f"{on}: left behind {left}")
    mails = Counter(mailbox.received)
    mailbox.received.clear()
    for reader in READERS:
        own = {content: count for (to, content), count in mails.items() if to == reader}
        if list(own.values()) == [1]:
            tally.once += 1
        elif list(own.values()) == [2]:
            tally.repeated += 1
        else:
            tally.wrong.append(f"{on}: {reader} got {sorted(own.values())}")


def _check_folder(folder: Path, on: dt.date, tally: Tally) -> None:
    """Whole, and of one piece: each file ends as it should and speaks of the same day."""
    try:
        document = json.loads((folder / "report.json").read_text("utf-8"))
        page = (folder / "report.html").read_text("utf-8")
        text = (folder / "report.txt").read_text("utf-8")
        whole = page.endswith("</html>\n") and text.endswith("\n")
        whole = whole and f'<meta name="date" content="{on}">' in page and full_day(on) in text
        whole = whole and document["as_of"] == on.isoformat()
        for name in CALENDARS:
            whole = whole and (folder / name).read_bytes().endswith(b"END:VCALENDAR\r\n")
        whole = whole and FILES <= {path.name for path in folder.iterdir()}
    except (OSError, ValueError):
        whole = False
    if not whole:
        tally.wrong.append(f"{on}: torn folder")


def week_of(on: dt.date) -> str:
    """Name of the week's folder."""
    year, week, _ = on.isocalendar()
    return f"{year}-W{week:02d}"


def main() -> None:
    """Run as many kills as asked for."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        tally = kill_rounds(Path(folder), rounds)
    show(*markdown_table(("`report --email`", ""), tally.rows()), *tally.wrong)
    sys.exit(1 if tally.wrong else 0)


if __name__ == "__main__":
    main()
