"""`backtest`: how good the forecasts would have been."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from season_engine.commands import options
from season_engine.commands.out_file import write_out
from season_engine.commands.progress import Progress
from season_engine.commands.shape import Command
from season_engine.errors import GrowerError
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR
from season_engine.locale import ENGLISH

if TYPE_CHECKING:
    from season_engine.verify.cases import Case
    from season_engine.verify.station_files import Event
    from season_engine.workspace.workspace import SiteEntry, Workspace

MOST_WEEKS = 40


def lead_weeks(_ctx: click.Context, option: click.Parameter, value: str) -> tuple[float, ...]:
    """Weeks as a list with commas between."""
    try:
        leads = [float(part) for part in value.split(",")]
    except ValueError:
        leads = []
    if not leads or not all(0 <= lead <= MOST_WEEKS for lead in leads) or len(set(leads)) < len(leads):
        message = f'"{value}" is no list of weeks from 0 to {MOST_WEEKS}; write it as 6,4,2,1,0.'
        raise click.BadParameter(message, param=option)
    return tuple(leads)


def _file(name: str, text: str) -> Callable[[Any], Any]:
    return click.option(name, type=click.Path(dir_okay=False, path_type=Path), help=text)


@click.command(
    "backtest",
    cls=Command,
    examples=(
        "season-engine backtest --own",
        "season-engine backtest --site my-yard --lead-weeks 2",
        "season-engine backtest --sites sites.csv --weather weather.csv.gz --events events.csv "
        "--train-until 2005 --lead-weeks 2",
    ),
)
@_file("--sites", "CSV file: site, latitude, longitude, elevation.")
@_file("--weather", "CSV file, may be gzipped: site, date, tmin, tmax (degC).")
@_file("--events", "CSV file: site, species, bbch, date. Without it, windows of your own sites.")
@click.option(
    "--train-until",
    type=click.IntRange(FIRST_YEAR, LAST_YEAR),
    help="Forecast the seasons that end after this year, by rules that have seen none of them.",
)
@click.option(
    "--log-years",
    type=click.IntRange(0),
    help="Let a forecast learn from so many of its site's own last dates (default: all).",
)
@click.option(
    "--lead-weeks",
    callback=lead_weeks,
    default="6,4,2,1,0",
    show_default=True,
    help="Forecast so many weeks before the usual date.",
)
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for JSON, CSV, pictures."
)
@click.option("--own", is_flag=True, help="Score what your past reports said against what then came.")
@click.option("--jobs", type=click.IntRange(1), help="Processes to use (default: one a processor).")
@options.some_sites
@options.workspace_folder
@options.on_day
@options.as_json
def command(
    sites: Path | None,
    weather: Path | None,
    events: Path | None,
    train_until: int | None,
    log_years: int | None,
    lead_weeks: tuple[float, ...],
    out: Path | None,
    own: bool,
    jobs: int | None,
    site_names: tuple[str, ...],
    folder: Path,
    on: dt.date,
    as_json: bool,
) -> None:
    """Forecast past seasons from what was known then, and hold that against what came.

    With --sites, --weather, --events and --train-until: dated events of many stations after a year, by the
    catalogue's rules; where it has none, or one that has seen later years, by a rule fitted on those before.
    Without them: when the windows of your own sites opened in the last ten seasons, as it was foreseen, and
    as the whole season's weather gave it with a chance of the rules' own error. With --own: what the weekly
    reports really said, against your notes or the season's whole weather.
    """
    of_stations = [option is not None for option in (sites, weather, events, train_until)]
    if own and any((*of_stations, log_years is not None)):
        raise click.UsageError("--own is about your own reports; it takes no files of stations.")
    if log_years is not None and not any(of_stations):
        raise click.UsageError("--log-years goes with --events.")
    if own:
        _own_reports(folder, site_names, on, out, as_json=as_json)
        return
    jobs = jobs or os.cpu_count() or 1
    invented = False
    fitted: frozenset[Event] = frozenset()
    if events is None and sites is None and weather is None and train_until is None:
        workspace = options.open_workspace(folder)
        entries = options.the_sites(workspace, site_names)
        invented = any(entry.invented for entry in entries)
        cases = _own_windows(workspace, entries, on, lead_weeks, jobs)
    elif events is None or sites is None or weather is None or train_until is None:
        raise click.UsageError("--sites, --weather, --events and --train-until go together.")
    elif site_names:
        raise click.UsageError("--site is for a workspace; stations are listed in --sites.")
    else:
        cases, fitted = _stations(sites, weather, events, train_until, log_years, lead_weeks, jobs)
    _print(cases, train_until, log_years, fitted, out, as_json=as_json, invented=invented)


def _stations(
    sites: Path,
    weather: Path,
    events: Path,
    train_until: int,
    log_years: int | None,
    lead_weeks: Sequence[float],
    jobs: int,
) -> tuple[Sequence[Case], frozenset[Event]]:
    """Cases, and the events whose rule was fitted for this."""
    from season_engine.species.catalogue import load_catalogue
    from season_engine.verify.backtest import backtest
    from season_engine.verify.observations import read_observations
    from season_engine.verify.rules import rules_for
    from season_engine.words.backtest_notes import backtest_note_text

    observations = read_observations(sites, weather, events, train_until)
    with Progress("Fitting rules") as bar:
        rules = rules_for(observations, train_until, load_catalogue(), jobs=jobs, progress=bar.show)
    with Progress("Looking back") as bar:
        found = backtest(
            observations,
            train_until,
            lead_weeks,
            rules.of_events,
            log_years=log_years,
            jobs=jobs,
            progress=bar.show,
        )
    for note in (*found.notes, *rules.notes):
        click.echo(backtest_note_text(note), err=True)
    if not found.cases:
        raise nothing_to_test(train_until)
    return found.cases, rules.fitted


def nothing_to_test(train_until: int) -> GrowerError:
    """That no season after a year can be tested."""
    return GrowerError(
        f"no season after {train_until} can be tested.",
        hint="Each needs a date, five earlier ones at its site, and five years of temperatures before.",
    )


def _own_windows(
    workspace: Workspace,
    entries: Sequence[SiteEntry],
    on: dt.date,
    lead_weeks: Sequence[float],
    jobs: int,
) -> Sequence[Case]:
    from season_engine.commands.looking_back import hindcast_windows

    with Progress("Looking back") as bar:
        cases = hindcast_windows(workspace, entries, on, lead_weeks, jobs=jobs, progress=bar.show)
    if not cases:
        raise GrowerError(
            "no past season of these sites can be forecast.", hint="It takes more than ten years of weather."
        )
    return cases


def _own_reports(
    folder: Path, site_names: tuple[str, ...], on: dt.date, out: Path | None, *, as_json: bool
) -> None:
    from season_engine.commands.looking_back import own_reports
    from season_engine.documents.backtest import own_document
    from season_engine.documents.backtest_csv import own_cases_csv
    from season_engine.documents.model import json_text
    from season_engine.prints.own_reports import own_text
    from season_engine.words.speech import speaking

    workspace = options.open_workspace(folder)
    with Progress("Looking back"):
        found = own_reports(workspace, options.the_sites(workspace, site_names), on)
    document = json_text(own_document(found))
    if out is not None:
        _write_files(out, {"backtest.json": document, "cases.csv": own_cases_csv(found.outcomes)})
    with speaking(ENGLISH, workspace.units):
        click.echo(document if as_json else own_text(found), nl=False)


def _print(
    cases: Sequence[Case],
    train_until: int | None,
    log_years: int | None,
    fitted: frozenset[Event],
    out: Path | None,
    *,
    as_json: bool,
    invented: bool,
) -> None:
    from season_engine.documents.backtest import backtest_document
    from season_engine.documents.model import json_text
    from season_engine.prints.backtest import backtest_text

    document = json_text(backtest_document(cases, train_until, log_years, fitted=fitted, invented=invented))
    if out is not None:
        _write(out, document, cases, invented=invented)
    text = document
    if not as_json:
        text = backtest_text(cases, train_until, log_years, fitted=fitted, invented=invented)
    click.echo(text, nl=False)


def _write(out: Path, document: str, cases: Sequence[Case], *, invented: bool) -> None:
    from season_engine.delivery.pictures import png
    from season_engine.documents.backtest_csv import cases_csv
    from season_engine.pages.pictures.backtest_charts import reliability_chart, skill_chart

    contents: dict[str, str | bytes] = {
        "backtest.json": document,
        "cases.csv": cases_csv(cases),
        "skill.png": png(skill_chart(cases, invented=invented)),
        "reliability.png": png(reliability_chart(cases, invented=invented)),
    }
    _write_files(out, contents)


def _write_files(out: Path, contents: Mapping[str, str | bytes]) -> None:
    for name, content in contents.items():
        write_out(out / name, content, asked=out)
