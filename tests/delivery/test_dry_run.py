"""`report --email --dry-run` tries the login: fine, or what to mend; nothing is sent and nobody waits."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import trustme

from tests.delivery.server import PASSWORD, Mailbox, free_port
from tests.delivery.yard import READER, Yard, make_yard

pytestmark = pytest.mark.filterwarnings("ignore:Requiring AUTH")  # of the server, over TLS from the start

YardMaker = Callable[..., Yard]


@pytest.mark.parametrize("security", ["starttls", "tls", "none"])
def test_a_login_that_works_is_told(yard_with: YardMaker, mailbox: Mailbox, security: str) -> None:
    yard = yard_with(security=security)
    result = yard.run("--dry-run")
    assert result.exit_code == 0
    encrypted = "" if security == "none" else ", encrypted"
    assert result.stderr.endswith(f'answers{encrypted}; the login of "grower" is fine\n')
    assert (mailbox.logins, mailbox.received) == ([True], [])
    assert yard.run().exit_code == 0, "the run that sends gets through too"


def test_a_refused_login_says_what_to_look_at_and_never_the_password(
    yard: Yard, mailbox: Mailbox, waits: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SEASON_MAIL_PASSWORD", "wrong-" + PASSWORD)
    result = yard.run("--dry-run")
    assert result.exit_code == 4
    assert f"would send to {READER}" in result.stderr
    assert 'refused the login of "grower" (code 535). Look at the username and the password' in result.stderr
    assert PASSWORD not in result.output + yard.log
    assert (mailbox.received, waits) == ([], [])


def test_a_server_that_is_not_there_is_not_waited_for(
    refusals: object, waits: list[float], tmp_path_factory: pytest.TempPathFactory
) -> None:
    port = free_port()
    result = make_yard(tmp_path_factory.mktemp("away") / "yard", port).run("--dry-run")
    assert result.exit_code == 4
    assert f"localhost, port {port}, can't be reached" in result.stderr
    assert 'Look at "host" and "port"' in result.stderr
    assert waits == []


def test_other_faults_of_the_account(
    yard_with: YardMaker, authority: trustme.CA, mailbox: Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = yard_with(certificate=authority.issue_cert("mail.example.org"))
    result = other.run("--dry-run")
    assert (result.exit_code, mailbox.logins) == (4, [])
    assert "certificate of localhost is not valid" in result.stderr
    assert 'Give as "host" the name that the certificate bears.' in result.stderr
    with monkeypatch.context() as patched:
        patched.setattr("smtplib.SMTP.has_extn", lambda _server, _name: False)
        result = other.run("--dry-run")
    assert (result.exit_code, 'wants security = "tls"' in result.stderr) == (4, True)
    monkeypatch.delenv("SEASON_MAIL_PASSWORD")
    result = other.run("--dry-run")
    assert result.exit_code == 4, "as the run that sends"
    assert "There is no password in the environment variable" in result.stderr


def test_a_folder_alone_asks_no_server(yard_with: YardMaker, mailbox: Mailbox) -> None:
    yard = yard_with()
    path = yard.folder / "season.toml"
    head = path.read_text("utf-8").split("[email]")[0]
    path.write_text(f'{head}[delivery]\nfolder = "copies"\n', "utf-8")
    result = yard.run("--dry-run")
    assert (result.exit_code, result.stderr.count("\n")) == (0, 1)
    assert "would copy it to" in result.stderr
    assert mailbox.connections == 0
