"""What the engine knows of each job, whatever the species."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from season_engine.messages import Message

Rank = Literal["bench", "round"]


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
    rank: Rank = "bench"  # a tree on the bench for hours, or a round of small care that comes again
    new_tree: bool = False  # makes or brings in a tree, and so is of no tree that is kept already
    origins: tuple[str, ...] = ()  # for trees that came so only; empty: for all

    def floor_for(self, *, sheltered: bool) -> float:
        """The odds wanted for a tree that can, or can't, go under cover."""
        return self.floor_sheltered if sheltered and self.floor_sheltered is not None else self.floor

    @property
    def told_in_full(self) -> bool:
        """Whether a report gives it a place of its own, rather than a few words among the week's care."""
        return self.rank == "bench" and not self.new_tree


LIFTING = Message(
    "Lift a heavy pot with two people or a trolley, never alone with a bent back; have the new pot, mesh and "
    "soil ready before the tree comes out of the old one."
)
BLADES = Message(
    "Blades, saws and root hooks cut hands too: cut away from yourself, wear gloves and eye protection."
)
WIRE = Message(
    "Wire under tension whips back: hold the end you cut, mind your eyes and other people's, and let nobody "
    "stand in line with a bend."
)
SPRAYS = Message(
    "Lime sulphur and other sprays burn skin and eyes and kill water life: only what is allowed where you "
    "live, by its label, outdoors, in gloves and goggles, never near an acid or flowers that bees visit."
)
POWER_TOOLS = Message(
    "Powered carvers kick back and throw chips: tie the tree down, keep both hands on the tool, cover face, "
    "ears and lungs, wear nothing it can catch, and have nobody near."
)
LEAVE_TO_DIG = Message(
    "Dig a wild tree only with the owner's written leave, under the law and permits of the place and, where "
    "a licence is wanted, with one who holds it; what is protected stays where it is."
)
DIGGING = Message(
    "A tree with its soil can weigh more than two can carry over rough ground: go with others, bring a "
    "sledge or a hoist, leave word where you are, and turn back where the footing is bad."
)
GRAFTING_BLADES = Message(
    "A grafting knife is a razor, and it slips: cut away from the hand that holds the stock, thumb below the "
    "edge, a cut-proof glove on that hand, and first aid within reach."
)
RING_BLADES = Message(
    "Ringing a branch means drawing a sharp knife round wood you hold: brace the tree, keep fingers out of "
    "the knife's way, wear a cut-proof glove."
)
HEAVY_POTS = Message(
    "Heavy pots on the move fall on feet: two people or a trolley, and benches that bear the weight."
)

JOBS: Mapping[str, Job] = {
    "repotting": Job(Message("repotting"), 0.8, True, (LIFTING, BLADES), floor_sheltered=0.5),
    "sectional-repotting": Job(
        Message("renewing a section of the root ball"),
        0.8,
        True,
        (LIFTING, BLADES),
        floor_sheltered=0.5,
        origins=("collected", "field-grown"),
    ),
    "slip-potting": Job(Message("potting on without root work"), 0.5, False, (LIFTING,), rank="round"),
    "decandling": Job(Message("decandling"), 0.8, True, (BLADES,)),
    "candle-shortening": Job(Message("shortening candles"), 0.5, False, (BLADES,)),
    "cut-back": Job(Message("cutting back"), 0.5, False, (BLADES,)),
    "needle-work": Job(Message("needle work"), 0.5, False, (BLADES,)),
    "winter-tidy": Job(Message("the winter tidy"), 0.5, False, (BLADES,)),
    "bud-thinning": Job(Message("thinning buds"), 0.5, False, (BLADES,), rank="round"),
    "structural-pruning": Job(Message("structural pruning"), 0.8, True, (BLADES,)),
    "trimming": Job(Message("trimming"), 0.5, False, (BLADES,), rank="round"),
    "after-bloom-pruning": Job(Message("pruning after bloom"), 0.5, True, (BLADES,)),
    "defoliation": Job(Message("defoliation"), 0.8, True, (BLADES,)),
    "wiring": Job(Message("wiring"), 0.5, False, (WIRE,), rank="round"),
    "wire-check": Job(Message("wire check"), 0.5, False, (WIRE,), rank="round"),
    "deadwood": Job(Message("work on deadwood"), 0.5, False, (POWER_TOOLS, SPRAYS), rank="round"),
    "feeding": Job(Message("feeding"), 0.5, False, rank="round"),
    "shade": Job(Message("shade"), 0.5, False, rank="round"),
    "winter-shelter": Job(Message("winter shelter"), 0.5, False, (HEAVY_POTS,), rank="round"),
    "collecting": Job(Message("collecting"), 0.8, True, (LEAVE_TO_DIG, DIGGING, BLADES), new_tree=True),
    "air-layering": Job(Message("air layering"), 0.5, True, (RING_BLADES,), new_tree=True),
    "cuttings": Job(Message("taking cuttings"), 0.5, False, (BLADES,), rank="round", new_tree=True),
    "grafting": Job(Message("grafting"), 0.8, True, (GRAFTING_BLADES,), new_tree=True),
}
