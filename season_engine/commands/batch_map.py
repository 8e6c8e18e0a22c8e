"""`batch-map`: maps of what a batch wrote."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from season_engine.commands.out_file import write_out
from season_engine.commands.shape import Command
from season_engine.locale import ENGLISH, languages
from season_engine.maps.whats import WHATS, What

if TYPE_CHECKING:
    from season_engine.maps.batch_rows import BatchRows

FORMATS = (".png", ".geojson", ".nc")


def _files(_ctx: click.Context, option: click.Parameter, files: tuple[Path, ...]) -> tuple[Path, ...]:
    for file in files:
        if file.suffix.casefold() not in FORMATS:
            told = f'"{file.name}" ends in none of {", ".join(FORMATS)}, which say what is written.'
            raise click.BadParameter(told, param=option)
    return files


@click.command(
    "batch-map",
    cls=Command,
    examples=("season-engine batch-map windows --window spring --out repotting.png",),
)
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--species", help="By any of its names; may be left out where the batch has one.")
@click.option("--job", help="Likewise.")
@click.option("--window", help="Likewise.")
@click.option(
    "--show",
    "what",
    type=click.Choice(WHATS),
    default="opens",
    show_default=True,
    help="What the picture shows: the opening date, the usual one, days early or late, the earliest safe "
    "Monday, or the chance that it is open.",
)
@click.option(
    "--out",
    "files",
    type=click.Path(dir_okay=False, path_type=Path),
    callback=_files,
    multiple=True,
    required=True,
    help="File to write, may be repeated: .png a picture, .geojson for programs, .nc (NetCDF) for grids.",
)
@click.option(
    "--width",
    "width_px",
    type=click.IntRange(400, 8000),
    default=1600,
    show_default=True,
    help="Of the picture, in pixels.",
)
@click.option(
    "--dots", "as_dots", is_flag=True, help="Take sites for scattered ones, though they lie on a grid."
)
@click.option(
    "--language", type=click.Choice(languages()), default=ENGLISH, show_default=True, help="Of the picture."
)
def command(
    folder: Path,
    species: str | None,
    job: str | None,
    window: str | None,
    what: What,
    files: tuple[Path, ...],
    width_px: int,
    as_dots: bool,
    language: str,
) -> None:
    """Draw a map of one window from DIR, which `season-engine batch` wrote.

    The picture shows one quantity; GeoJSON and NetCDF hold all dates and odds of the window.
    """
    from season_engine.maps.batch_files import read_rows

    rows = read_rows(folder, species=species, job=job, window=window)
    if rows.missing_blocks:
        told = f"Not whole: blocks of this batch that are not there yet: {rows.missing_blocks}."
        click.echo(told, err=True)
    made = {file: _maker(file.suffix.casefold())(rows, what, width_px, as_dots, language) for file in files}
    for file, content in made.items():
        write_out(file, content)


def _maker(ending: str) -> Callable[[BatchRows, What, int, bool, str], str | bytes]:
    makers: dict[str, Callable[[BatchRows, What, int, bool, str], str | bytes]] = {
        ".png": _picture,
        ".geojson": _geojson,
        ".nc": _netcdf,
    }
    return makers[ending]


def _picture(rows: BatchRows, what: What, width_px: int, as_dots: bool, language: str) -> bytes:
    from season_engine.maps.shown import shown
    from season_engine.pages.maps.sheet import draw_map
    from season_engine.words.speech import speaking

    with speaking(language):
        return draw_map(rows, shown(rows, what), width_px=width_px, as_dots=as_dots)


def _geojson(rows: BatchRows, _what: What, _width_px: int, as_dots: bool, _language: str) -> str:
    from season_engine.documents.map_geojson import map_geojson

    return map_geojson(rows, as_dots=as_dots)


def _netcdf(rows: BatchRows, _what: What, _width_px: int, _as_dots: bool, _language: str) -> bytes:
    from season_engine.documents.map_netcdf import map_netcdf

    return map_netcdf(rows)
