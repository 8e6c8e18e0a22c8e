"""Letters through a real server on this machine, good and bad.

What a code means is from RFC 5321, 4.2.1 (from memory): 4yz may be tried
again, 5yz must not be. Pauses between attempts are our own choice.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from html import escape

import pytest
import trustme

from tests.delivery.server import CUT, HOST, PASSWORD, Mailbox, free_port
from tests.delivery.yard import READER, SENDER, WEEK, Yard, make_yard

pytestmark = pytest.mark.filterwarnings("ignore:Requiring AUTH")  # of the server, over TLS from the start

YardMaker = Callable[..., Yard]
OTHER = "other@example.org"


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_a_report_goes_out_encrypted_and_logged_in(
    yard_with: YardMaker, mailbox: Mailbox, security: str
) -> None:
    yard = yard_with(security=security)
    result = yard.run()
    assert (result.exit_code, result.output) == (0, "")
    assert mailbox.logins == [True]
    (message,) = mailbox.messages()
    assert (message["From"].addresses[0].addr_spec, message["To"]) == (SENDER, READER)
    page = (yard.folder / "reports" / WEEK / "report.html").read_text("utf-8")
    assert f"<h1>{escape(message['Subject'])}</h1>" in page


def test_a_refused_login_is_told_at_once_and_kept_for_the_next_run(
    yard: Yard, mailbox: Mailbox, waits: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server of this test repeats the password in its refusal."""
    monkeypatch.setenv("SEASON_MAIL_PASSWORD", "wrong-" + PASSWORD)
    result = yard.run("--verbose")
    assert result.exit_code == 4
    assert 'refused the login of "grower" (code 535)' in result.stderr
    assert PASSWORD not in result.output + yard.log
    assert (mailbox.logins, waits, mailbox.received) == ([False], [], [])
    monkeypatch.setenv("SEASON_MAIL_PASSWORD", PASSWORD)
    assert yard.run().exit_code == 0
    assert len(mailbox.received) == 1


@pytest.mark.parametrize(
    ("names", "days_ago", "words"),
    [((HOST,), 1, "has expired"), (("mail.example.org",), None, "mismatch")],
)
def test_a_bad_certificate_gets_nothing(
    yard_with: YardMaker,
    authority: trustme.CA,
    mailbox: Mailbox,
    waits: list[float],
    names: tuple[str, ...],
    days_ago: int | None,
    words: str,
) -> None:
    ends = None
    if days_ago is not None:
        ends = dt.datetime.now(dt.UTC) - dt.timedelta(days=days_ago)
    for security in ("starttls", "tls"):
        yard = yard_with(certificate=authority.issue_cert(*names, not_after=ends), security=security)
        result = yard.run()
        assert result.exit_code == 4
        assert result.stderr.count("\n") == 1
        assert "certificate of localhost is not valid" in result.stderr and words in result.stderr
    assert (mailbox.logins, mailbox.received, waits) == ([], [], [])


def test_a_certificate_of_an_unknown_authority_gets_nothing(yard_with: YardMaker, mailbox: Mailbox) -> None:
    result = yard_with(certificate=trustme.CA().issue_cert(HOST)).run()
    assert result.exit_code == 4
    assert "certificate of localhost is not valid" in result.stderr
    assert (mailbox.logins, mailbox.received) == ([], [])


def test_a_server_without_encryption_gets_nothing(
    yard_with: YardMaker, mailbox: Mailbox, waits: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where somebody in between strips the offer."""
    monkeypatch.setattr("smtplib.SMTP.has_extn", lambda _server, _name: False)
    result = yard_with().run()
    assert result.exit_code == 4
    assert "offers no encryption" in result.stderr
    assert (mailbox.logins, mailbox.received, waits) == ([], [], [])


def test_tls_spoken_to_a_port_that_does_not(yard: Yard, mailbox: Mailbox) -> None:
    settings = yard.folder / "season.toml"
    settings.write_text(settings.read_text("utf-8").replace('"starttls"', '"tls"'), "utf-8")
    result = yard.run()
    assert result.exit_code == 4
    assert 'check "port" and "security"' in result.stderr
    assert mailbox.received == []


def test_put_off_then_taken(yard: Yard, mailbox: Mailbox, waits: list[float]) -> None:
    mailbox.on_recipient[READER] = ["451 4.7.1 greylisted, come back in a minute"]
    mailbox.on_data = ["452 4.3.1 no room just now"]
    result = yard.run()
    assert (result.exit_code, result.output) == (0, "")
    assert (len(mailbox.received), waits) == (1, [10, 40])
    assert "greylisted, come back in a minute); trying again in 10 s" in yard.log
    assert "no room just now); trying again in 40 s" in yard.log


def test_put_off_for_good_is_kept_for_the_next_run(yard: Yard, mailbox: Mailbox, waits: list[float]) -> None:
    mailbox.on_recipient[READER] = ["450 4.2.1 later"] * 4
    result = yard.run()
    assert result.exit_code == 4
    assert result.stderr.count("\n") == 1 and "450 4.2.1 later" in result.stderr and READER in result.stderr
    assert (mailbox.received, waits) == ([], [10, 40, 160])
    assert yard.run().exit_code == 0
    assert len(mailbox.received) == 1


@pytest.mark.parametrize("when", ["at_data", "on_data"])
def test_a_connection_cut_in_the_middle_is_tried_again(
    yard: Yard, mailbox: Mailbox, waits: list[float], when: str
) -> None:
    """Before the letter has come, and after it has but before the answer."""
    getattr(mailbox, when).append(CUT)
    result = yard.run()
    assert (result.exit_code, result.output) == (0, "")
    assert (len(mailbox.received), mailbox.connections, waits) == (1, 2, [10])


def test_a_connection_that_is_always_cut(yard: Yard, mailbox: Mailbox, waits: list[float]) -> None:
    mailbox.on_data = [CUT] * 4
    result = yard.run()
    assert result.exit_code == 4
    assert "cut the connection" in result.stderr
    assert (mailbox.connections, len(waits)) == (4, 3)
    assert yard.run().exit_code == 0
    assert len(mailbox.received) == 1


def test_a_refused_reader_keeps_nobody_else_from_theirs(
    yard_with: YardMaker, mailbox: Mailbox, waits: list[float]
) -> None:
    yard = yard_with(to=(READER, OTHER))
    mailbox.on_recipient[READER] = ["550 5.1.1 no such user"]
    first = yard.run()
    assert first.exit_code == 4
    assert first.stderr.count("\n") == 1
    assert f"refused for {READER}: 550 5.1.1 no such user." in first.stderr
    assert ([to for to, _ in mailbox.received], waits) == ([OTHER], [])
    second = yard.run()  # the refusal is final, and said again
    assert (second.exit_code, second.stderr) == (4, first.stderr)
    assert (mailbox.connections, len(mailbox.received)) == (1, 1)
    assert yard.run("--again").exit_code == 0
    assert [to for to, _ in mailbox.received] == [OTHER, READER, OTHER]


def test_a_refused_letter_is_not_sent_again(yard: Yard, mailbox: Mailbox, waits: list[float]) -> None:
    mailbox.on_data = ["554 5.7.1 content not wanted"]
    assert "554 5.7.1 content not wanted" in yard.run().stderr
    assert yard.run().exit_code == 4
    assert (mailbox.connections, mailbox.received, waits) == (1, [], [])


def test_a_refused_sender_is_the_growers_to_mend(yard: Yard, mailbox: Mailbox, waits: list[float]) -> None:
    mailbox.on_sender = ["553 5.7.1 not your address"]
    result = yard.run()
    assert result.exit_code == 4
    assert f'refused the sender "{SENDER}" (553 5.7.1 not your address)' in result.stderr
    assert waits == []
    assert yard.run().exit_code == 0


def test_a_server_that_closes_between_two_letters(
    yard_with: YardMaker, mailbox: Mailbox, waits: list[float]
) -> None:
    yard = yard_with(to=(READER, OTHER))
    mailbox.on_recipient[OTHER] = ["421 4.3.2 closing down"]
    assert yard.run().exit_code == 0
    assert sorted(to for to, _ in mailbox.received) == [READER, OTHER]
    assert waits == [10]


def test_a_server_that_is_not_there(
    yard_with: YardMaker, waits: list[float], tmp_path_factory: pytest.TempPathFactory
) -> None:
    port = free_port()
    result = make_yard(tmp_path_factory.mktemp("away") / "yard", port).run()
    assert result.exit_code == 4
    assert f"localhost, port {port}, can't be reached" in result.stderr
    assert len(waits) == 3


def test_plain_mail_to_this_machine(refusals: object, mailbox: Mailbox, yard_with: YardMaker) -> None:
    """A relay on the machine itself needs no encryption."""
    assert yard_with(security="none").run().exit_code == 0
    assert len(mailbox.received) == 1


def test_no_password_says_where_it_belongs(
    yard: Yard, mailbox: Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("SEASON_MAIL_PASSWORD")
    result = yard.run()
    assert result.exit_code == 4
    assert 'no password in the environment variable "SEASON_MAIL_PASSWORD"' in result.stderr
    assert mailbox.connections == 0


def test_the_password_may_stand_in_a_file(
    yard: Yard, mailbox: Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("SEASON_MAIL_PASSWORD")
    settings = yard.folder / "season.toml"
    text = settings.read_text("utf-8").replace(
        'password_env = "SEASON_MAIL_PASSWORD"', 'password_file = "mail-password"'
    )
    settings.write_text(text, "utf-8")
    missing = yard.run()
    assert (missing.exit_code, "mail-password" in missing.stderr) == (4, True)
    (yard.folder / "mail-password").write_text("pässword\n", "utf-8")
    odd = yard.run()
    assert (odd.exit_code, "pässword" in odd.output + yard.log) == (4, False)
    (yard.folder / "mail-password").write_text(PASSWORD + "\n", "utf-8")
    assert yard.run().exit_code == 0
    assert (mailbox.logins, len(mailbox.received)) == ([True], 1)
    assert PASSWORD not in yard.log
