"""Trees as one says them: "3 black pines, 2 tridents, one of them large"."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.species.catalogue import Catalogue
from season_engine.tree import Size, Stage

MOST_TREES = 999  # of a kind in one go
EXAMPLE = "3 black pines, 2 tridents, one of them large"

# The trade's own words for sizes among them.
_SIZES: dict[str, Size] = {
    **dict.fromkeys(("small", "little", "tiny", "mame", "shohin"), "small"),
    **dict.fromkeys(("medium", "middling", "medium-sized", "chuhin", "kifu"), "medium"),
    **dict.fromkeys(("large", "big", "huge", "heavy"), "large"),
}
_STAGES: dict[str, Stage] = {"young": "young", "training": "training", "refined": "refined", "old": "old"}
_NUMBERS = {
    **{
        "a": 1,
        "an": 1,
        "one": 1,
        "two": 2,
        "both": 2,
        "three": 3,
        "four": 4,
        "five": 5,
        "six": 6,
        "seven": 7,
    },
    **{"eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "fifteen": 15, "twenty": 20},
}
_CLAUSES = re.compile(r"[,;()\n]|\.\s|\s(?:and|&|\+)\s")
_OF_THEM = re.compile(
    r"(?:(\S+)\s+)?(?:of\s+)?(?:them|these|those|which)(?:\s+(?:is|are|being))?\s+(\S+)", re.I
)
_PART = re.compile(rf"(\S+)\s+({'|'.join(_SIZES)})", re.I)  # "(one large)"
_TIMES = re.compile(r"(.*\S)\s*[x\u00d7]\s*([0-9]{1,4})|([0-9]{1,4})\s*[x\u00d7]\s*(\S.*)", re.I)


@dataclass(frozen=True, slots=True)
class SaidTree:
    """One tree of a list: its species as the grower named it, and its size if that was said."""

    species: str  # as it was typed, in the singular, where the catalogue has that name
    size: Size | None = None
    stage: Stage | None = None


def trees_said(text: str, catalogue: Catalogue) -> tuple[SaidTree, ...]:
    """One for each tree, in the order they were named.

    Raises GrowerError for a kind that isn't known or could be several, and for what isn't plain.
    """
    groups: list[list[SaidTree]] = []
    for clause in _clauses(text):
        if match := _OF_THEM.fullmatch(clause) or _PART.fullmatch(clause):
            if not groups:
                raise GrowerError(
                    f'"{shortened(clause)}": of which trees?', hint=f"Say it like this: {EXAMPLE}."
                )
            groups[-1] = _sized(groups[-1], match[1] or "all", match[2], clause)
        elif groups and clause.casefold() in _SIZES:  # "1 Monterey pine, large": the kind before it
            groups[-1] = _sized(groups[-1], "all", clause, clause)
        else:
            groups.append(_group(clause, catalogue))
    return tuple(tree for group in groups for tree in group)


def _clauses(text: str) -> Iterator[str]:
    for clause in _CLAUSES.split(text):
        if plain := " ".join(clause.split()).strip("."):
            yield plain


def _group(clause: str, catalogue: Catalogue) -> list[SaidTree]:
    """``2 large tridents``: how many, of what size or stage, what."""
    count, words = _counted(re.sub(r"\bin training\b", "training", clause, flags=re.I))
    sizes = {_SIZES[word] for word in map(str.casefold, words) if word in _SIZES}
    stages = {_STAGES[word] for word in map(str.casefold, words) if word in _STAGES}
    kind = " ".join(word for word in words if word.casefold() not in {*_SIZES, *_STAGES})
    if len(sizes) > 1 or len(stages) > 1 or not kind:
        raise _unclear(clause)
    known = (one for one in (kind, kind.removesuffix("s"), kind.removesuffix("es")) if catalogue.get(one))
    species = next(known, None) or catalogue.known_names(()).species_called(kind)
    return [SaidTree(species, next(iter(sizes), None), next(iter(stages), None))] * count


def _counted(clause: str) -> tuple[int, list[str]]:
    if match := _TIMES.fullmatch(clause):
        return _count(match[2] or match[3], clause), (match[1] or match[4]).split()
    first, *others = clause.split()
    if first.isdecimal() or first.casefold() in _NUMBERS:
        return _count(first, clause), others
    return 1, [first, *others]


def _count(word: str, clause: str) -> int:
    count = int(word) if word.isdecimal() and len(word) < 6 else _NUMBERS.get(word.casefold(), 0)
    if not 1 <= count <= MOST_TREES:
        raise _unclear(clause)
    return count


def _sized(group: list[SaidTree], how_many: str, word: str, clause: str) -> list[SaidTree]:
    """The last so many of a group that have no size yet, in that size."""
    size = _SIZES.get(word.casefold())
    free = [place for place, tree in enumerate(group) if tree.size is None]
    count = len(free) if how_many.casefold() in ("all", "each") else _count(how_many, clause)
    if size is None or not 0 < count <= len(free):
        raise _unclear(clause)
    chosen = set(free[-count:])
    return [replace(tree, size=size) if place in chosen else tree for place, tree in enumerate(group)]


def _unclear(clause: str) -> GrowerError:
    return GrowerError(
        f'"{shortened(clause)}" isn\'t clear.',
        hint=f"Say how many, of what, and small, medium or large if you like: {EXAMPLE}.",
    )
