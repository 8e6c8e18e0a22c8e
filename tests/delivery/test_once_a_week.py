"""Each week's report once to each reader, whatever happens in between."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from email.message import EmailMessage
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.delivery import deliver as module
from season_engine.delivery.deliver import Delivery, deliver
from season_engine.delivery.outbox import Letter, Outbox, open_outbox
from season_engine.errors import DeliveryError
from season_engine.report.contents import Report, SiteReport
from season_engine.workspace.workspace import Workspace, load_workspace
from tests.delivery.server import Mailbox
from tests.delivery.yard import MONDAY, READER, SECOND_SITE, WEEK, Yard, make_yard

DAY = dt.timedelta(days=1)
OTHER = "other@example.org"


def states(yard: Yard) -> dict[tuple[str, str], str]:
    with open_outbox(yard.folder / "outbox") as outbox:
        rows = outbox._letters("1 ORDER BY again")
    return {(one.week, one.addressee): one.state for one in rows}


def week_of(message: EmailMessage) -> str:
    """Its headline tells of the work; the week stands in its id."""
    return str(message["Message-ID"])[1:9]


def test_every_day_of_a_week_sends_one(yard: Yard, mailbox: Mailbox) -> None:
    results = [yard.run(on=MONDAY + day * DAY) for day in range(8)]
    assert [(result.exit_code, result.output) for result in results] == [(0, "")] * 8
    assert [week_of(message) for message in mailbox.messages()] == ["2022-W15", "2022-W16"]
    assert len({message["Message-ID"] for message in mailbox.messages()}) == 2


def test_a_second_run_says_that_it_has_gone_only_where_asked(yard: Yard, mailbox: Mailbox) -> None:
    assert f"sent {WEEK} to {READER}" in yard.run("--verbose").stderr
    assert yard.run().output == ""
    assert f"{WEEK} has gone to {READER} already" in yard.run("--verbose").stderr
    assert len(mailbox.received) == 1


def test_a_missed_monday_is_caught_up_on_any_day_of_the_week(yard: Yard, mailbox: Mailbox) -> None:
    yard.run(on=MONDAY + 4 * DAY)
    (message,) = mailbox.messages()
    assert "Fri 15 Apr 2022" in message.get_body(("plain",)).get_content()


def test_again_sends_a_new_mail(yard: Yard, mailbox: Mailbox) -> None:
    for options in ((), ("--again",), (), ("--again",)):
        assert yard.run(*options).exit_code == 0
    assert len({message["Message-ID"] for message in mailbox.messages()}) == len(mailbox.received) == 3


def test_a_run_stopped_before_the_record_sends_the_very_same_mail(
    yard: Yard, mailbox: Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The one moment that can't be closed: the server has taken it, and we haven't written that down."""

    def stop(*_arguments: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as stopped:
        stopped.setattr(Outbox, "settle", stop)
        assert yard.run().exit_code == 1  # as Ctrl-C ends a command
    assert states(yard) == {(WEEK, READER): "queued"}
    assert yard.run().exit_code == 0
    (_, first), (_, second) = mailbox.received
    assert first == second


def test_a_mail_left_over_from_yesterday_is_written_anew_under_its_id(yard: Yard, mailbox: Mailbox) -> None:
    mailbox.on_sender = ["553 not now"]
    assert yard.run().exit_code == 4
    with open_outbox(yard.folder / "outbox") as outbox:
        (kept,) = outbox.queued()
    assert yard.run(on=MONDAY + DAY).exit_code == 0
    (message,) = mailbox.messages()
    assert message["Message-ID"].encode() in kept.message
    assert b"11 Apr 2022" in kept.message
    assert "Tue 12 Apr 2022" in message.get_body(("plain",)).get_content()


def test_last_weeks_report_gives_way_to_this_weeks(yard: Yard, mailbox: Mailbox) -> None:
    mailbox.on_sender = ["553 not now"]
    assert yard.run().exit_code == 4
    later = yard.run("--verbose", on=MONDAY + 7 * DAY)
    assert later.exit_code == 0
    assert f"{WEEK} for {READER} never got through: replaced by the report for 2022-W16" in later.stderr
    assert [week_of(message) for message in mailbox.messages()] == ["2022-W16"]
    assert states(yard) == {(WEEK, READER): "dropped", ("2022-W16", READER): "sent"}


def test_a_reader_taken_out_of_the_settings_gets_nothing_more(yard: Yard, mailbox: Mailbox) -> None:
    mailbox.on_sender = ["553 not now"]
    assert yard.run().exit_code == 4
    path = yard.folder / "season.toml"
    text = path.read_text("utf-8")
    path.write_text(text.replace(READER, OTHER), "utf-8")
    assert yard.run().exit_code == 0
    assert [to for to, _ in mailbox.received] == [OTHER]
    path.write_text(text, "utf-8")  # and back again: now it goes
    assert yard.run().exit_code == 0
    assert [to for to, _ in mailbox.received] == [OTHER, READER]


def test_sites_asked_for_by_name_are_a_mail_of_their_own(
    yard_with: Callable[..., Yard], mailbox: Mailbox
) -> None:
    yard = yard_with(sites=SECOND_SITE)
    for _ in range(2):
        assert yard.run("--site", "kagoshima").exit_code == 0
        assert yard.run().exit_code == 0
    told = [message.get_body(("plain",)).get_content() for message in mailbox.messages()]
    named = [[name for name in ("nagano", "kagoshima") if name in text.casefold()] for text in told]
    assert named == [["kagoshima"], ["nagano", "kagoshima"]]


def test_a_record_that_is_broken_is_told_and_nothing_is_sent(yard: Yard, mailbox: Mailbox) -> None:
    (yard.folder / "outbox").mkdir()
    (yard.folder / "outbox" / "outbox.sqlite").write_bytes(b"not a database, but long enough to look" * 99)
    result = yard.run()
    assert result.exit_code == 4
    assert "outbox.sqlite: The record of what has been sent can't be used" in result.stderr
    assert mailbox.connections == 0


def test_a_record_stays_private_and_small(yard: Yard) -> None:
    yard.run()
    folder = yard.folder / "outbox"
    assert folder.stat().st_mode & 0o077 == 0
    with sqlite3.connect(folder / "outbox.sqlite") as database:
        assert database.execute("SELECT state, length(message) FROM letter").fetchall() == [("sent", 0)]


class Faulty:
    """A way out that fails as it is told to: each answer is for one letter of one attempt."""

    def __init__(self, answers: list[str]) -> None:
        self.answers = answers
        self.accepted: list[tuple[str, bytes]] = []

    def __call__(self, _settings: Any, _password: Any, letters: list[Letter], settle: Any) -> Any:
        left = []
        for letter in letters:
            answer = self.answers.pop(0) if self.answers else "take"
            if answer == "take":
                self.accepted.append((letter.addressee, letter.message))
                settle(letter, "")
            elif answer == "refuse":
                settle(letter, "550 no")
            elif answer == "stop":
                raise KeyboardInterrupt
            elif answer == "take and stop":
                self.accepted.append((letter.addressee, letter.message))
                raise KeyboardInterrupt
            else:
                left.append(letter)
        return left, "later" if left else ""


@pytest.fixture(scope="module")
def two_readers(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    yard = make_yard(tmp_path_factory.mktemp("two") / "yard", 9, to=(READER, OTHER))
    return load_workspace(yard.folder)


@given(
    days=st.lists(st.integers(0, 4), min_size=1, max_size=6),
    answers=st.lists(st.sampled_from(["take", "refuse", "later", "stop", "take and stop"]), max_size=12),
)
@settings(max_examples=20)
def test_whatever_happens_each_mail_is_known_by_its_id(
    two_readers: Workspace, tmp_path_factory: pytest.TempPathFactory, days: list[int], answers: list[str]
) -> None:
    """Runs stopped and refused in any order: one id a week and reader, repeated only by a stop."""
    workspace = replace(two_readers, folder=tmp_path_factory.mktemp("yard"))
    refused = SiteReport(workspace.sites[0].site, None, refusal="No weather.")
    way_out, on = Faulty(list(answers)), MONDAY
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SEASON_MAIL_PASSWORD", "x")
        patch.setattr(module, "send", way_out)
        for step in days:
            on += step * DAY
            now = dt.datetime(on.year, on.month, on.day, tzinfo=dt.UTC)
            with suppress(DeliveryError, KeyboardInterrupt):
                deliver(Delivery(workspace, Report(on, False, (refused,)), workspace.folder, now))
    ids = Counter(
        (to, message_id[:9], message_id)
        for to, content in way_out.accepted
        for message_id in [content.split(b"Message-ID: <")[1].split(b">")[0].decode()]
    )
    assert len({(to, week) for to, week, _ in ids}) == len(ids)
    assert ids.total() - len(ids) <= answers.count("take and stop")
    if not answers:
        weeks = {(MONDAY + sum(days[: n + 1]) * DAY).isocalendar()[:2] for n in range(len(days))}
        assert ids.total() == 2 * len(weeks)


def test_an_outbox_of_another_time_is_read(tmp_path: Path) -> None:
    letter = Letter("2022-W15", READER, "", 0, "2022-04-11", b"x")
    with open_outbox(tmp_path) as outbox:
        outbox.put(letter)
    with open_outbox(tmp_path) as outbox:
        assert outbox.queued() == [letter]
        outbox.settle(letter, "refused", "550 no")
        assert outbox.queued() == []
        last = outbox.last("2022-W15", READER, "")
    assert last is not None and (last.state, last.note, last.message) == ("refused", "550 no", b"")
