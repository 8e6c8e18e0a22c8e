"""`report --email` as cron sees it: what it says, how it ends, what it leaves behind."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.delivery import lock, log
from season_engine.delivery.lock import one_run_in
from season_engine.delivery.log import LOG, kept_log
from season_engine.errors import DeliveryError, GrowerError
from season_engine.report.contents import Report, SiteReport
from season_engine.words.headline import headline
from tests.delivery.server import PASSWORD, Mailbox
from tests.delivery.yard import MAIL, MONDAY, READER, SECOND_SITE, WEEK, Yard, make_yard
from tests.workspaces import PLACE

YardMaker = Callable[..., Yard]
FILES = {"report.html", "report.json", "report.txt"}


def run_in(folder: Path, *options: str) -> tuple[int, str]:
    result = CliRunner().invoke(main, ["report", "--email", "--workspace", str(folder), *options])
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result.exit_code, result.stderr


def test_nothing_leaves_a_folder_without_a_workspace(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    code, said = run_in(tmp_path / "empty")
    assert (code, said.count("\n")) == (2, 1)
    assert "There is no season.toml here, and the demo is never sent." in said
    assert list((tmp_path / "empty").iterdir()) == []
    assert run_in(tmp_path / "missing")[0] == 2
    (tmp_path / "half").mkdir()
    (tmp_path / "half" / "trees.csv").write_text("id,species,site\n")
    assert run_in(tmp_path / "half")[0] == 2


def test_nothing_leaves_a_yard_with_invented_weather(yard: Yard, mailbox: Mailbox) -> None:
    """One such site among real ones is enough."""
    invented = '[[site]]\nname = "dream"\nlatitude = 50\nlongitude = 10\n[site.weather]\nsource = "demo"\n'
    path = yard.folder / "season.toml"
    path.write_text(path.read_text("utf-8") + invented, "utf-8")
    result = yard.run()
    assert (result.exit_code, result.stderr.count("\n")) == (2, 1)
    assert "season.toml, site.weather.source: The weather of dream is invented" in result.stderr
    assert mailbox.connections == 0
    assert not (yard.folder / "outbox").exists()


def test_a_workspace_fresh_from_init_sends_nothing(tmp_path: Path) -> None:
    CliRunner().invoke(main, ["init", str(tmp_path / "new"), *PLACE])
    settings = tmp_path / "new" / "season.toml"
    mail = MAIL % {"port": 9, "security": "starttls", "to": f'"{READER}"'}
    settings.write_text(settings.read_text("utf-8") + mail, "utf-8")
    code, said = run_in(tmp_path / "new")
    assert (code, "invented" in said) == (2, True)


def test_nobody_named_is_an_error(tmp_path: Path, refusals: object) -> None:
    yard = make_yard(tmp_path / "yard", 9)
    settings = yard.folder / "season.toml"
    settings.write_text(settings.read_text("utf-8").split("[email]")[0], "utf-8")
    result = yard.run()
    assert (result.exit_code, "[email] or a [delivery]" in result.stderr) == (2, True)


@pytest.mark.parametrize("option", ["--again", "--dry-run", "--preview"])
def test_options_of_mail_go_with_mail(option: str) -> None:
    assert CliRunner().invoke(main, ["report", option]).exit_code == 2


def test_a_dry_run_says_who_would_get_what(
    yard_with: YardMaker, mailbox: Mailbox, site_report: SiteReport
) -> None:
    yard = yard_with(to=(READER, "other@example.org"))
    for _ in range(2):
        result = yard.run("--dry-run")
        assert result.exit_code == 0
        told = headline(Report(MONDAY, False, (site_report,)))
        assert f"would send to {READER}: {told}\n" in result.stderr
        assert "would send to other@example.org" in result.stderr
        assert result.stderr.endswith('encrypted; the login of "grower" is fine\n')
    assert (mailbox.logins, mailbox.received) == ([True, True], [])
    yard.run()
    assert f"{READER} has nothing to come" in yard.run("--dry-run").stderr
    assert f"would send to {READER}" in yard.run("--dry-run", "--again").stderr
    assert len(mailbox.received) == 2


def test_one_poor_site_among_several_is_told_inside_and_by_the_exit_code(
    yard_with: YardMaker, mailbox: Mailbox, refusals: dict[str, str]
) -> None:
    yard = yard_with(sites=SECOND_SITE)
    refusals["kagoshima"] = "kagoshima: the last reading is 90 days old."
    result = yard.run()
    assert (result.exit_code, result.stderr) == (3, refusals["kagoshima"] + "\n")
    (message,) = mailbox.messages()
    assert "90 days old" in message.get_body(("plain",)).get_content()
    mailbox.on_recipient[READER] = ["550 no"]
    failed = yard.run("--again")
    assert failed.exit_code == 4  # the graver of the two
    assert refusals["kagoshima"] in failed.stderr and "refused for" in failed.stderr


def test_the_only_site_too_poor_sends_nothing(yard: Yard, mailbox: Mailbox, refusals: dict[str, str]) -> None:
    refusals["nagano"] = "nagano: no weather."
    result = yard.run()
    assert (result.exit_code, result.stderr) == (3, "nagano: no weather.\n")
    assert mailbox.connections == 0
    assert "ERROR nagano: no weather." in yard.log


def test_the_report_is_written_whether_or_not_it_can_be_sent(yard: Yard, mailbox: Mailbox) -> None:
    mailbox.on_sender = ["553 no"]
    assert yard.run().exit_code == 4
    assert {path.name for path in (yard.folder / "reports" / WEEK).iterdir()} >= FILES


def test_json_is_all_that_stands_on_stdout(yard: Yard) -> None:
    result = yard.run("--json", "--verbose")
    assert result.stdout.startswith("{") and result.stdout.endswith("}\n")
    assert "wrote " in result.stderr


class TestFolder:
    def yard(self, yard_with: YardMaker, folder: Path) -> Yard:
        return yard_with(more=f'[delivery]\nfolder = "{folder}"\n')

    def test_a_copy_lies_in_the_folder(self, yard_with: YardMaker, tmp_path: Path) -> None:
        (tmp_path / "shared").mkdir()
        yard = self.yard(yard_with, tmp_path / "shared")
        assert "copied" in yard.run("--verbose").stderr
        assert [path.name for path in (tmp_path / "shared").iterdir()] == [WEEK]
        written = yard.folder / "reports" / WEEK
        for path in written.iterdir():
            assert (tmp_path / "shared" / WEEK / path.name).read_bytes() == path.read_bytes()
        assert "copied" not in yard.run("--verbose").stderr
        assert "copied" in yard.run("--verbose", "--again").stderr

    def test_a_folder_that_is_not_there_is_told_and_tried_again(
        self, yard_with: YardMaker, tmp_path: Path, mailbox: Mailbox
    ) -> None:
        """A share that isn't mounted must not be filled behind its mount's back."""
        yard = self.yard(yard_with, tmp_path / "shared")
        result = yard.run()
        assert (result.exit_code, "There is no such folder" in result.stderr) == (4, True)
        assert not (tmp_path / "shared").exists()
        assert len(mailbox.received) == 1  # the mail has gone all the same
        (tmp_path / "shared").mkdir()
        assert yard.run().exit_code == 0
        assert (tmp_path / "shared" / WEEK / "report.html").exists()
        assert len(mailbox.received) == 1

    def test_it_works_without_mail(self, yard_with: YardMaker, tmp_path: Path, mailbox: Mailbox) -> None:
        (tmp_path / "shared").mkdir()
        yard = self.yard(yard_with, tmp_path / "shared")
        path = yard.folder / "season.toml"
        head, rest = path.read_text("utf-8").split("[email]")
        path.write_text(head + rest[rest.index("[delivery]") :], "utf-8")
        result = yard.run()
        assert (result.exit_code, result.output) == (0, "")
        assert (tmp_path / "shared" / WEEK / "report.txt").exists()
        assert mailbox.connections == 0


def test_the_log_tells_what_went_and_never_the_password(yard: Yard, mailbox: Mailbox) -> None:
    yard.run()
    mailbox.on_recipient[READER] = ["550 no such user"]
    yard.run("--again")
    assert f"INFO sent {WEEK} to {READER}" in yard.log
    assert f"ERROR The report for {WEEK} was refused for {READER}: 550 no such user." in yard.log
    assert PASSWORD not in yard.log
    assert (yard.folder / "reports" / "delivery.log").stat().st_mode & 0o077 == 0


def test_the_log_never_grows_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log, "LARGEST_BYTES", 2000)
    for _ in range(4):
        with kept_log(tmp_path, verbose=False):
            for number in range(60):
                LOG.info("line %d of a long year of weeks", number)
    files = list(tmp_path.glob("delivery.log*"))
    assert len(files) == 1 + log.OLDER_FILES
    assert all(path.stat().st_size <= 2000 and path.stat().st_mode & 0o077 == 0 for path in files)


def test_a_log_that_can_not_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "delivery.log").mkdir()
    with pytest.raises(GrowerError, match="log can't be written"), kept_log(tmp_path, verbose=False):
        pass


def test_a_log_that_fails_later_stops_nothing(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    with kept_log(tmp_path, verbose=False):
        handler = next(one for one in LOG.handlers if isinstance(one, logging.FileHandler))
        handler.stream.close()
        LOG.info("written to a closed file")
    assert capfd.readouterr().err == ""


def test_a_second_run_waits_then_says_so(
    yard: Yard, mailbox: Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "PATIENCE_S", 0.1)
    for held in (yard.folder / "reports", yard.folder / "outbox"):
        with one_run_in(held):
            result = yard.run()
        assert (result.exit_code, result.stderr.count("\n")) == (4, 1)
        assert "Another run of season-engine is at work here" in result.stderr
    assert mailbox.received == []
    assert yard.run().exit_code == 0


def test_two_runs_at_once_send_one_mail(yard: Yard, mailbox: Mailbox) -> None:
    """The second waits for the first, then finds nothing left to do."""
    held, let_go = threading.Event(), threading.Event()

    def first() -> None:
        with one_run_in(yard.folder / "reports"):
            held.set()
            let_go.wait(10)

    thread = threading.Thread(target=first)
    thread.start()
    held.wait(10)
    threading.Timer(0.3, let_go.set).start()
    assert yard.run().exit_code == 0
    thread.join()
    assert yard.run().exit_code == 0
    assert len(mailbox.received) == 1


def test_a_folder_that_can_not_be_held_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(GrowerError) as caught, one_run_in(tmp_path / "file"):
        pass
    assert not isinstance(caught.value, DeliveryError)
