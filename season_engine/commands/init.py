"""`init`: a workspace to start from."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from season_engine.commands import completing
from season_engine.commands.shape import Command
from season_engine.files.text import shortened


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


@click.command(
    "init",
    cls=Command,
    examples=(
        "season-engine init my-yard",
        "season-engine init my-yard --latitude -38.1 --longitude 145.2 "
        '--tree "3 black pines, 2 tridents, one of them large"',
        "season-engine init my-yard --latitude 47.25 --longitude 8.5 --logger readings.csv",
    ),
)
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
    metavar="FILE",
    help="Your logger's file as it comes, its folder, or a pattern; without it the weather is invented.",
)
@click.option(
    "--tree",
    "trees",
    metavar="TREES",
    multiple=True,
    shell_complete=completing.species,
    help='Trees you keep, such as "2 black pines, one of them large".',
)
@click.option("--yes", is_flag=True, help="Ask nothing; what is missing is told.")
def command(**asked: Any) -> None:
    """Write a commented workspace to edit into DIR (default: here), for the yard at this place.

    In a terminal it asks for what isn't given, and writes a first report.
    """
    from season_engine.commands.init_run import Order, run

    run(Order(**asked))
