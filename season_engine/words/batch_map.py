"""What a map of a batch says: its title, what its numbers mean, and its key."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from season_engine.facts import Day, Text
from season_engine.maps.batch_rows import BatchRows
from season_engine.maps.shown import HEMISPHERES, Blank, Shown
from season_engine.maps.whats import What
from season_engine.site import Hemisphere
from season_engine.words import naming
from season_engine.words.prose import beyond_telling, capital, counts, odds, small
from season_engine.words.speech import decimal, quantity, said, say
from season_engine.words.timing import full_day

FloatArray = NDArray[np.float64]

_HEADS: Mapping[What, Text] = {
    "opens": Text("Opening dates"),
    "usual": Text("Usual opening dates"),
    "early-late": Text("Days early or late"),
    "monday": Text("Earliest safe Monday"),
    "chance": Text("Chances in 100 that it is open"),
}
_LINES: Mapping[What, Text] = {
    "opens": Text("on its darker side, that date or later"),
    "usual": Text("on its darker side, that date or later"),
    "early-late": Text("on its darker side, so many days or later"),
    "monday": Text("on its darker side, that Monday or later"),
    "chance": Text("on its darker side, so many chances or more"),
}
MINUS = "\N{MINUS SIGN}"
_BLANKS: Mapping[Blank, Text] = {
    Blank.NOT_HERE: Text("not here: fewer than half of the seasons have this window ({n})"),
    Blank.OTHER_SEASON: Text("judged there on another season, so not shown ({n})"),
    Blank.NO_DATE: Text("not known: nothing found in the days looked at ({n})"),
    Blank.REFUSED: Text("refused: weather missing, faulty or too poor ({n})"),
}
_NO_MONDAY = Text("no Monday found that is safe enough ({n})")


def map_title(rows: BatchRows, shown: Shown) -> str:
    """``Japanese maple, repotting (spring): opening dates``."""
    return say("{window}: {shown}", window=naming.title(rows), shown=small(said(_HEADS[shown.what])))


def seen_on(rows: BatchRows, shown: Shown) -> str:
    """The day it is judged by, and the season that dates belong to."""
    day = say("As it looks on {day}.", day=full_day(rows.on))
    labels = [shown.seasons[half].label for half in HEMISPHERES if half in shown.seasons]
    if len(set(labels)) == 2:
        north, south = labels
        return f"{day} {say('Season {north} in the north, {south} in the south.', north=north, south=south)}"
    return f"{day} {say('Season {season}.', season=labels[0])}" if labels else day


def meaning(rows: BatchRows, shown: Shown) -> str:
    """What a number on the map is, by one that stands there."""
    known = np.flatnonzero(~np.isnan(shown.values))
    middle = known[np.argsort(shown.values[known], kind="stable")[known.size // 2]]
    value, half = float(shown.values[middle]), HEMISPHERES[int(shown.south[middle])]
    number = number_on_map(shown, value, half)
    match shown.what:
        case "early-late":
            return say(
                '"{early}": opens four days before its usual date at that place; "{late}": four days after. '
                "Either date is the one with half the odds before it.",
                early=f"{MINUS}4",
                late="+4",
            )
        case "chance":
            day, chance = full_day(rows.on), odds(value, in_hundreds=True)
            return say('"{number}": {odds} that it is open on {day}.', number=number, odds=chance, day=day)
        case "opens":
            told = Text('"{number}": half the odds that it is open by then, {day}.')
        case "usual":
            told = Text('"{number}": in half of the past seasons it was open by then, brought to {day}.')
        case "monday":
            return _safe(rows, number, full_day(shown.date(value, half)))
    return say(told, number=number, day=full_day(shown.date(value, half)))


def _safe(rows: BatchRows, number: str, day: str) -> str:
    floors = np.unique(rows.numbers["floor"][~np.isnan(rows.numbers["floor"])])
    if floors.size != 1:
        told = Text(
            '"{number}": {day} is the first Monday on which the odds that it is open and that all goes well '
            "after are what the job wants."
        )
        return say(told, number=number, day=day)
    told = Text(
        '"{number}": {day} is the first Monday on which the odds that it is open and that all goes well '
        "after are at least {odds}, as this job wants."
    )
    return say(told, number=number, day=day, odds=odds(float(floors[0])))


def number_on_map(shown: Shown, value: float, half: Hemisphere) -> str:
    """A value as it stands on the map: ``18 Aug``, ``+4``, ``70``."""
    if shown.what == "chance":
        return f"{value * 100:.0f}" if not beyond_telling(value) else "<1" if value < 0.5 else ">99"
    if shown.what == "early-late":
        return f"{value:+.0f}".replace("-", MINUS) if round(value) else "0"
    return quantity(Day(shown.date(value, half)))


def key_heading(shown: Shown) -> str:
    """What the tones stand for."""
    return said(_HEADS[shown.what])


def bands(shown: Shown, lines: FloatArray) -> list[tuple[str, ...]]:
    """What each tone stands for, from the lowest values up, one more than there are lines.

    A line each, and a second one where the south has dates of its own beside the north's.
    """
    first, *second = (_bands(shown, lines, half) for half in _halves(shown))
    if not second:
        return [(one,) for one in first]
    return [
        (north, say("south: {dates}", dates=south)) for north, south in zip(first, second[0], strict=True)
    ]


def _halves(shown: Shown) -> list[Hemisphere]:
    """The hemispheres whose dates differ on this map."""
    there = [half for half in HEMISPHERES if half in shown.seasons and _has(shown, half)]
    return there or ["north"]


def _has(shown: Shown, half: Hemisphere) -> bool:
    return bool((~np.isnan(shown.values) & (shown.south == (half == "south"))).any())


def _bands(shown: Shown, lines: FloatArray, half: Hemisphere) -> list[str]:
    def told(value: float) -> str:
        return number_on_map(shown, value, half)

    if not lines.size:
        return [_span(told(np.nanmin(shown.values)), told(np.nanmax(shown.values)))]
    whole = {"chance": 0.01, "monday": 7.0}.get(shown.what, 1.0)  # from one value to the next
    below, above = Text("before {date}"), Text("from {date} on")
    if shown.what in ("chance", "early-late"):
        below, above = Text("under {date}"), Text("{date} and more")
    middle = [_span(told(low), told(high - whole)) for low, high in pairwise(lines)]
    return [say(below, date=told(lines[0])), *middle, say(above, date=told(lines[-1]))]


def _span(low: str, high: str) -> str:
    return low if low == high else say("{low} to {high}", low=low, high=high)


def line_words(shown: Shown) -> str:
    """What a line with its number means."""
    return said(_LINES[shown.what])


def dot_words(*, cells: bool) -> str:
    """What a dot with its number means."""
    return (
        say("the value in the cell of this dot")
        if cells
        else say("a site and its value; some have no room for it")
    )


def blank_words(shown: Shown, blank: Blank, count: int) -> str:
    """Why so many sites show no value."""
    told = _NO_MONDAY if (shown.what, blank) == ("monday", Blank.NO_DATE) else _BLANKS[blank]
    return say(told, n=decimal(f"{count:,}"))


def empty_words() -> str:
    """What lies where a grid has no site."""
    return say("no data, such as the sea")


def equator_words() -> str:
    """The name of the line between the hemispheres."""
    return say("equator")


def degrees_words(degrees: float, *, of_latitude: bool) -> str:
    """``45°S``, ``175°W``; no letter on the equator, the first meridian and the date line."""
    wrapped = degrees if of_latitude else (degrees + 180.0) % 360.0 - 180.0
    size = decimal(f"{abs(round(wrapped, 6)):g}")
    if wrapped == 0 or abs(wrapped) == 180:
        return f"{size}°"
    if of_latitude:
        return say("{degrees}°S", degrees=size) if wrapped < 0 else say("{degrees}°N", degrees=size)
    return say("{degrees}°W", degrees=size) if wrapped < 0 else say("{degrees}°E", degrees=size)


def footnotes(rows: BatchRows) -> list[str]:
    """What a reader has to know before acting by a map."""
    notes = [
        say(
            "From each place's daily lowest and highest temperatures alone, which aren't those of each yard: "
            "look at the tree before you act."
        )
    ]
    if rows.missing_blocks:
        missing = counts(
            "The run isn't finished: {n} block of sites is missing.",
            "The run isn't finished: {n} blocks of sites are missing.",
            rows.missing_blocks,
        )
        notes.insert(0, capital(missing))
    return notes
