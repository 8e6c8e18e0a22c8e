"""`init`: a workspace to start from."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import click

from season_engine.commands import clock
from season_engine.commands.first_readings import check_readings
from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.workspace.said_trees import SaidTree, trees_said
from season_engine.workspace.start import SITE_NAME, FirstYard, init_workspace, refuse_taken

MAIL_NEXT = (
    "Put your mail password into the environment as SEASON_MAIL_PASSWORD, then try it: "
    "season-engine report --email --dry-run"
)


def _number(
    low: float, high: float, what: str
) -> Callable[[click.Context, click.Parameter, str | None], float | None]:
    """A number in these bounds, or a sentence about `what` it should be."""

    def read(_ctx: click.Context, option: click.Parameter, value: str | None) -> float | None:
        if value is None:
            return None
        try:
            number = float(value)
        except ValueError:
            number = float("nan")
        if not low <= number <= high:
            raise click.BadParameter(f'write {what}; got "{shortened(value)}".', param=option)
        return number

    return read


@click.command("init")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default=Path(), metavar="[DIR]")
@click.option(
    "--latitude",
    callback=_number(-90, 90, "the latitude in degrees, from -90 to 90, with a minus south of the equator"),
    metavar="DEGREES",
    help="Where the yard is, such as 47.25; south of the equator with a minus.",
)
@click.option(
    "--longitude",
    callback=_number(-180, 180, "the longitude in degrees, from -180 to 180, with a minus west of Greenwich"),
    metavar="DEGREES",
    help="The same; west of Greenwich with a minus.",
)
@click.option(
    "--elevation",
    "elevation_m",
    callback=_number(-430, 9000, "the height above the sea in metres, from -430 to 9000"),
    metavar="METRES",
    help="Height above the sea.",
)
@click.option(
    "--logger",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Your logger's CSV file; without it the weather is invented.",
)
@click.option(
    "--tree", "trees", multiple=True, help='Trees you keep, such as "2 black pines, one of them large".'
)
@click.option("--yes", is_flag=True, help="Ask nothing; what is missing is told.")
def command(
    folder: Path,
    latitude: float | None,
    longitude: float | None,
    elevation_m: float | None,
    logger: Path | None,
    trees: tuple[str, ...],
    yes: bool,
) -> None:
    """Write a commented workspace to edit into DIR (default: here), for the yard at this place.

    In a terminal it asks for what isn't given, and writes a first report; with --yes it asks nothing.
    """
    refuse_taken(folder)
    said = _said(trees)
    asks = not yes and sys.stdin.isatty() and sys.stderr.isatty()
    if asks:
        from season_engine.commands.init_dialogue import Where, asked_for

        known = None if latitude is None or longitude is None else Where(latitude, longitude, elevation_m)
        yard = asked_for(known, logger, said)
    else:
        yard = _given(latitude, longitude, elevation_m, logger, said)
    for path in init_workspace(folder, yard):
        click.echo(f"wrote {path.resolve()}", err=True)
    if yard.invented:
        click.echo("Its weather is invented until season.toml names your own.", err=True)
    if asks:
        _first_report(folder, yard)
    else:
        click.echo("Now edit season.toml, then run: season-engine report", err=True)


def _given(
    latitude: float | None,
    longitude: float | None,
    elevation_m: float | None,
    logger: Path | None,
    trees: tuple[SaidTree, ...],
) -> FirstYard:
    """The yard from options alone, where there is nobody to ask."""
    if latitude is None or longitude is None:
        given = {"--latitude": latitude, "--longitude": longitude}
        missing = " and ".join(name for name, value in given.items() if value is None)
        raise click.UsageError(
            f"say where the yard is: {missing} in degrees, with a minus south of the equator and west of "
            "Greenwich."
        )
    if logger is not None:
        check_readings(logger, Site(SITE_NAME, latitude, longitude))
    return FirstYard(latitude, longitude, elevation_m, logger, trees=trees)


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
    context.invoke(report.command, folder=folder, on=on)
    if yard.mail:
        click.echo(MAIL_NEXT, err=True)
    click.echo(f"Each week: season-engine report --workspace {folder.resolve()}", err=True)
