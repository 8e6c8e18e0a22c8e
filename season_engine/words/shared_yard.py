"""What goes into a file of a yard's notes, and what doesn't; as all that is said of files, in English."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from season_engine.site import Site
from season_engine.verify.shared_yard import SharedYard
from season_engine.words.prose import counted

NOT_IN_IT = (
    "Not in it: names of yards, trees and people, ids, your words, jobs, pots, and whatever else your files "
    "say. Nothing is sent: you give the file to whom you like. Whoever has the weather of many yards could "
    "know yours by its temperatures."
)


def shared_texts(yards: Sequence[SharedYard]) -> Iterator[str]:
    """What goes into the file, a paragraph each."""
    for yard in yards:
        first, last = yard.notes[0].date, yard.notes[-1].date
        species = len({note.species for note in yard.notes})
        told = (
            f'"{yard.site.name}", at {_place(yard.site)}: {counted(len(yard.notes), "note")} of growth stages'
        )
        if yard.trees:
            told += f" on {counted(yard.trees, 'numbered tree')}"
        seasons = ", ".join(season.label for season in yard.seasons)
        yield (
            f"{told}, {counted(species, 'species', 'species')}, {first} to {last}: the day, the species, the "
            f"stage, and whether it had come. The lowest and highest temperature of each day of {seasons}, "
            "mended, to 0.1 degC."
        )
        yield from _left_behind(yard)
    yield NOT_IN_IT


def _place(site: Site) -> str:
    height = "" if site.elevation_m is None else f", {site.elevation_m:.0f} m"
    rounded = "0.1 degrees and 50 m" if height else "0.1 degrees"
    return f"{site.latitude:.1f}, {site.longitude:.1f}{height} (rounded to {rounded})"


def _left_behind(yard: SharedYard) -> Iterable[str]:
    left = yard.left_behind
    if left.unknown_species:
        are = counted(left.unknown_species, "note stays", "notes stay")
        yield f"{are} here: their species isn't in the catalogue that comes with the program."
    if left.no_weather:
        are = counted(left.no_weather, "note stays", "notes stay")
        yield f"{are} here: of their season there are no readings, or too few."
