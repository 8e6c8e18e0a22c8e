"""What `init` asks in a terminal, one question at a time; a wrong answer is told and asked for again."""

from __future__ import annotations

import re
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TypeVar

import click

from season_engine.commands import clock
from season_engine.commands.first_readings import TYPED, files_named, look_at
from season_engine.errors import GrowerError
from season_engine.locale import ENGLISH
from season_engine.site import Site
from season_engine.weather.series import DailySeries
from season_engine.words.logger_form import form_sentences
from season_engine.words.speech import speaking
from season_engine.workspace.said_trees import EXAMPLE, SaidTree, trees_said
from season_engine.workspace.start import SITE_NAME, FirstLogger, FirstMail, FirstYard

PLACES_TOLD = 9
YOUNG_YEARS = 8  # a record that is shorter has too few past seasons to tell odds from
DAYS_A_YEAR = 365.25

_DEGREES = r"([+-]?\d{1,3}(?:\.\d+)?)\s*°?\s*"
_COORDINATES = re.compile(rf"{_DEGREES}([NS]?)[\s,;]+{_DEGREES}([EW]?)", re.IGNORECASE)
_ADDRESS = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")

Answer = TypeVar("Answer")


def asked_for(given: Site | None, file: str | None, trees: tuple[SaidTree, ...]) -> FirstYard:
    """All that a workspace needs; what was given on the command line isn't asked for."""
    with (
        tempfile.TemporaryDirectory() as cache
    ):  # the stations are fetched once, however often a name is tried
        where = given or _again("Where is the yard?", _WHERE, partial(_where, Path(cache)))
    if where.elevation_m is None:
        where = _again("Its height above the sea in metres", "(Enter if you don't know)", _height_for(where))
    answer = LoggerAnswer(where)
    if file is not None:
        answer.read(file)
    else:
        _again(
            "Your logger's file, its folder, or a pattern such as logger/*.csv", "(Enter: none)", answer.read
        )
    station = "nearest" if answer.logger is None and _station_instead() else None
    reference = answer.young and _station_before()
    said = trees or _again("Your trees, as you would say them", f"such as: {EXAMPLE} (Enter: none)", _trees)
    return FirstYard(
        where.latitude,
        where.longitude,
        where.elevation_m,
        answer.logger,
        station,
        reference,
        said,
        _mail(),
    )


class LoggerAnswer:
    """The logger's file, asked for until it reads right; a setting typed instead is for the one before."""

    def __init__(self, where: Site) -> None:
        self._where = where
        self._tried: FirstLogger | None = None
        self.logger: FirstLogger | None = None
        self.young = False  # its record is too short to tell odds from

    def read(self, text: str) -> None:
        """Take a file, or a line of season.toml that says how the one before is read; nothing: none."""
        if not text:
            return
        before = self._tried
        if before is not None and _SETTING.match(text):
            self._tried = replace(before, settings=(*before.settings, text))
        else:
            self._tried = FirstLogger(files_named(text))
        try:
            record = look_at(self._tried, self._where)
        except GrowerError as error:
            if error.file == TYPED:  # the line itself is wrong
                self._tried = before
            raise GrowerError(f"{error}\n  Type the line to write, or another file.") from None
        with speaking(ENGLISH):
            told = [*form_sentences(record.form), _span(record.daily)]
        for sentence in told:
            click.echo(f"  {sentence}")
        if not _yes("Is that right?"):
            raise GrowerError('Another file, or a line such as columns = { temp = "Outdoor" }.')
        self.logger = self._tried
        self.young = len(record.daily) < YOUNG_YEARS * DAYS_A_YEAR


_SETTING = re.compile(r"(columns|sensor|clock|units|date_format)\s*=")


def _span(daily: DailySeries) -> str:
    return f"{len(daily):,} days, {daily.first_day:%d %b %Y} to {daily.last_day:%d %b %Y}."


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


def _where(cache: Path, text: str) -> Site:
    match = _COORDINATES.fullmatch(text)
    if match is None:
        return _near_station(cache, text)
    latitude, longitude = float(match[1]), float(match[3])
    latitude = -abs(latitude) if match[2] in "Ss" and match[2] else latitude
    longitude = -abs(longitude) if match[4] in "Ww" and match[4] else longitude
    if abs(latitude) > 90 or abs(longitude) > 180:
        raise GrowerError("Latitudes go from -90 to 90, longitudes from -180 to 180.")
    where = Site(SITE_NAME, latitude, longitude)
    if not _yes(f"{_place_told(where)} Right?"):
        raise GrowerError("South of the equator and west of Greenwich there is a minus.")
    return where


def _near_station(cache: Path, name: str) -> Site:
    from season_engine.weather.station.by_name import places_called

    if not any(map(str.isalpha, name)):
        raise GrowerError("Where is it?", hint=f"{_WHERE}.")
    places = places_called(name, cache, clock.now())
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
            height = float(text.casefold().split("m")[0].strip())  # "500 m above the sea"
        except ValueError:
            height = float("nan")
        if not -430 <= height <= 9000:
            raise GrowerError("A number of metres, from -430 to 9000.")
        return replace(where, elevation_m=height)

    return read


def _station_instead() -> bool:
    click.echo()
    return _yes("Take the nearest public weather station for now?")


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
