"""A grower's yard with a mail account, and `season-engine report` run in it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.pipeline import make_report
from season_engine.report.contents import Report, SiteReport
from season_engine.workspace.workspace import SiteEntry, Workspace, load_workspace
from tests.delivery.server import HOST, USER
from tests.workspaces import SINCE, copy_station, make_workspace

MONDAY = dt.date(2022, 4, 11)
WEEK = "2022-W15"
READER = "grower@example.org"
SENDER = "yard@example.org"

MAIL = f"""
[email]
host = "{HOST}"
port = %(port)d
security = "%(security)s"
username = "{USER}"
password_env = "SEASON_MAIL_PASSWORD"
from = "{SENDER}"
to = [%(to)s]
"""
SECOND_SITE = """
[[site]]
name = "kagoshima"
latitude = 31.55
longitude = 130.55
[site.weather]
source = "logger"
file = "kagoshima.csv"
"""


@dataclass(frozen=True)
class Yard:
    folder: Path

    def run(self, *options: str, on: dt.date = MONDAY) -> Result:
        """`report --email` on a day; a traceback fails the test."""
        arguments = ["report", "--email", "--workspace", str(self.folder), "--on", on.isoformat(), *options]
        result = CliRunner().invoke(main, arguments)
        assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
        return result

    @property
    def log(self) -> str:
        return (self.folder / "reports" / "delivery.log").read_text("utf-8")


def make_yard(
    folder: Path,
    port: int,
    *,
    to: tuple[str, ...] = (READER,),
    security: str = "starttls",
    more: str = "",
    sites: str = "",
    since: str = SINCE,
) -> Yard:
    make_workspace(folder, since=since)
    if sites:
        copy_station("kagoshima", folder, since)
    settings = folder / "season.toml"
    names = ", ".join(f'"{name}"' for name in to)
    mail = MAIL % {"port": port, "security": security, "to": names}
    settings.write_text(settings.read_text("utf-8") + sites + mail + more, "utf-8")
    return Yard(folder)


def told_at_once(monkeypatch: pytest.MonkeyPatch, known: SiteReport, refusals: dict[str, str]) -> None:
    """Let the command use a report worked out before, in place of seconds of reckoning."""

    def at_once(workspace: Workspace, entries: list[SiteEntry], on: dt.date) -> Report:
        sites = []
        for entry in entries:
            refusal = refusals.get(entry.site.name)
            own = replace(known, site=entry.site)
            sites.append(SiteReport(entry.site, None, refusal=refusal) if refusal else own)
        return Report(on, workspace.demo, tuple(sites))

    monkeypatch.setattr("season_engine.commands.report_run.make_report", at_once)


def real_site_report(folder: Path) -> SiteReport:
    """One site's report as the engine works it out."""
    workspace = load_workspace(make_workspace(folder))
    return make_report(workspace, workspace.sites, MONDAY).sites[0]
