"""`ready` finds what would keep the next report from coming, one thing at a time, and sends nothing."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands import clock, readiness
from season_engine.delivery.outbox import Letter, open_outbox
from season_engine.delivery.timers import TimedRun, Timers
from tests.delivery.server import Mailbox
from tests.delivery.yard import READER, Yard
from tests.schemas import assert_valid
from tests.workspaces import make_workspace

TUESDAY, WEEK = "2025-12-30T07:00:00+00:00", "2026-W01"  # the readings end on the 31st, and are cut
YardMaker = Callable[..., Yard]
Edit = Callable[[Path], object]


@pytest.fixture(autouse=True)
def the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(clock.VARIABLE, TUESDAY)


@pytest.fixture
def timed(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    def run_by(*runs: TimedRun, cron_seen: bool = True) -> None:
        monkeypatch.setattr(readiness, "timers", lambda: Timers(runs, cron_seen))

    return run_by


@pytest.fixture
def yard(yard_with: YardMaker, timed: Callable[..., None]) -> Path:
    """A yard in which all is in place."""
    folder = yard_with().folder
    prepared(folder)
    timed(TimedRun("crontab -l", "17 6 * * * season-engine report --email", folder, True))
    return folder


def prepared(folder: Path) -> None:
    file = folder / "nagano.csv"
    kept = [line for line in file.read_text("utf-8").splitlines() if line < "2025-12-30" or line[0] == "d"]
    file.write_text("\n".join(kept) + "\n", "utf-8")
    for path in folder.iterdir():
        os.utime(path, (1_700_000_000, 1_700_000_000))


def ready(folder: Path, *more: str) -> Result:
    done = CliRunner().invoke(main, ["ready", "--workspace", str(folder), *more])
    assert "a fault of its own" not in done.stderr, done.stderr
    return done


def document(folder: Path) -> Any:
    done = ready(folder, "--json")
    found = json.loads(done.stdout)
    assert_valid(found, "ready")
    assert (found["exit_code"], found["ready"]) == (done.exit_code, done.exit_code == 0)
    return found


def wrong(folder: Path) -> dict[str, str]:
    """What is wrong, by what it is about."""
    found = document(folder)["findings"]
    return {
        one["subject"]: f"{one['text']} {one['mend']} {one['line']}"
        for one in found
        if one["state"] == "wrong"
    }


def test_where_all_is_in_place_every_thing_has_a_line(yard: Path, mailbox: Mailbox) -> None:
    done = ready(yard)
    assert done.exit_code == 0, done.output
    assert done.stdout.startswith("All is in place for the report of Mon 5 Jan 2026.\n")
    subjects = {one["subject"] for one in document(yard)["findings"]}
    assert subjects == {"workspace", "catalogue", "weather", "folders", "mail", "outbox", "timer", "clock"}
    said = " ".join(done.stdout.split())
    assert "The last reading is of Mon 29 Dec 2025, of yesterday; none of the last 60 days missing." in said
    assert f'the login of "grower" is fine. It goes to {READER}.' in said
    assert 'The catalogue has no "Nothing known"' in said
    assert (set(mailbox.logins), mailbox.received) == ({True}, [])
    assert all(len(line) <= 80 for line in done.stdout.splitlines() if "--email" not in line)


def test_nothing_is_left_behind(yard: Path) -> None:
    before = {path.name for path in yard.iterdir()}
    ready(yard)
    assert {path.name for path in yard.iterdir()} - before <= {"data_cache"}


def replaced(name: str, old: str, new: str) -> Edit:
    def edit(folder: Path) -> None:
        text = (folder / name).read_text("utf-8")
        assert old in text
        (folder / name).write_text(text.replace(old, new), "utf-8")
        os.utime(folder / name, (1_700_000_000, 1_700_000_000))

    return edit


def shortened(day: str) -> Edit:
    def edit(folder: Path) -> None:
        kept = [line for line in (folder / "nagano.csv").read_text("utf-8").splitlines() if line < day]
        (folder / "nagano.csv").write_text("date,tmin,tmax\n" + "\n".join(kept) + "\n", "utf-8")

    return edit


def taken(name: str) -> Edit:
    return lambda folder: (folder / name).write_text("a file where a folder belongs", "utf-8")


@pytest.mark.parametrize(
    ("spoil", "code", "subject", "said"),
    [
        (replaced("season.toml", "latitude = 36.66", "latitude = 136.66"), 2, "workspace", "latitude"),
        (replaced("trees.csv", "Kettle,nagano", "Kettle,nagasaki"), 2, "workspace", "trees.csv, line 2"),
        (
            lambda yard: (yard / "catalogue.toml").write_text("[species]\nx = 3\n"),
            2,
            "catalogue",
            "catalogue.toml",
        ),
        (lambda yard: (yard / "nagano.csv").unlink(), 3, "weather", "nagano.csv"),
        (shortened("2025-12-20"), 3, "weather", "Read out the logger before Monday."),
        (shortened("2025-10-01"), 3, "weather", "after 60 nothing can be said"),
        (taken("reports"), 2, "folders", "is no folder"),
        (taken("data_cache"), 2, "folders", "is no folder"),
        (replaced("season.toml", 'host = "localhost"', 'host = "127.0.0.1"'), 4, "mail", "certificate"),
    ],
)
def test_one_thing_that_is_wrong_is_found_with_what_mends_it(
    yard: Path, spoil: Edit, code: int, subject: str, said: str
) -> None:
    spoil(yard)
    found = wrong(yard)
    assert set(found) == {subject}
    assert said in found[subject]
    assert ready(yard).exit_code == code


def test_of_several_the_first_in_the_table_of_codes_decides(yard: Path) -> None:
    shortened("2025-12-20")(yard)
    replaced("season.toml", 'host = "localhost"', 'host = "127.0.0.1"')(yard)
    assert set(wrong(yard)) == {"weather", "mail"}
    done = ready(yard)
    assert done.exit_code == 3
    assert done.stdout.startswith("Before the report of Mon 5 Jan 2026: two things to mend.")
    taken("reports")(yard)
    assert ready(yard).exit_code == 2


def test_a_password_that_is_missing_is_told(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SEASON_MAIL_PASSWORD")
    assert "There is no password" in wrong(yard)["mail"]


@pytest.mark.parametrize(
    ("state", "week", "said"),
    [
        ("queued", WEEK, "has not gone to"),
        ("queued", "2025-W50", "The next run replaces it"),
        ("refused", WEEK, "was refused for"),
        ("sent", WEEK, ""),
        ("refused", "2025-W50", ""),
    ],
)
def test_letters_that_wait_or_were_refused(yard: Path, state: Any, week: str, said: str) -> None:
    with open_outbox(yard / "outbox") as outbox:
        outbox.put(Letter(week, READER, "", 0, "2025-12-29", b"", state, "550 nobody here" if said else ""))
    found = wrong(yard)
    assert ("outbox" in found) == bool(said) and said in found.get("outbox", "")
    assert ready(yard).exit_code == (4 if said else 0)


def test_a_refusal_that_a_later_letter_made_good_is_none(yard: Path) -> None:
    with open_outbox(yard / "outbox") as outbox:
        outbox.put(Letter(WEEK, READER, "", 0, "2025-12-29", b"", "refused", "550 nobody here"))
        outbox.put(Letter(WEEK, READER, "", 1, "2025-12-29", b"", "sent"))
    assert wrong(yard) == {}


def test_who_runs_it(yard: Path, timed: Callable[..., None]) -> None:
    def found() -> tuple[int, Any]:
        everything = document(yard)
        return everything["exit_code"], next(
            one for one in everything["findings"] if one["subject"] == "timer"
        )

    timed()
    code, timer = found()
    assert (code, timer["state"]) == (4, "wrong")
    assert timer["line"].startswith("17 6 * * * /")
    assert timer["line"].endswith(f"season-engine report --email --workspace {yard}")
    timed(cron_seen=False)
    code, timer = found()
    assert (code, timer["state"], timer["line"][:10]) == (0, "look", "17 6 * * *")
    assert "can't be looked at" in timer["text"]
    timed(TimedRun("crontab -l", "...", yard.parent / "another", True))
    assert found()[0] == 4
    timed(TimedRun("crontab -l", "...", yard, False))
    assert "without --email" in found()[1]["text"]
    timed(TimedRun("/etc/systemd/system/season.service", "...", yard, True, off=True))
    assert "systemctl enable --now season.timer" in found()[1]["mend"]
    timed(TimedRun("crontab -l", "...", None, True))
    assert found()[1]["state"] == "look"


def test_a_clock_that_is_slow_is_noticed_by_files_and_readings(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.utime(yard / "journal.csv", (1_767_400_000, 1_767_400_000))  # 3 January 2026
    assert "journal.csv was written on 2026-01-03" in wrong(yard)["clock"]
    os.utime(yard / "journal.csv", (1_700_000_000, 1_700_000_000))
    monkeypatch.setenv(clock.VARIABLE, "2025-12-20T07:00:00+00:00")
    assert "the readings of nagano go on to 2025-12-29" in wrong(yard)["clock"]


def test_who_is_asked_for_a_forecast_wants_to_reach_the_grower(yard: Path) -> None:
    settings = yard / "season.toml"
    table = '\n[site.forecast]\nsource = "service"\ncontact = "you@example.org"\n'
    replaced("season.toml", "\n[email]", f"{table}\n[email]")(yard)
    log = document(yard)["findings"]
    (contact,) = [one for one in log if one["subject"] == "forecast" and one["state"] == "wrong"]
    assert contact["line"] == 'contact = "..."' and settings.exists()


def test_the_demo_says_that_it_is_one(tmp_path: Path) -> None:
    (only,) = document(tmp_path)["findings"]
    assert (only["subject"], only["state"]) == ("workspace", "wrong")
    assert "the demo's, on invented weather" in only["text"]
    assert ready(tmp_path).exit_code == 2
    assert "No season.toml here" not in ready(tmp_path).stderr, "said once"


def test_invented_weather_is_never_ready(tmp_path: Path, timed: Callable[..., None]) -> None:
    folder = make_workspace(tmp_path / "yard")
    prepared(folder)
    replaced("season.toml", 'source = "logger"\nfile = "nagano.csv"', 'source = "demo"')(folder)
    timed(TimedRun("crontab -l", "...", folder, False))
    assert "invented" in wrong(folder)["weather"]
    assert ready(folder).exit_code == 3
