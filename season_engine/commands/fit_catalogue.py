"""`fit-catalogue`: rules fitted on the notes of many yards, as a catalogue file."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from season_engine.commands import options
from season_engine.commands.out_file import refuse_existing, write_out
from season_engine.commands.progress import Progress
from season_engine.commands.shape import Command
from season_engine.errors import GrowerError
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR

if TYPE_CHECKING:
    from season_engine.verify.pooled_fit import EventFit


@click.command(
    "fit-catalogue",
    cls=Command,
    examples=("season-engine fit-catalogue my-notes.zip neighbour.zip --out fitted.toml",),
)
@click.argument("exports", nargs=-1, required=True, metavar="EXPORT...", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    default=Path("fitted.toml"),
    show_default=True,
    help="Catalogue file to write.",
)
@click.option(
    "--train-until",
    type=click.IntRange(FIRST_YEAR, LAST_YEAR),
    help="Fit on the seasons that ended by this year (default: all).",
)
@click.option("--jobs", type=click.IntRange(1), help="Processes to use (default: one a processor).")
@options.as_json
def command(
    exports: tuple[Path, ...], out: Path, train_until: int | None, jobs: int | None, as_json: bool
) -> None:
    """Fit when buds and flowers of spring come, on the notes of many yards, as a catalogue file of your own.

    EXPORT is a file that `notes export` wrote, or a folder with sites.csv, weather.csv (or .csv.gz) and
    events.csv, as `backtest` reads them. A stage is written only where its rule, at yards it was not fitted
    on, errs less than the mean date of these yards' other years, and than the catalogue's rule.
    """
    from season_engine.documents.model import json_text
    from season_engine.documents.pooled_fit import pooled_fit_document
    from season_engine.prints.pooled_fit import pooled_fit_text
    from season_engine.species.catalogue import load_catalogue
    from season_engine.verify.pooled_fit import fit_pool
    from season_engine.verify.pooled_notes import pooled
    from season_engine.words.pooled_notes import pool_note_text, slip_text

    refuse_existing(out)
    catalogue = load_catalogue()
    pool = pooled(exports, catalogue, train_until)
    for note in pool.notes:
        click.echo(pool_note_text(note), err=True)
    if not pool.records:
        raise GrowerError(
            "no date of a species of the catalogue is left, in a season with whole temperatures.",
            hint="A season is whole after 30 September, in the south after 31 March; other reasons, if any, "
            "are told above.",
        )
    with Progress("Fitting") as progress:
        fits = fit_pool(pool, catalogue, jobs=jobs or os.cpu_count() or 1, progress=progress.show)
    for slip in (slip for fit in fits for slip in fit.slips):
        click.echo(slip_text(slip), err=True)
    written = _write(out, fits)
    document = pooled_fit_document(fits, pool.yards, train_until, str(out) if written else None)
    click.echo(json_text(document) if as_json else pooled_fit_text(fits), nl=False)


def _write(out: Path, fits: Sequence[EventFit]) -> bool:
    """Whether there was anything to write; it has to load as a grower's own."""
    from season_engine.documents.fitted_catalogue import fitted_toml
    from season_engine.files.toml_lines import TomlText
    from season_engine.species.catalogue import Catalogue

    text = fitted_toml(fits)
    if not text:
        click.echo("Nothing proved better than what is there, so nothing was written.", err=True)
        return False
    own = Catalogue([TomlText(str(out), text)])
    for fit in fits:
        own.find(fit.event.species)
    write_out(out, text)
    return True
