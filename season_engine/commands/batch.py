"""`batch`: windows of thousands of sites, as a Parquet dataset."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from season_engine.commands import options
from season_engine.errors import GrowerError

if TYPE_CHECKING:
    from season_engine.batch.folder import RunFolder
    from season_engine.batch.run import Left, Plan
    from season_engine.site import Site

BLOCK_SITES = 200
MOST_NAMED = 20  # refused sites


@click.command("batch")
@click.option(
    "--sites",
    "sites_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="CSV file: site, latitude, longitude, elevation_m. Without it, each cell of a grid is a site.",
)
@click.option("--weather", required=True, help="Folder of CSV or Parquet files, Parquet dataset, or grid.")
@click.option("--species", multiple=True, required=True, help="A species; may be repeated.")
@click.option("--jobs", multiple=True, required=True, help="A job; may be repeated.")
@click.option("--out", required=True, help="Folder for the dataset.")
@click.option("--block-sites", type=click.IntRange(1), default=BLOCK_SITES, show_default=True)
@click.option("--workers", type=click.IntRange(1), help="Processes to use (default: one a processor).")
@click.option("--scheduler", help="Address of a Dask scheduler, whose workers are used instead.")
@options.on_day
def command(
    sites_file: Path | None,
    weather: str,
    species: tuple[str, ...],
    jobs: tuple[str, ...],
    out: str,
    block_sites: int,
    workers: int | None,
    scheduler: str | None,
    on: dt.date,
) -> None:
    """Judge windows of many sites, a row a site, species, job and window.

    Sites that can't be judged are listed with the reason. A run that was stopped goes on where it stopped
    when it is asked again, and refuses where anything differs from what it began with.
    """
    from season_engine.batch.folder import RunFolder
    from season_engine.batch.machines import machines
    from season_engine.batch.run import outstanding, run
    from season_engine.commands.batch_progress import Pace

    _need_libraries()
    plan = _plan(sites_file, weather, species, jobs, on, block_sites)
    folder = RunFolder(out)
    with folder.alone():
        tasks = outstanding(plan, folder)
        if len(tasks) < plan.blocks:
            click.echo(f"{plan.blocks - len(tasks)} of {plan.blocks} blocks are done already.", err=True)
        left = None
        if tasks:
            count = min(workers or os.cpu_count() or 1, len(tasks))
            with machines(count, scheduler) as workforce, Pace() as pace:
                left = run(tasks, workforce, pace.show)
        _tell_left(left)
        _tell_refused(folder, plan)


def _need_libraries() -> None:
    from importlib.util import find_spec

    for name in ("fsspec", "numba", "pyarrow"):
        if find_spec(name) is None:
            raise GrowerError(
                f"many sites at once take {name}, which is not installed here.",
                hint='Install the program anew with its extra "batch"; for grids and clusters, "cluster".',
            )


def _plan(
    sites_file: Path | None,
    weather: str,
    species: tuple[str, ...],
    jobs: tuple[str, ...],
    on: dt.date,
    block_sites: int,
) -> Plan:
    from season_engine.batch.asked import asked
    from season_engine.batch.run import Plan
    from season_engine.batch.sites_file import read_batch_sites
    from season_engine.batch.sources.chosen import source_at
    from season_engine.batch.sources.grid import Grid
    from season_engine.batch.stamp import of_run

    question, without = asked(species, jobs, on)
    for job, kind in without:
        click.echo(f"{kind} has no window for {job}: left out.", err=True)
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
