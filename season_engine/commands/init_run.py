"""One run of `init`: what is missing asked for, the workspace written, its first report made."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import click

from season_engine.commands import clock
from season_engine.commands.first_readings import files_named, look_at
from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.workspace.said_trees import SaidTree, trees_said
from season_engine.workspace.start import SITE_NAME, FirstLogger, FirstYard, init_workspace, refuse_taken

MAIL_NEXT = (
    "Put your mail password into the environment as SEASON_MAIL_PASSWORD, then try it: "
    "season-engine report --email --dry-run"
)


@dataclass(frozen=True)
class Order:
    """What was given to `init`, option by option."""

    folder: Path
    latitude: float | None
    longitude: float | None
    elevation_m: float | None
    logger: str | None
    trees: tuple[str, ...]
    yes: bool

    @property
    def where(self) -> Site | None:
        """The yard's place, if it was given."""
        if self.latitude is None or self.longitude is None:
            return None
        return Site(SITE_NAME, self.latitude, self.longitude, self.elevation_m)


def run(order: Order) -> None:
    """Write the workspace, from answers where somebody can give them, else from the options alone."""
    refuse_taken(order.folder)
    said = _said(order.trees)
    asks = not order.yes and sys.stdin.isatty() and sys.stderr.isatty()
    if asks:
        from season_engine.commands.init_dialogue import asked_for

        yard = asked_for(order.where, order.logger, said)
    else:
        yard = _given(order, said)
    for path in init_workspace(order.folder, yard):
        click.echo(f"wrote {path.absolute()}", err=True)
    if yard.invented:
        click.echo("Its weather is invented until season.toml names your own.", err=True)
    if asks:
        _first_report(order.folder, yard)
    else:
        click.echo("Now edit season.toml, then run: season-engine report", err=True)


def _given(order: Order, trees: tuple[SaidTree, ...]) -> FirstYard:
    """The yard from options alone, where there is nobody to ask."""
    if order.latitude is None or order.longitude is None:
        given = {"--latitude": order.latitude, "--longitude": order.longitude}
        missing = " and ".join(name for name, value in given.items() if value is None)
        raise click.UsageError(
            f"say where the yard is: {missing} in degrees, with a minus south of the equator and west of "
            "Greenwich."
        )
    logger = None if order.logger is None else FirstLogger(files_named(order.logger))
    if logger is not None:
        look_at(logger, Site(SITE_NAME, order.latitude, order.longitude, order.elevation_m))
    return FirstYard(order.latitude, order.longitude, order.elevation_m, logger, trees=trees)


def _said(texts: tuple[str, ...]) -> tuple[SaidTree, ...]:
    """The trees as they were named; unknown kinds are refused with what may be meant."""
    try:
        if any(not text.strip() for text in texts):
            raise GrowerError("There is an empty --tree.", hint='Write a species, such as "2 Acer palmatum".')
        return tuple(tree for text in texts for tree in trees_said(text, load_catalogue()))
    except GrowerError as error:
        raise GrowerError(error.problem, hint=error.hint, field="--tree") from None


def _first_report(folder: Path, yard: FirstYard) -> None:
    """What weather there is, then the first report, opened."""
    from season_engine.commands import report, weather

    context = click.get_current_context()
    on = clock.today()
    if not yard.invented:
        context.invoke(weather.command, folder=folder, on=on)
    context.invoke(report.command, folder=folder, on=on, opened=True)
    if yard.mail:
        click.echo(MAIL_NEXT, err=True)
    click.echo(f"Each week: season-engine report --workspace {folder.absolute()}", err=True)
