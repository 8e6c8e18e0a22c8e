"""What `notes export` does: a yard's notes of stages, with the weather of their seasons, in one file."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from season_engine.commands import options
from season_engine.commands.out_file import refuse_existing, write_out
from season_engine.documents.shared_yard import shared_zip
from season_engine.errors import GrowerError
from season_engine.pipeline import read_weather
from season_engine.prints.layout import wrapped
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.shared_yard import SharedYard, shared_yard
from season_engine.weather.series import Weather
from season_engine.words.shared_yard import shared_texts
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import JOURNAL, SiteEntry, Workspace


def export_notes(
    site_names: tuple[str, ...], out: Path, code: str, yes: bool, folder: Path, on: dt.date
) -> None:
    """Tell what would be written, and write it unless the grower says no."""
    workspace = options.open_workspace(folder, demo_allowed=False)
    _refuse_demo(workspace)
    refuse_existing(out)
    entries = options.the_sites(workspace, site_names)
    weather = [_measured(workspace, entry, on) for entry in entries]
    yards = _yards(workspace, entries, weather, on, code)
    for text in shared_texts(yards):
        click.echo("\n".join(wrapped(text, "")), err=True)
    asked = sys.stdin.isatty() and not yes
    if asked and not click.confirm(f"Write {out}?", err=True):
        click.echo("Nothing was written.", err=True)
        return
    write_out(out, shared_zip(yards, _credits(weather)))


def _refuse_demo(workspace: Workspace) -> None:
    if workspace.demo:
        raise GrowerError(
            "There is no season.toml here, and the demo's yards are invented.",
            hint="Name your folder with --workspace.",
        )


def _measured(workspace: Workspace, entry: SiteEntry, on: dt.date) -> Weather:
    """The site's weather; what is invented is no use to anybody."""
    if entry.invented:
        problem = f"The weather of {entry.site.name} is invented, so its notes can't be held against any."
        raise GrowerError(problem, hint="Give it readings, or name your other sites with --site.")
    return read_weather(workspace, entry, on)


def _yards(
    workspace: Workspace, entries: Sequence[SiteEntry], weather: Iterable[Weather], on: dt.date, code: str
) -> list[SharedYard]:
    """The yards that have something to give; raises GrowerError where none has."""
    catalogues = catalogue_of(workspace), load_catalogue()
    codes = [code] if len(entries) == 1 else [f"{code}-{number}" for number in range(1, len(entries) + 1)]
    found = [
        shared_yard(entry.site, one, workspace.notes, on, catalogues, name)
        for entry, one, name in zip(entries, weather, codes, strict=True)
    ]
    yards = [yard for yard in found if yard.notes]
    if any(note.sighting == "seen" for yard in yards for note in yard.notes):
        return yards
    problem = (
        f"Up to {on} no growth stage is noted as seen in a season with readings, so nothing was written."
    )
    if any(yard.left_behind.unknown_species for yard in found):
        problem += " Notes of species that aren't in the program's catalogue don't count."
    raise GrowerError(
        problem,
        hint='Note one, such as: season-engine journal add "buds swelling on the maple".',
        file=workspace.folder / JOURNAL,
    )


def _credits(weather: Iterable[Weather]) -> list[str]:
    """Whom to name for a public station's readings; not which station."""
    stations = [station for one in weather for station in (one.station, one.second_station) if station]
    return [f"{station.attribution}, licence {station.licence}." for station in stations]
