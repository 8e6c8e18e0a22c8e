"""What the engine knows of each job, whatever the species."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Job:
    """How sure a job wants to be, and what to mind while doing it.

    The odds are one practitioner's judgement (from memory): 0.5 where an error is cheap, 0.8 where it is not.
    """

    words: str  # as a grower says it, for a sentence
    floor: float
    heavy: bool  # one heavy job a season on a tree
    cautions: tuple[str, ...] = ()
    floor_sheltered: float | None = None  # where the tree can go under cover afterwards

    def floor_for(self, *, sheltered: bool) -> float:
        """The odds wanted for a tree that can, or can't, go under cover."""
        return self.floor_sheltered if sheltered and self.floor_sheltered is not None else self.floor


LIFTING = (
    "Lift a heavy pot with two people or a trolley, never alone with a bent back; have the new pot, mesh and "
    "soil ready before the tree comes out of the old one."
)
BLADES = "Blades, saws and root hooks cut hands too: cut away from yourself, wear gloves and eye protection."

JOBS: Mapping[str, Job] = {
    "repotting": Job("repotting", 0.8, True, (LIFTING, BLADES), floor_sheltered=0.5),
    "decandling": Job("decandling", 0.8, True, (BLADES,)),
    "needle-work": Job("needle work", 0.5, False, (BLADES,)),
    "candle-shortening": Job("shortening candles", 0.5, False, (BLADES,)),
    "cut-back": Job("cutting back", 0.5, False, (BLADES,)),
    "winter-tidy": Job("the winter tidy", 0.5, False, (BLADES,)),
    "after-bloom-pruning": Job("pruning after bloom", 0.5, True, (BLADES,)),
    "defoliation": Job("thinning leaves", 0.8, True, (BLADES,)),
}
