"""`report --email --preview`: the mails as files to open, the same that would go out; nothing goes."""

from __future__ import annotations

import re
from base64 import b64decode
from collections.abc import Callable
from email import message_from_bytes, policy
from email.message import EmailMessage
from html import unescape
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.delivery.message import preview
from season_engine.report.contents import Report, SiteReport
from season_engine.words.headline import headline
from tests.delivery.server import Mailbox
from tests.delivery.test_message import a_message, html_of, pictures_of
from tests.delivery.yard import MONDAY, READER, SECOND_SITE, WEEK, Yard
from tests.workspaces import PLACE

HIDDEN = re.compile(r'<body[^>]*>\s*<div style="[^"]*display: ?none[^"]*">(.*?)</div>', re.DOTALL)
HELPER = "helper@example.org"


def mail_in(file: Path) -> EmailMessage:
    message = message_from_bytes(file.read_bytes(), policy=policy.default)
    assert isinstance(message, EmailMessage)
    return message


def held(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_each_readers_mail_is_written_and_none_sent(yard_with: Callable[..., Yard], mailbox: Mailbox) -> None:
    more = f'[[email.recipient]]\nto = "{HELPER}"\nsites = ["kagoshima"]\n'
    yard = yard_with(sites=SECOND_SITE, more=more)
    result = yard.run("--preview")
    assert (result.exit_code, result.stderr.count("\n"), mailbox.connections) == (0, 2, 0)
    folder = yard.folder / "reports" / f"{WEEK}-mail"
    assert held(folder) == ["mail-1.eml", "mail-1.html", "mail-2.eml", "mail-2.html"]
    subject = mail_in(folder / "mail-2.eml")["Subject"]
    assert f"{folder / 'mail-2'}.html and .eml, to {HELPER}: {subject}\n" in result.stderr
    assert not (yard.folder / "outbox").exists(), "nothing is queued"
    assert yard.run().exit_code == 0
    for number, to in enumerate((READER, HELPER), 1):
        (sent,) = mailbox.messages(to)
        shown = mail_in(folder / f"mail-{number}.eml")
        assert (sent["To"], sent["Subject"]) == (shown["To"], shown["Subject"])
        assert sent["Message-ID"] == shown["Message-ID"]
        assert html_of(sent) == html_of(shown)


def test_the_page_stands_alone_and_names_the_mail(site_report: SiteReport) -> None:
    report = Report(MONDAY, False, (site_report,))
    message = a_message(site_report)
    page = preview(message, report)
    html5lib.HTMLParser(strict=True).parse(page)
    assert "cid:" not in page
    drawn = [b64decode(data) for data in re.findall(r'src="data:image/png;base64,(.*?)"', page)]
    assert drawn == list(pictures_of(message).values()) and len(drawn) == 1, "the trees' year"
    head = unescape(page[page.index("<body") : page.index("<h1")])
    for text in (READER, message["Subject"], f"beside the subject: {headline(report)}", "nothing was sent"):
        assert text in head


def test_the_first_words_of_the_mail_are_the_headline_unseen(site_report: SiteReport) -> None:
    found = HIDDEN.search(html_of(a_message(site_report)))
    assert found, "the body begins with it"
    assert unescape(found[1]) == headline(Report(MONDAY, False, (site_report,)))


def test_a_new_preview_takes_the_old_ones_place(yard: Yard) -> None:
    yard.run("--preview")
    folder = yard.folder / "reports" / f"{WEEK}-mail"
    (folder / "mail-7.html").write_text("of a reader who is no longer named")
    yard.run("--preview")
    assert held(folder) == ["mail-1.eml", "mail-1.html"]
    index = (yard.folder / "reports" / "index.html").read_text("utf-8")
    assert f"{WEEK}-mail" not in index, "it is no week"


@pytest.mark.parametrize("kind", [".new-x1", ".old"])
def test_what_a_stop_left_behind_is_put_right(yard: Yard, kind: str) -> None:
    yard.run("--preview")
    folder = yard.folder / "reports" / f"{WEEK}-mail"
    folder.rename(folder.with_name(f".{folder.name}{kind}"))
    yard.run()
    assert folder.exists() == (kind == ".old")
    assert not [path for path in folder.parent.iterdir() if path.name.startswith(f".{WEEK}")]


def test_a_dry_run_beside_it_still_asks_the_server(yard: Yard, mailbox: Mailbox) -> None:
    result = yard.run("--preview", "--dry-run")
    assert (result.exit_code, mailbox.logins, mailbox.received) == (0, [True], [])
    assert "mail-1.html" in result.stderr and f"would send to {READER}" in result.stderr


def test_before_there_is_an_account_or_real_weather(tmp_path: Path) -> None:
    """It leaves nobody's machine, so it may be looked at; a run that sends is refused there."""
    CliRunner().invoke(main, ["init", str(tmp_path / "new"), *PLACE, "--tree", "Acer palmatum"])
    call = ["report", "--email", "--workspace", str(tmp_path / "new"), "--on", "2026-04-06"]
    result = CliRunner().invoke(main, [*call, "--preview"])
    assert (result.exit_code, "to nobody yet" in result.stderr) == (0, True)
    (folder,) = (tmp_path / "new" / "reports").glob("*-mail")
    message = mail_in(folder / "mail-1.eml")
    assert "(invented weather)" in message["Subject"]
    assert "(invented weather)" in unescape((folder / "mail-1.html").read_text("utf-8"))
    assert CliRunner().invoke(main, [*call, "--preview", "--dry-run"]).exit_code == 2
