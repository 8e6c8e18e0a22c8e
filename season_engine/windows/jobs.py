"""What the engine knows of each job, whatever the species."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from season_engine.messages import Message

Rank = Literal["bench", "round"]
# What can hurt whoever does a job, in the order it is told.
CautionKind = Literal[
    "wild trees",
    "lifting",
    "dust",
    "blades",
    "knife",
    "power tools",
    "lime sulphur",
    "wire",
    "poison",
    "skin",
    "heat",
]


NO_NOTE = Message()


@dataclass(frozen=True, slots=True)
class Job:
    """How sure a job wants to be, and what to mind while doing it.

    The odds are one practitioner's judgement (from memory): 0.5 where an error is cheap, 0.8 where it is not.
    """

    words: str  # as a grower says it, for a sentence
    floor: float
    heavy: bool  # one heavy job a season on a tree
    cautions: tuple[CautionKind, ...] = ()
    floor_sheltered: float | None = None  # where the tree can go under cover afterwards
    rank: Rank = "bench"  # a tree on the bench for hours, or a round of small care that comes again
    new_tree: bool = False  # makes or brings in a tree, and so is of no tree that is kept already
    origins: tuple[str, ...] = ()  # for trees that came so only; empty: for all
    note: Message = NO_NOTE  # how it is done, whatever the species
    cuts: bool = True  # sap runs and pieces of the plant lie about, so its poison counts

    def floor_for(self, *, sheltered: bool) -> float:
        """The odds wanted for a tree that can, or can't, go under cover."""
        return self.floor_sheltered if sheltered and self.floor_sheltered is not None else self.floor

    @property
    def told_in_full(self) -> bool:
        """Whether a report gives it a place of its own, rather than a few words among the week's care."""
        return self.rank == "bench" and not self.new_tree


JOBS: Mapping[str, Job] = {
    "repotting": Job(Message("repotting"), 0.8, True, ("lifting", "dust", "blades"), floor_sheltered=0.5),
    "sectional-repotting": Job(
        Message("renewing a section of the root ball"),
        0.8,
        True,
        ("lifting", "dust", "blades"),
        floor_sheltered=0.5,
        origins=("collected", "field-grown"),
    ),
    "slip-potting": Job(
        Message("potting on without root work"), 0.5, False, ("lifting", "dust"), rank="round", cuts=False
    ),
    "decandling": Job(Message("decandling"), 0.8, True),
    "candle-shortening": Job(Message("shortening candles"), 0.5, False),
    "cut-back": Job(Message("cutting back"), 0.5, False),
    "needle-work": Job(
        Message("needle work"),
        0.5,
        False,
        note=Message(
            "Last year's needles and older: most off strong shoots, few off middling ones, none off weak."
        ),
    ),
    "winter-tidy": Job(Message("the winter tidy"), 0.5, False),
    "bud-thinning": Job(Message("thinning buds"), 0.5, False, rank="round"),
    "structural-pruning": Job(Message("structural pruning"), 0.8, True, ("blades",)),
    "trimming": Job(Message("trimming"), 0.5, False, rank="round"),
    "after-bloom-pruning": Job(Message("pruning after bloom"), 0.5, True),
    "defoliation": Job(Message("defoliation"), 0.8, True),
    "wiring": Job(Message("wiring"), 0.5, False, ("wire",), rank="round", cuts=False),
    "wire-check": Job(Message("wire check"), 0.5, False, ("wire",), rank="round", cuts=False),
    "deadwood": Job(Message("work on deadwood"), 0.5, False, ("power tools", "lime sulphur"), rank="round"),
    "feeding": Job(Message("feeding"), 0.5, False, rank="round", cuts=False),
    "shade": Job(Message("shade"), 0.5, False, rank="round", cuts=False),
    "winter-shelter": Job(Message("winter shelter"), 0.5, False, ("lifting",), rank="round", cuts=False),
    "collecting": Job(
        Message("collecting"), 0.8, True, ("wild trees", "lifting", "dust", "blades"), new_tree=True
    ),
    "air-layering": Job(Message("air layering"), 0.5, True, ("knife",), new_tree=True),
    "cuttings": Job(Message("taking cuttings"), 0.5, False, rank="round", new_tree=True),
    "grafting": Job(Message("grafting"), 0.8, True, ("knife",), new_tree=True),
}
