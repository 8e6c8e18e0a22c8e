"""`batch`: windows of thousands of sites, as a Parquet dataset."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from season_engine.commands import options
from season_engine.commands.backtest import lead_weeks, nothing_to_test
from season_engine.commands.shape import Command
from season_engine.errors import GrowerError
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR

if TYPE_CHECKING:
    from season_engine.batch.asked import Asked
    from season_engine.batch.folder import RunFolder
    from season_engine.batch.run import Left, Plan, ScorePlan
    from season_engine.batch.work import Work
    from season_engine.site import Site

BLOCK_SITES = 200
MOST_NAMED = 20  # refused sites
SCORES = "_backtest.json"  # which readers of a dataset pass over


@click.command(
    "batch",
    cls=Command,
    examples=(
        'season-engine batch --sites yards.csv --weather readings --species "Acer palmatum" '
        "--jobs repotting --out windows",
    ),
)
@click.option(
    "--sites",
    "sites_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="CSV file: site, latitude, longitude, elevation_m. Without it, each cell of a grid is a site.",
)
@click.option("--weather", required=True, help="Folder of CSV or Parquet files, Parquet dataset, or grid.")
@click.option("--species", multiple=True, help="A species; may be repeated.")
@click.option("--jobs", multiple=True, help="A job; may be repeated.")
@click.option(
    "--catalogue",
    "own_files",
    multiple=True,
    type=click.Path(dir_okay=False, path_type=Path),
    help="Your own catalogue.toml over the package's species; may be repeated.",
)
@click.option("--out", required=True, help="Folder for the dataset.")
@click.option("--block-sites", type=click.IntRange(1), default=BLOCK_SITES, show_default=True)
@click.option("--workers", type=click.IntRange(1), help="Processes to use (default: one a processor).")
@click.option("--scheduler", help="Address of a Dask scheduler, whose workers are used instead.")
@click.option("--backtest", is_flag=True, help="Instead, say how good the dates would have been.")
@click.option(
    "--events",
    type=click.Path(dir_okay=False, path_type=Path),
    help="With --backtest. CSV file: site, species, bbch, date.",
)
@click.option(
    "--train-until",
    type=click.IntRange(FIRST_YEAR, LAST_YEAR),
    help="With --backtest: forecast the seasons that end after this year.",
)
@click.option(
    "--lead-weeks",
    callback=lead_weeks,
    default="6,4,2,1,0",
    show_default=True,
    help="With --backtest: forecast so many weeks before the usual date.",
)
@options.on_day
def command(
    sites_file: Path | None,
    weather: str,
    species: tuple[str, ...],
    jobs: tuple[str, ...],
    own_files: tuple[Path, ...],
    out: str,
    block_sites: int,
    workers: int | None,
    scheduler: str | None,
    backtest: bool,
    events: Path | None,
    train_until: int | None,
    lead_weeks: tuple[float, ...],
    on: dt.date,
) -> None:
    """Judge windows of many sites, a row a site, species, job and window.

    Sites that can't be judged are listed with the reason. A run that was stopped goes on where it stopped
    when it is asked again, and refuses where anything differs from what it began with.
    """
    from season_engine.batch.folder import RunFolder
    from season_engine.batch.scores import score_block
    from season_engine.batch.work import do_block

    _need_libraries()
    folder = RunFolder(out)
    if backtest:
        if sites_file is None or events is None or train_until is None or any((species, jobs, own_files)):
            raise click.UsageError(
                "--backtest takes --sites, --events and --train-until, and no species, jobs and catalogue."
            )
        scored = _score_plan(sites_file, weather, events, train_until, lead_weeks, on, block_sites)
        _do(scored, folder, workers, scheduler, score_block)
        _tell_scores(folder, scored)
        return
    if events is not None or train_until is not None:
        raise click.UsageError("--events and --train-until go with --backtest.")
    if not species or not jobs:
        raise click.UsageError("name species with --species and jobs with --jobs.")
    plan = _plan(sites_file, weather, _question(species, jobs, on, own_files), block_sites)
    _do(plan, folder, workers, scheduler, do_block)
    _tell_refused(folder, plan)


def _do(plan: Plan, folder: RunFolder, workers: int | None, scheduler: str | None, work: Work) -> None:
    """Do the blocks that don't stand yet; raises GrowerError where some are left in the end."""
    from season_engine.batch.machines import machines
    from season_engine.batch.run import outstanding, run
    from season_engine.commands.batch_progress import Pace

    with folder.alone():
        tasks = outstanding(plan, folder)
        if len(tasks) < plan.blocks:
            click.echo(f"{plan.blocks - len(tasks)} of {plan.blocks} blocks are done already.", err=True)
        if tasks:
            count = min(workers or os.cpu_count() or 1, len(tasks))
            with machines(count, scheduler) as workforce, Pace() as pace:
                _tell_left(run(tasks, workforce, pace.show, work))


def _need_libraries() -> None:
    from importlib.util import find_spec

    for name in ("fsspec", "numba", "pyarrow"):
        if find_spec(name) is None:
            raise GrowerError(
                f"many sites at once take {name}, which is not installed here.",
                hint='Install the program anew with its extra "batch"; for grids and clusters, "cluster".',
            )


def _question(
    species: tuple[str, ...], jobs: tuple[str, ...], on: dt.date, own_files: tuple[Path, ...]
) -> Asked:
    from season_engine.batch.asked import asked
    from season_engine.files.text import read_text
    from season_engine.files.toml_lines import TomlText

    own = tuple(TomlText(str(file), read_text(file)) for file in own_files)
    question, without = asked(species, jobs, on, own)
    for job, kind in without:
        click.echo(f"{kind} has no window for {job}: left out.", err=True)
    return question


def _plan(sites_file: Path | None, weather: str, question: Asked, block_sites: int) -> Plan:
    from season_engine.batch.run import Plan
    from season_engine.batch.sites_file import read_batch_sites
    from season_engine.batch.sources.chosen import source_at
    from season_engine.batch.sources.grid import Grid
    from season_engine.batch.stamp import of_run

    source = source_at(weather)
    sites: tuple[Site, ...] | range
    if sites_file is not None:
        sites, written = read_batch_sites(sites_file), sites_file.read_bytes()
    elif isinstance(source, Grid):
        sites, written = range(source.cell_count()), b""
    else:
        raise click.UsageError("--sites names the places of these readings; only a grid goes without.")
    return Plan(
        question, source, sites, block_sites, of_run(question, block_sites, written, source.files(), "")
    )


def _score_plan(
    sites_file: Path,
    weather: str,
    events_file: Path,
    train_until: int,
    lead_weeks: tuple[float, ...],
    on: dt.date,
    block_sites: int,
) -> ScorePlan:
    from season_engine.batch.asked import Asked, catalogue_here
    from season_engine.batch.run import ScorePlan
    from season_engine.batch.scores import Scoring, usable_rules
    from season_engine.batch.sites_file import read_batch_sites
    from season_engine.batch.sources.chosen import source_at
    from season_engine.batch.stamp import digest, of_run
    from season_engine.verify.station_files import read_events
    from season_engine.words.backtest_notes import backtest_note_text

    sites = read_batch_sites(sites_file)
    sightings, notes = read_events(events_file, {site.name: site for site in sites})
    for note in notes:
        click.echo(backtest_note_text(note), err=True)
    seen = {sighting.event for sighting in sightings}
    rules = usable_rules(seen, train_until, catalogue_here())
    for event in sorted(seen - set(rules)):
        told = "no rule of the catalogue that has seen no later year: left out"
        click.echo(f"{event.species}, BBCH {event.bbch:02d}: {told}.", err=True)
    source, asked = source_at(weather), Asked((), (), on)
    scoring = Scoring(train_until, lead_weeks)
    told = f"{scoring} {digest(events_file.read_bytes())}"
    stamp = of_run(asked, block_sites, sites_file.read_bytes(), source.files(), told)
    return ScorePlan(asked, source, sites, block_sites, stamp, tuple(sightings), scoring)


def _tell_scores(folder: RunFolder, plan: ScorePlan) -> None:
    """Print the pooled scores, and keep them as JSON beside the blocks."""
    from season_engine.batch.scores import cases_in, schema
    from season_engine.documents.backtest import backtest_document
    from season_engine.documents.model import json_text
    from season_engine.prints.backtest import backtest_text

    table = folder.table(plan.blocks, schema().names)
    for row in table.select(["site", "refusal"]).to_pylist():
        if row["refusal"] is not None:
            click.echo(f"{row['site']}: {row['refusal']}", err=True)
    cases, until = [*cases_in(table)], plan.scoring.train_until
    if not cases:
        raise nothing_to_test(until)
    folder.write(SCORES, json_text(backtest_document(cases, until, None)).encode())
    click.echo(backtest_text(cases, until, None), nl=False)


def _tell_left(left: Left | None) -> None:
    if left is None:
        return
    from season_engine.commands.own_fault import refusal

    error = left.error
    known = error if isinstance(error, GrowerError) else refusal(error)
    why = str(known) if known else f"{type(error).__name__}: {error}"
    raise GrowerError(
        f"not all blocks could be done. {why}", hint="Those that stand are kept: ask again to go on."
    )


def _tell_refused(folder: RunFolder, plan: Plan) -> None:
    """Tell of the sites that could not be judged, and of how many could."""
    table = folder.table(plan.blocks, ["site", "refusal"])
    refused = [row for row in table.to_pylist() if row["refusal"] is not None]
    judged = len(set(table["site"].to_pylist())) - len(refused)
    for row in refused[:MOST_NAMED]:
        click.echo(f"{row['site']}: {row['refusal']}", err=True)
    if len(refused) > MOST_NAMED:
        click.echo(f"and {len(refused) - MOST_NAMED} more, in the column refusal.", err=True)
    told = f"{judged} sites judged, {len(refused)} refused"
    without = len(plan.sites) - judged - len(refused)
    told += f", {without} cells without any reading (sea, say) left out" if without else ""
    click.echo(f"{told}: {folder.path}", err=True)
