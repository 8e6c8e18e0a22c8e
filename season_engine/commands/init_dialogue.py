"""What `init` asks in a terminal, one question at a time; a wrong answer is told and asked for again."""

from __future__ import annotations

import re
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import click

from season_engine.commands import clock
from season_engine.commands.first_readings import check_readings
from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.workspace.said_trees import EXAMPLE, SaidTree, trees_said
from season_engine.workspace.start import SITE_NAME, FirstMail, FirstYard

PLACES_TOLD = 9
YOUNG_YEARS = 8  # a record that is shorter has too few past seasons to tell odds from
DAYS_A_YEAR = 365.25

_DEGREES = r"([+-]?\d{1,3}(?:\.\d+)?)\s*°?\s*"
_COORDINATES = re.compile(rf"{_DEGREES}([NS]?)[\s,;]+{_DEGREES}([EW]?)", re.IGNORECASE)
_ADDRESS = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")

Answer = TypeVar("Answer")


def asked_for(given: Site | None, logger: Path | None, trees: tuple[SaidTree, ...]) -> FirstYard:
    """All that a workspace needs; what was given on the command line isn't asked for."""
    where = given or _again("Where is the yard?", _WHERE, _where)
    if where.elevation_m is None:
        where = _again("Its height above the sea in metres", "(Enter if you don't know)", _height_for(where))
    if logger is None:
        logger = _again("Your logger's file, or the folder of its files", "(Enter: none)", _logger_for(where))
    station = "nearest" if logger is None and _station_instead() else None
    reference = logger is not None and _young(logger, where) and _station_before()
    said = trees or _again("Your trees, as you would say them", f"such as: {EXAMPLE} (Enter: none)", _trees)
    mail = _mail()
    return FirstYard(
        where.latitude, where.longitude, where.elevation_m, logger, station, reference, said, mail
    )


_WHERE = "Latitude and longitude, such as -38.1, 145.2, or a town or weather station near it"


def _again(question: str, how: str, read: Callable[[str], Answer]) -> Answer:
    """The answer once it can be read, and was said yes to where it is told back."""
    while True:
        click.echo()
        text = click.prompt(f"{question}\n  {how}\n", default="", show_default=False, prompt_suffix="> ")
        try:
            return read(text.strip())
        except GrowerError as error:
            click.echo(f"  {error}")


def _yes(question: str) -> bool:
    return click.confirm(f"  {question}", default=True)


def _where(text: str) -> Site:
    match = _COORDINATES.fullmatch(text)
    if match is None:
        return _near_station(text)
    latitude, longitude = float(match[1]), float(match[3])
    latitude = -abs(latitude) if match[2] in "Ss" and match[2] else latitude
    longitude = -abs(longitude) if match[4] in "Ww" and match[4] else longitude
    if abs(latitude) > 90 or abs(longitude) > 180:
        raise GrowerError("Latitudes go from -90 to 90, longitudes from -180 to 180.")
    where = Site(SITE_NAME, latitude, longitude)
    if not _yes(f"{_place_told(where)} Right?"):
        raise GrowerError("South of the equator and west of Greenwich there is a minus.")
    return where


def _near_station(name: str) -> Site:
    from season_engine.weather.station.by_name import places_called

    if not any(map(str.isalpha, name)):
        raise GrowerError("Where is it?", hint=f"{_WHERE}.")
    with tempfile.TemporaryDirectory() as cache:
        places = places_called(name, Path(cache), clock.now())
    for number, place in enumerate(places[:PLACES_TOLD], start=1):
        height = "" if place.elevation_m is None else f", {place.elevation_m:.0f} m"
        click.echo(f"  {number}  {place.name}, {place.country} ({place.latitude}, {place.longitude}{height})")
    if len(places) > PLACES_TOLD:
        click.echo(f"  and {len(places) - PLACES_TOLD} more: add a word of its name to narrow it down")
    which = click.prompt("  Which of them? (0: none)", type=click.IntRange(0, min(len(places), PLACES_TOLD)))
    if not which:
        raise GrowerError("Another name, then, or latitude and longitude.")
    place = places[which - 1]
    return Site(SITE_NAME, place.latitude, place.longitude, place.elevation_m)


def _place_told(where: Site) -> str:
    """``38.1° south, 145.2° east: winter is in July there``."""
    north, east = where.latitude >= 0, where.longitude >= 0
    place = f"{abs(where.latitude):g}° {'north' if north else 'south'}, "
    place += f"{abs(where.longitude):g}° {'east' if east else 'west'}"
    return f"{place}: {'January' if north else 'July'} is in the cold half of the year there."


def _height_for(where: Site) -> Callable[[str], Site]:
    def read(text: str) -> Site:
        if not text:
            return where
        try:
            height = float(text.casefold().removesuffix("m").strip())
        except ValueError:
            height = float("nan")
        if not -430 <= height <= 9000:
            raise GrowerError("A number of metres, from -430 to 9000.")
        return replace(where, elevation_m=height)

    return read


def _logger_for(where: Site) -> Callable[[str], Path | None]:
    def read(text: str) -> Path | None:
        if not text:
            return None
        file = Path(text.strip("\"' ")).expanduser()
        if not file.is_file():
            raise GrowerError(f"There is no file {file}.")
        series = check_readings(file, where)
        days = series.tmin_c.size
        click.echo(f"  {days:,} days, {series.first_day} to {series.last_day}.")
        if not _yes("Is that right?"):
            raise GrowerError("Another file, then.")
        return file

    return read


def _station_instead() -> bool:
    click.echo()
    return _yes("Take the nearest public weather station for now?")


def _young(logger: Path, where: Site) -> bool:
    """Whether its record is too short to tell odds from."""
    return check_readings(logger, where).tmin_c.size < YOUNG_YEARS * DAYS_A_YEAR


def _station_before() -> bool:
    click.echo("  Odds need many past seasons.")
    return _yes("Take the years before your logger's from the nearest public station?")


def _trees(text: str) -> tuple[SaidTree, ...]:
    from season_engine.species.catalogue import load_catalogue

    trees = trees_said(text, load_catalogue())
    if trees:
        kinds = Counter((tree.species, tree.size, tree.stage) for tree in trees)
        told = [
            " ".join(filter(None, (str(n), size, stage, name))) for (name, size, stage), n in kinds.items()
        ]
        if not _yes(f"{', '.join(told)}. Right?"):
            raise GrowerError("Once more, then.")
    return trees


def _mail() -> FirstMail | None:
    to = _again("Mail the report each week to", "(Enter: nobody)", _address)
    if not to:
        return None
    host = click.prompt("  Your outgoing mail server, such as smtp.example.org")
    return FirstMail(to, host.strip(), click.prompt("  Your user name there", default=to).strip())


def _address(text: str) -> str:
    if text and not _ADDRESS.fullmatch(text):
        raise GrowerError("A mail address, such as you@example.org.")
    return text
