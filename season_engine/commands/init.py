"""`init`: a workspace to start from."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from pathlib import Path

import click

from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.site import Site
from season_engine.workspace.start import SITE_NAME, FirstYard, init_workspace

MOST_TREES = 999  # of a species in one go
_TREES = re.compile(r"(?:([0-9]+)\s+)?(\S.*)", re.DOTALL)


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
    help="Your logger's file as it comes; without it the weather is invented.",
)
@click.option("--tree", "trees", multiple=True, help='A species you keep, such as "2 Acer palmatum".')
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
    """Write a commented workspace to edit into DIR (default: here), for the yard at this place."""
    del yes  # nothing is asked so far
    if latitude is None or longitude is None:
        given = {"--latitude": latitude, "--longitude": longitude}
        missing = " and ".join(name for name, value in given.items() if value is None)
        raise click.UsageError(
            f"say where the yard is: {missing} in degrees, with a minus south of the equator and west of "
            "Greenwich."
        )
    if logger is not None:
        _check_readings(logger, Site(SITE_NAME, latitude, longitude, elevation_m))
    yard = FirstYard(latitude, longitude, elevation_m, logger, _species(trees))
    for path in init_workspace(folder, yard):
        click.echo(f"wrote {path}", err=True)
    if logger is None:
        click.echo("Its weather is invented until season.toml names your own.", err=True)
    click.echo("Now edit season.toml, then run: season-engine report", err=True)


def _check_readings(file: Path, site: Site) -> None:
    """Raise what is wrong with a logger's file before anything is written."""
    from season_engine.weather.hemisphere import refuse_other_hemisphere_of
    from season_engine.weather.logger.reading import read_logger

    series = read_logger(file, site=site)
    refuse_other_hemisphere_of(series, site, f"logger file {file.name}", "--latitude")


def _species(trees: Iterable[str]) -> list[str]:
    """The species of each tree, as it was named; unknown ones are refused with what may be meant."""
    found: list[str] = []
    for text in trees:
        match = _TREES.fullmatch(" ".join(text.split()))
        count = int(match[1] or 1) if match else 0
        if match is None or not 1 <= count <= MOST_TREES:
            raise click.BadParameter(
                f'write a species, with how many there are if more than one, such as "2 Acer palmatum"; '
                f'got "{shortened(text)}".',
                param_hint="--tree",
            )
        found += [_known(match[2])] * count
    return found


def _known(name: str) -> str:
    from season_engine.species.catalogue import load_catalogue

    try:
        load_catalogue().find(name)
    except GrowerError as error:
        raise GrowerError(error.problem, hint=error.hint, field="--tree") from None
    return name
