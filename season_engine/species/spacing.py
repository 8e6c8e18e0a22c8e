"""What one piece of work keeps from a tree, and for how long: the rules of `spacing.toml`."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Literal, Self, get_args

from pydantic import Field, model_validator

from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import packaged
from season_engine.species.kinds import KindName, is_one_of
from season_engine.tables.known import Table
from season_engine.tables.texts import Name
from season_engine.tree import Stage, Vigour

if TYPE_CHECKING:
    from season_engine.species.catalogue import Species

# What is done to a tree, as far as it matters for what may follow; a job is of several kinds at times.
Done = Literal[
    "root work",  # on the whole of the ball
    "spring root work",  # of that, what is done as days grow longer
    "late root work",  # on the whole or a part of it, from the longest day on
    "section",
    "decandling",
    "whole defoliation",
    "partial defoliation",
    "pruning",  # of branches, with three tenths of the foliage or less as with more
    "heavy pruning",
    "big bend",
    "deadwood",
    "needle-work",
    "trimming",
    "pinching",
    "candle-shortening",
    "cut-back",
    "after-bloom-pruning",
    "winter-tidy",
    "bud-thinning",
    "collecting",
    "arrival",
    "arrival from the other hemisphere",
    "illness",  # from the day it was well again
]
Asked = Literal[
    "root work",
    "section",
    "decandling",
    "whole defoliation",
    "partial defoliation",
    "pruning",
    "heavy pruning",
    "big bend",
    "needle-work",
    "trimming",
    "pinching",
    "candle-shortening",
    "cut-back",
    "after-bloom-pruning",
    "winter-tidy",
    "bud-thinning",
    "feeding",
    "other work",  # that no rule speaks of
]
HEAVY: frozenset[Asked] = frozenset(
    {"root work", "section", "decandling", "whole defoliation", "heavy pruning", "big bend"}
)
HELPING: frozenset[Asked] = frozenset({"feeding", "winter-tidy", "other work"})
Growth = Literal["hard flush", "next spring", "next spring's shoots hard", "one full growing season"]


class OfTrees(Table):
    """What a row says of which trees it speaks, and how sure whoever wrote it down is."""

    on: tuple[KindName, ...] = Field(default=(), description="Kinds of tree; without it all.")
    not_on: tuple[KindName, ...] = Field(default=(), description="Kinds of tree that it doesn't speak of.")
    stages: tuple[Stage, ...] = Field(default=(), description="Of a tree; without it any.")
    vigour: tuple[Vigour, ...] = Field(default=(), description="Of a tree; without it any.")
    certainty: int = Field(ge=50, le=99, description="How sure you are, in a hundred.")

    def is_for(self, species: Species, stage: Stage, vigour: Vigour) -> bool:
        """Whether it speaks of such a tree."""
        return (
            is_one_of(species, self.on)
            and not (self.not_on and is_one_of(species, self.not_on))
            and (not self.stages or stage in self.stages)
            and (not self.vigour or vigour in self.vigour)
        )


class Rule(OfTrees):
    """What a piece of work keeps from a tree; `spacing.toml` says what each key means."""

    name: Name = Field(pattern=r"^[a-z][a-z-]*$", description="Small letters and hyphens; `check` names it.")
    after: tuple[Done, ...] = Field(min_length=1, description="What was done.")
    before: tuple[Asked | Literal["heavy work", "anything"], ...] = Field(
        min_length=1, description="What that keeps away."
    )
    least_years: int | None = Field(
        default=None, description="Of trees repotted every so many years at the least."
    )
    halves: bool = Field(default=False, description="Of trees whose root ball is renewed in halves.")
    weeks: int = Field(
        default=0, ge=0, le=520, description="For so long; without a time it keeps nothing away."
    )
    months: int = Field(default=0, ge=0, le=120, description="The same in months.")
    days: int = Field(default=0, ge=0, le=3650, description="The same in days.")
    growth: Growth | None = Field(default=None, description="And until which growth, if that is later.")
    good_seasons: int = Field(default=0, ge=0, le=3, description="And after how many good seasons.")
    school: Name = Field(default="", description="Whose rule it is, where growers disagree.")

    @property
    def bars(self) -> bool:
        """Whether there is anything to wait for."""
        return bool(self.weeks or self.months or self.days or self.growth)

    def speaks_of(self, asked: Asked) -> bool:
        """Whether it is about that work; "anything" is all but what helps a tree."""
        heavy = "heavy work" in self.before and asked in HEAVY
        return heavy or asked in self.before or ("anything" in self.before and asked not in HELPING)

    @model_validator(mode="after")
    def _one_time(self) -> Self:
        if sum(map(bool, (self.weeks, self.months, self.days))) > 1:
            raise ValueError("a rule has weeks, months or days, not several of them")
        return self


class Most(OfTrees):
    """How many heavy jobs a tree bears in a growth cycle."""

    jobs: int = Field(ge=1, le=4)
    together: tuple[Asked, ...] = Field(default=(), max_length=2)
    uncounted: tuple[Asked, ...] = ()


class Spacing(Table):
    """The rules, the first that fits deciding, and how much heavy work a cycle bears."""

    rule: tuple[Rule, ...] = Field(min_length=1)
    most: tuple[Most, ...] = Field(min_length=1)


@cache
def spacing() -> Spacing:
    """The rules that come with the package."""
    return checked(packaged("species/spacing.toml"), Spacing)


ALL_DONE: tuple[Done, ...] = get_args(Done)
