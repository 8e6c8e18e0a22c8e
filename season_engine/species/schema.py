"""The shape of the catalogue: markers, windows, hazards, groups and species, checked on reading."""

from __future__ import annotations

from typing import Annotated, Any, Literal, NamedTuple, Self, get_args

from pydantic import AfterValidator, Field, model_validator

from season_engine.facts import NO_TEXT
from season_engine.markers.registry import AnyMarker
from season_engine.note import Amount
from season_engine.species.jobs import JOBS
from season_engine.species.spacing import Rule
from season_engine.tables.heat_units import Heat
from season_engine.tables.known import Known, Table
from season_engine.tables.texts import Name, WrittenText
from season_engine.tree import Size, Stage

Severity = Literal["light trim", "full", "bare root"]


class _Hazard(Known):
    limit: float = Field(
        gt=0, lt=1, description="Above this chance the job is held, or done only with shelter."
    )


class ColdHazard(_Hazard):
    """A night too cold for a tree just worked; a tree under cover is spared it."""

    name: Literal["frost", "cold night", "root frost"] = Field(
        description="In the air, or in the middle of the pot."
    )
    level_c: float = Field(ge=-40, le=30, description="A night this cold or colder, in °C.")
    days: int = Field(ge=1, le=90, description="Within so many days of the job.")


class HeatHazard(_Hazard):
    """A day too hot for a tree just worked, or several in a row; shade spares its roots that."""

    name: Literal["heat", "hot spell", "root heat"] = Field(
        description="In the air, or in the middle of the pot."
    )
    level_c: float = Field(ge=20, le=50, description="A day this hot or hotter, in °C.")
    days: int = Field(ge=1, le=90, description="Within so many days of the job.")
    run: int = Field(default=1, ge=1, le=14, description="Hot days in a row that do the harm.")


class ShortSeason(_Hazard, Heat):
    """Too little heat left before another marker for the tree to recover in."""

    name: Literal["short season"] = Field(description="So much heat, or less, is left.")
    until: str = Field(description="The marker before which the heat must come.")


HazardRule = Annotated[ColdHazard | HeatHazard | ShortSeason, Field(discriminator="name")]


class Sections(Known):
    """How a root ball is renewed over the years: in so many parts, so many years apart."""

    parts: int = Field(ge=2, le=8, description="How many.")
    years_apart: tuple[int, int] = Field(description="At least, at most.")
    trees: WrittenText = Field(min_length=3, description="Which trees, in words.")


class Years(NamedTuple):
    """Years between two repottings, at least and at most."""

    least: int
    most: int


class Repotted(Known):
    """How often trees of a kind are repotted, by how far they are on the way to a finished tree.

    Common practice, written from memory, no source.
    """

    young: Years = Field(description="Years at least and at most; years instead of all four: all alike.")
    training: Years = Field(description="The same of a tree in training.")
    refined: Years = Field(description="Of a refined one.")
    old: Years = Field(description="Of an old one.")

    @model_validator(mode="before")
    @classmethod
    def _alike_at_every_stage(cls, table: Any) -> Any:
        """`years` stands for all of them."""
        if not isinstance(table, dict) or "years" not in table:
            return table
        others = {key: value for key, value in table.items() if key != "years"}
        return {**dict.fromkeys(get_args(Stage), table["years"]), **others}

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if any(not 1 <= years.least <= years.most <= 20 for years in self.all_stages):
            raise ValueError("years are two whole numbers from 1 to 20, the smaller first")
        return self

    @property
    def all_stages(self) -> tuple[Years, ...]:
        """Of a young tree, one in training, a refined one and an old one."""
        return self.young, self.training, self.refined, self.old

    def years(self, stage: Stage, size: Size) -> Years:
        """Of a tree; small ones, in little soil, a third less."""
        least, most = getattr(self, stage)
        if size == "small":
            least, most = (max(1, round(years * 2 / 3)) for years in (least, most))
        return Years(least, most)


class Harm(Known):
    """What of a plant harms whoever handles or eats it."""

    parts: WrittenText = Field(
        min_length=3, description='After the plant\'s name: "all parts but the red flesh of the fruit".'
    )


def _known_job(job: str) -> str:
    if job not in JOBS:
        raise ValueError(f'job "{job}" is not one of {", ".join(JOBS)}')
    return job


JobName = Annotated[str, AfterValidator(_known_job)]
Jobs = tuple[JobName, ...]
Hours = Annotated[float, Field(gt=0, le=500)]


class Window(Table):
    """When one job may be done: opens when all of `opens` have happened, closes at the first of `closes`."""

    job: JobName = Field(description="The job.")
    name: Name = Field(min_length=1, description='Which of its windows, such as "spring".')
    opens: tuple[str, ...] = Field(min_length=1, description="Markers: it opens with the last of them.")
    closes: tuple[str, ...] = Field(min_length=1, description="Markers: it closes with the first of them.")
    size: Size | None = Field(default=None, description="Where windows differ by the size of the tree.")
    severity: Severity | None = Field(
        default=None, description="Of root work, where each closes at a time of its own."
    )
    school: Name = Field(default="", description="Where growers disagree: which of them work so.")
    instead_of: JobName | None = Field(
        default=None, description="The job that this school leaves out for this one."
    )
    hazard: tuple[HazardRule, ...] = Field(default=(), description="Weather that harms afterwards.")
    amount: Amount | None = Field(
        default=None, description="How much it takes, where that is less or more than as a rule."
    )
    aftercare: tuple[WrittenText, ...] = Field(default=(), description="What the tree wants afterwards.")
    sections: tuple[Sections, ...] = Field(
        default=(), description="In how many parts a root ball is renewed."
    )
    note: WrittenText = Field(default=NO_TEXT, description="What is told with it.")

    @property
    def disputed(self) -> str:
        """The job that growers disagree over."""
        return self.instead_of or self.job

    @property
    def markers(self) -> tuple[str, ...]:
        """Names of all markers it refers to."""
        until = (rule.until for rule in self.hazard if isinstance(rule, ShortSeason))
        return (*self.opens, *self.closes, *until)

    @model_validator(mode="after")
    def _a_school_is_named(self) -> Self:
        if self.instead_of and not self.school:
            raise ValueError("instead_of goes with a school")
        return self


class SharedSet(Table):
    """Markers and windows that many groups have in common; a group takes them by the set's name."""

    set: str = Field(min_length=1)
    marker: dict[str, AnyMarker] = Field(default_factory=dict)
    window: tuple[Window, ...] = ()


class SpeciesTable(Table):
    """A species; its markers and windows replace those of its group, each table whole."""

    group: str | None = Field(
        default=None, description="Its group; without it the file's, or the one it has already."
    )
    common: tuple[Name, ...] = Field(default=(), description="Common names, the usual one first.")
    synonyms: tuple[Name, ...] = Field(default=(), description="Other botanical names.")
    poison: Harm | None = Field(default=None, description="What of it is poisonous.")
    skin: Harm | None = Field(default=None, description="What of it burns or irritates skin and eyes.")
    repotted_every: Repotted | None = Field(default=None, description="How often it is repotted.")
    marker: dict[str, AnyMarker] = Field(
        default_factory=dict, description="By name; each replaces the group's of that name whole."
    )
    window: tuple[Window, ...] = Field(
        default=(), description="Each replaces the group's of the same job and name, or is added."
    )
    without: Jobs = Field(default=(), description="Jobs of its group that are not done on it.")
    note: WrittenText = Field(default=NO_TEXT, description="What is told with every job on it.")
    root_note: WrittenText = Field(default=NO_TEXT, description="What is told with work on its roots alone.")


class CatalogueFile(Table):
    """One file of the catalogue: a group with its species, or species of groups that stand elsewhere."""

    group: str | None = Field(default=None, description="Of a file that is a group of your own: its name.")
    takes: tuple[str, ...] = Field(default=(), description="The shared sets it has, by name.")
    without: Jobs = Field(default=(), description="Jobs of those sets that are not done on it.")
    poison: Harm | None = Field(default=None, description="What of its species is poisonous.")
    skin: Harm | None = Field(default=None, description="What of them burns or irritates skin and eyes.")
    repotted_every: Repotted | None = Field(default=None, description="How often they are repotted.")
    marker: dict[str, AnyMarker] = Field(default_factory=dict, description="Its markers, by name.")
    window: tuple[Window, ...] = Field(default=(), description="Its windows.")
    spacing: tuple[Rule, ...] = Field(default=(), description="Rules of what may follow what, before ours.")
    hours: dict[JobName, dict[Size, Hours]] = Field(
        default_factory=dict, description="How long you take for a job, in hours, by the tree's size."
    )
    species: dict[str, SpeciesTable] = Field(default_factory=dict, description="By botanical name.")

    @model_validator(mode="after")
    def _markers_are_of_a_group(self) -> Self:
        numbers = (self.marker, self.window, self.poison, self.skin, self.repotted_every)
        of_a_group = (self.takes, self.without, *numbers)
        if self.group is None and any(of_a_group):
            raise ValueError('must say of which group this is: write group = "..." at its head')
        return self
