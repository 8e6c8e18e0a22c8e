"""How many lines of diaries the journal understands: ``python -m tests.benchmarks.diary_lines PATTERN``.

The lines stand in tests/data/journal_lines. Prints counts alone, and no line's words.
"""

from __future__ import annotations

import csv
import datetime as dt
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Literal, NamedTuple, cast

from season_engine.errors import GrowerError
from season_engine.note import Details
from season_engine.species.catalogue import load_catalogue
from season_engine.species.names import KnownNames
from season_engine.tree import Size, Tree
from season_engine.workspace.journal_words import Understood, understand
from tests.benchmarks.markdown import markdown_table, show

LINES = Path(__file__).parent.parent / "data" / "journal_lines"
ON = dt.date(2026, 12, 15)  # a Tuesday
SITES = ("quay", "hilltop")
Mark = Literal["rightly", "kept", "wrongly", "refused"]
MARKS: tuple[Mark, ...] = ("rightly", "kept", "wrongly", "refused")
SEEN = {"seen": "stage", "not-yet": "not-yet", "already": "already"}
IMPLIED = {"big-bend": "job:wiring", "partial": "job:defoliation"}
OFF = {"wire": "wire:off", "ties": "ties:off", "cover": "uncovered"}


class Meant(NamedTuple):
    """One way to read a line."""

    trees: frozenset[str]
    facts: frozenset[str]


class Line(NamedTuple):
    """A line with the honest ways to read it."""

    said: str
    meant: Sequence[Meant]


@cache
def names() -> KnownNames:
    """The invented yard's trees and all species."""
    with (LINES / "trees.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    trees = [
        Tree(row["id"], row["site"], row["species"], row["name"], size=cast("Size", row["size"]))
        for row in rows
    ]
    return load_catalogue().known_names(trees)


def lines_of(path: Path) -> Iterator[Line]:
    """The lines of one file."""
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            trees = frozenset(row["trees"].split()) or frozenset({row["species"]} - {""})
            ways = [
                Meant(trees, frozenset(fact for one in way.split(" | ") for fact in _plain(one)))
                for way in row["facts"].split(" || ")
            ]
            yield Line(row["said"], ways)


def _plain(fact: str) -> Iterator[str]:
    """A fact without what may be missing from it: its amount, share, side and pot."""
    name = fact.split()[0] if fact.strip() else "note"
    if name == "note" or name.startswith("pot:"):
        return
    yield IMPLIED.get(name, name)


def _facts(note: Understood) -> Iterator[str]:
    if note.job:
        yield f"job:{note.job}"
    if note.bbch is not None:
        yield f"{SEEN[note.sighting]}:{note.bbch:02d}"
    yield from _beside(note.details)


def _beside(details: Details) -> Iterator[str]:
    yield from (f"sign:{one.replace(' ', '-')}" for one in details.signs)
    yield from (f"state:{one.replace(' ', '-')}" for one in details.states)
    yield from (OFF[one] for one in details.off)
    if details.moved_to:
        yield f"moved-to:{details.moved_to}"
    if details.season:
        yield f"season:{details.season}"
    if details.went:
        yield f"went:{details.went}"


def _spread(trees: frozenset[str], facts: frozenset[str]) -> frozenset[str]:
    """Trees, with a kind as all trees of it in the yard; a tree that comes new is none of those."""
    if "state:arrived" in facts:
        return trees
    kinds = {one: {tree.id for tree in names().trees_of(one)} or {one} for one in trees}
    return frozenset(tree for one in trees for tree in kinds[one])


def _as_these_kinds(facts: frozenset[str], trees: frozenset[str]) -> frozenset[str]:
    """Facts with a cutting back as pruning of the structure where none of the trees' kinds has that job."""
    known = load_catalogue()
    kinds = {names().species_of(names().tree_called(one)) if one in names().ids else one for one in trees}
    if any("cut-back" in species.jobs for kind in kinds if (species := known.get(kind))):
        return facts
    return frozenset("job:structural-pruning" if one == "job:cut-back" else one for one in facts)


def read(said: str) -> tuple[Understood, ...] | None:
    """What is understood of a line; None where it is refused."""
    known = load_catalogue()

    def jobs_of(kind: str) -> tuple[str, ...] | None:
        species = known.get(kind)
        return species.jobs if species else None

    try:
        return understand(said, names(), jobs_of=jobs_of, on=ON, sites=SITES)
    except GrowerError:
        return None


def mark(line: Line) -> Mark:
    """How a line was understood."""
    notes = read(line.said)
    if notes is None:
        return "refused"
    facts = frozenset(fact for note in notes for fact in _facts(note))
    of_facts = [note for note in notes if not note.plain]  # a name without a fact is a note of that tree
    if any(not (note.tree or note.species or note.whole_yard) for note in of_facts):
        return "refused"  # as `journal add` does with what is of no tree
    named = frozenset(_whose(note) for note in of_facts or notes) - {""}
    marks = set()
    for way in line.meant:
        trees, meant = _spread(named, facts), _spread(way.trees, way.facts)
        told = _as_these_kinds(way.facts, meant)
        if facts == told and trees == meant:
            marks.add("rightly")
        elif not facts or (facts <= told and trees <= meant):
            marks.add("kept")
    if not marks and all(note.whole_yard for note in of_facts):
        return "kept"  # what is of the whole yard is written down as words
    return "rightly" if "rightly" in marks else "kept" if marks else "wrongly"


def _whose(note: Understood) -> str:
    return note.tree.id if note.tree else note.species or ""


def counts(path: Path) -> Counter[Mark]:
    """The marks of a file's lines."""
    return Counter(mark(line) for line in lines_of(path))


def main(pattern: str) -> None:
    """Print the counts of the files that match, by their sets, and of all together."""
    sets: dict[str, Counter[Mark]] = {}
    for path in sorted(LINES.glob(pattern)):
        sets.setdefault(path.stem.split("_")[0], Counter()).update(counts(path))
    sets["all"] = sum(sets.values(), Counter())
    rows = [[name, *(str(found[one]) for one in MARKS)] for name, found in sets.items()]
    show(*markdown_table(("lines", *MARKS), rows))


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "*_*.csv")
