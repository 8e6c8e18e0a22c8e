"""Which of several temperatures is that of the air outdoors, by what they are called."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from season_engine.weather.logger.vocabulary import means, says, tokens

Place = Literal["outdoor", "air", "yard", "elsewhere", "general", "unknown"]
_QUANTITY_WORDS = ("temperature", "minimum", "maximum", "mean", "value", "unit")


def place_of(name: str) -> Place:
    """Where a sensor hangs, by its name; "general" for one that is just called temperature."""
    if means(name, "place", "elsewhere") or means(name, "place", "device"):
        return "elsewhere"
    if means(name, "place", "outdoor"):
        return "outdoor"
    if means(name, "place", "air"):
        return "air"
    if means(name, "place", "yard"):
        return "yard"
    return "general" if _only_quantity(name) else "unknown"


def speaks_of_elsewhere(text: str, *, labelled: bool = True) -> bool:
    """Whether a file's name, or a line about the logger that begins like "Location:", tells another place."""
    if labelled and not means(" ".join(tokens(text)[:2]), "place", "label"):
        return False
    outdoors = any(means(text, "place", kind) for kind in ("outdoor", "yard"))
    return means(text, "place", "elsewhere") and not outdoors


def _only_quantity(name: str) -> bool:
    """Whether each word of a name is one for temperature, its unit or its kind."""
    return all(
        says(token, *_QUANTITY_WORDS)
        or token in ("c", "f", "deg", "degree", "degrees", "grad", "x10", "10", "x", "day", "daily", "tag")
        for token in tokens(name)
    )


def outdoor_among(names: Sequence[str], *, named_places: bool = False) -> int | None:
    """The place in the list of the one that is clearly the air outdoors; None where none is.

    `named_places`: these are names of sensors, of which one that says nothing may hang anywhere.
    """
    places = [place_of(name) for name in names]
    if len(names) == 1:
        return None if places[0] == "elsewhere" else 0
    for kind, unclear in (
        ("outdoor", ()),
        ("air", ("unknown", "general")),
        ("yard", ("unknown", "general")),
        ("general", ("unknown",)),
    ):
        found = [at for at, place in enumerate(places) if place == kind]
        if not found:
            continue
        if len(found) > 1 or any(place in unclear for place in places):
            return None
        return None if kind == "general" and named_places else found[0]
    return None
