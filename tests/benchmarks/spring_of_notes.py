"""A spring with five notes, week by week: what each moved, by how much, and what was said.

`python -m tests.benchmarks.spring_of_notes`: repotting of a maple on Nagano's weather and of a large pine in
the demo's mild south. The tree comes to each stage some days later than the catalogue's rule has it in that
spring's own weather; the grower looks now and then and notes what is to be seen.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator
from dataclasses import dataclass

from season_engine.note import Note, Sighting
from season_engine.site import Site
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.tree import Size
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment, Quantiles
from season_engine.words.learnt import learnt_sentence
from season_engine.words.verdicts import verdict_words
from tests.benchmarks.markdown import markdown_row
from tests.yards import NAGANO, SOUTH, view

WEEKS = 12


@dataclass(frozen=True)
class Spring:
    """A tree, its spring, and when its grower looks for what.

    A look is so many days after the tree came to the stage of a code, and for a code, which may be another.
    """

    title: str
    site: Site
    species: str
    size: Size
    first_monday: dt.date
    late_days: int
    looks: tuple[tuple[int, int, int, Sighting], ...]


SPRINGS = (
    Spring(
        *("Japanese maple, Nagano, spring of 2021, six days late", NAGANO, "Acer palmatum", "medium"),
        *(dt.date(2021, 2, 15), 6),
        ((-8, 1, 1, "not-yet"), (0, 1, 1, "seen"), (9, 1, 2, "seen"), (-3, 9, 7, "seen"), (0, 9, 9, "seen")),
    ),
    Spring(
        *("Monterey pine, mild south, winter of 2023, eight days late", SOUTH, "Pinus radiata", "large"),
        *(dt.date(2023, 6, 19), 8),
        (
            *((-20, 1, 1, "not-yet"), (-6, 1, 1, "not-yet"), (0, 1, 1, "seen")),
            *((-14, 7, 7, "not-yet"), (0, 7, 7, "seen")),
        ),
    ),
)


def notes_of(spring: Spring, kind: Species) -> list[Note]:
    """What is noted, dated from the day on which the tree comes to its first stage."""
    season = spring.site.season_on(spring.first_monday)
    whole = Prospect(view(spring.site, season.date_of(364)), kind, spring.size)
    own = {
        marker.bbch: date + dt.timedelta(days=spring.late_days)
        for name, marker in kind.markers.items()
        if (date := whole.marker_date(name, 0)) is not None
    }
    return [
        Note(own[stage] + dt.timedelta(days=days), spring.site.name, "t1", kind.name, bbch, sighting=sighting)
        for days, stage, bbch, sighting in spring.looks
    ]


def told(spring: Spring, kind: Species, on: dt.date, notes: list[Note]) -> Assessment:
    known = [note for note in notes if note.date <= on]
    prospect = Prospect(view(spring.site, on), kind, spring.size, known, tree="t1")
    window = next(one for one in kind.windows if one.job == "repotting")
    return assess(prospect, window)


def rows(spring: Spring) -> Iterator[str]:
    kind = load_catalogue().find(spring.species)
    notes = notes_of(spring, kind)
    yield f"**{spring.title}**"
    yield ""
    head = (
        "Monday",
        "Noted that week",
        "Opens, no notes",
        "With them",
        "Closes, no notes",
        "With them",
        "Said",
    )
    yield markdown_row(head)
    yield markdown_row(["---"] * len(head))
    for week in range(WEEKS):
        on = spring.first_monday + dt.timedelta(weeks=week)
        before, after = told(spring, kind, on, []), told(spring, kind, on, notes)
        new = [note for note in notes if on - dt.timedelta(days=7) < note.date <= on]
        yield markdown_row(
            (
                f"{on:%d %b}",
                ", ".join(f"{note.sighting} {note.bbch:02d} ({note.date:%d %b})" for note in new),
                *(_dates(one) for one in (before.opens, after.opens, before.closes, after.closes)),
                f"{verdict_words(after)}. {learnt_sentence(after.learnt)}".strip(),
            )
        )


def _dates(quantiles: Quantiles) -> str:
    days = [f"{day:%d %b}" if day else "never" for day in (quantiles.p10, quantiles.p50, quantiles.p90)]
    return f"{days[1]} ({days[0]} to {days[2]})"


def main() -> None:
    sys.stdout.write("\n\n".join("\n".join(rows(spring)) for spring in SPRINGS) + "\n")


if __name__ == "__main__":
    main()
