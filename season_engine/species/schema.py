"""The shape of the catalogue: markers, windows, hazards, groups and species, checked on reading."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, field_validator, model_validator

from season_engine.messages import Message
from season_engine.species.heat_units import base_and_cap_c
from season_engine.species.texts import Name, Text
from season_engine.workspace.jobs import JOBS

Provenance = Literal["published", "fit", "practice", "memory"]
Zone = Literal["air", "root"]
Size = Literal["small", "medium", "large"]
Severity = Literal["light trim", "full", "bare root"]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Heat(_Table):
    """An amount of heat, in a unit written out."""

    need: float = Field(gt=0)
    unit: str

    @field_validator("unit")
    @classmethod
    def _known_unit(cls, unit: str) -> str:
        base_and_cap_c(unit)
        return unit

    @property
    def base_c(self) -> float:
        """Temperature that heat is counted above."""
        return base_and_cap_c(self.unit)[0]

    @property
    def upper_c(self) -> float | None:
        """Temperature at which the daily mean is capped, if it is."""
        return base_and_cap_c(self.unit)[1]


_ORIGINS: dict[Provenance, str] = {
    "published": "published",
    "fit": "fitted",
    "practice": "common practice, no source",
    "memory": "from memory",
}


class _Known(_Table):
    """What says where it is known from."""

    provenance: Provenance = Field(alias="from")
    source: Text = Field(default_factory=Message)

    @model_validator(mode="after")
    def _sourced(self) -> Self:
        if self.provenance in ("published", "fit") and not self.source:
            raise ValueError(f'what is marked "{self.provenance}" needs its source')
        return self


class _Marker(_Known):
    """What every marker says of itself."""

    label: Text = Field(min_length=3)  # words that follow "when": "candles begin to move"
    bbch: int | None = Field(default=None, ge=0, le=99)
    sd_days: float = Field(default=0, ge=0, le=40)

    @property
    def origin(self) -> str:
        """Where the numbers come from, as printed."""
        words = _ORIGINS[self.provenance]
        return Message("{origin}: {source}", origin=words, source=self.source) if self.source else words


class SeasonDay(_Marker):
    """A fixed day, counted from the season's first day (92 is midwinter's new year in either hemisphere)."""

    kind: Literal["season_day"]
    day: int = Field(ge=0, le=500)


class ChillMet(_Marker):
    """Chill counted from the season's start reaches a need."""

    kind: Literal["chill_met"]
    need: float = Field(gt=0, le=200)
    unit: Literal["chill portions"]


class HeatAfter(_Marker, Heat):
    """Heat counted from another marker reaches a need."""

    kind: Literal["heat_after"]
    after: str


class HeatSoftenedByChill(_Marker, Heat):
    """Heat since a marker reaches a need that falls as chill rises: need * exp(-softening * portions)."""

    kind: Literal["heat_softened_by_chill"]
    after: str
    softening: float = Field(gt=0, le=0.2)


class SoftenedForcing(_Marker):
    """Hourly forcing since a marker reaches a need that falls as chill rises, as in `HeatSoftenedByChill`.

    An hour counts from 0 in the cold to 1 in the warm, one half at `middle_c`; a day full of ones is one day.
    """

    kind: Literal["softened_forcing"]
    after: str
    need: float = Field(gt=0, le=1000)
    unit: Literal["days of full warmth"]
    steepness_per_c: float = Field(gt=0, le=5)
    middle_c: float = Field(ge=-10, le=40)
    softening: float = Field(ge=0, le=0.2)


class HeatLeftBelow(_Marker, Heat):
    """The heat still to come before another marker falls below an amount."""

    kind: Literal["heat_left_below"]
    after: str
    until: str


class MeanAbove(_Marker):
    """The mean of so many days rises to a level."""

    kind: Literal["mean_above"]
    after: str
    level_c: float = Field(ge=-20, le=40)
    days: int = Field(ge=1, le=60)
    zone: Zone = "air"


class MeanBelow(_Marker):
    """The mean of so many days falls to a level."""

    kind: Literal["mean_below"]
    after: str
    level_c: float = Field(ge=-20, le=40)
    days: int = Field(ge=1, le=60)
    zone: Zone = "air"


class DayLengthBelow(_Marker):
    """The day is no longer than so many hours; where it never gets so short, the year's shortest day."""

    kind: Literal["day_length_below"]
    after: str
    hours: float = Field(gt=0, lt=24)


class DayLengthAbove(_Marker):
    """The day is at least so many hours long."""

    kind: Literal["day_length_above"]
    after: str
    hours: float = Field(gt=0, lt=24)


class HeatShare(_Marker):
    """Heat counted from another marker reaches a share of the site's mean annual heat."""

    kind: Literal["heat_share"]
    after: str
    share: float = Field(gt=0, lt=1)
    base_c: float = Field(ge=-5, le=20)

    @property
    def unit(self) -> str:
        """The heat it counts."""
        return f"growing degree days above {self.base_c:g} degC"


class FirstFrost(_Marker):
    """The date by which such a share of years has had a night this cold at the pots."""

    kind: Literal["first_frost"]
    after: str
    level_c: float = Field(ge=-30, le=15)
    share: float = Field(gt=0, lt=1)


class LastFrost(_Marker):
    """The date after which no more than such a share of years still has a night this cold at the pots."""

    kind: Literal["last_frost"]
    after: str
    until: str
    level_c: float = Field(ge=-30, le=15)
    share: float = Field(gt=0, lt=1)


class DaysAfter(_Marker):
    """So many days after (or, if negative, before) another marker."""

    kind: Literal["days_after"]
    after: str
    days: int = Field(ge=-200, le=400)


class HotDayOdds(_Marker):
    """The date by which such a share of years has had a day as hot as this."""

    kind: Literal["hot_day_odds"]
    after: str
    level_c: float = Field(ge=20, le=50)
    share: float = Field(gt=0, lt=1)


class LastHotDay(_Marker):
    """The date after which no more than such a share of years still has a day as hot as this."""

    kind: Literal["last_hot_day"]
    after: str
    until: str
    level_c: float = Field(ge=20, le=50)
    share: float = Field(gt=0, lt=1)


Marker = Annotated[
    SeasonDay
    | ChillMet
    | HeatAfter
    | HeatSoftenedByChill
    | SoftenedForcing
    | HeatLeftBelow
    | MeanAbove
    | MeanBelow
    | DayLengthBelow
    | DayLengthAbove
    | DaysAfter
    | HotDayOdds
    | LastHotDay
    | HeatShare
    | FirstFrost
    | LastFrost,
    Field(discriminator="kind"),
]


class _Hazard(_Known):
    limit: float = Field(gt=0, lt=1)  # above this chance the job is held, or done only with shelter


class ColdHazard(_Hazard):
    """A night too cold for a tree just worked; a tree under cover is spared it."""

    name: Literal["frost", "cold night", "root frost"]
    level_c: float = Field(ge=-40, le=30)
    days: int = Field(ge=1, le=90)


class HeatHazard(_Hazard):
    """A day too hot for a tree just worked, or several in a row."""

    name: Literal["heat", "hot spell"]
    level_c: float = Field(ge=20, le=50)
    days: int = Field(ge=1, le=90)
    run: int = Field(default=1, ge=1, le=14)  # hot days in a row that do the harm


class ShortSeason(_Hazard, Heat):
    """Too little heat left before another marker for the tree to recover in."""

    name: Literal["short season"]
    until: str


HazardRule = Annotated[ColdHazard | HeatHazard | ShortSeason, Field(discriminator="name")]


class Sections(_Known):
    """How a root ball is renewed over the years: in so many parts, so many years apart."""

    parts: int = Field(ge=2, le=8)
    years_apart: tuple[int, int]  # at least, at most
    trees: Text = Field(min_length=3)  # which trees, in words


class Harm(_Known):
    """What of a plant harms whoever handles or eats it."""

    parts: Text = Field(min_length=3)  # after the plant's name: "all parts but the red flesh of the fruit"


def _known_job(job: str) -> str:
    if job not in JOBS:
        raise ValueError(f'job "{job}" is not one of {", ".join(JOBS)}')
    return job


JobName = Annotated[str, AfterValidator(_known_job)]
Jobs = tuple[JobName, ...]


class Window(_Table):
    """When one job may be done: opens when all of `opens` have happened, closes at the first of `closes`."""

    job: JobName
    name: Name = Field(min_length=1)
    opens: tuple[str, ...] = Field(min_length=1)
    closes: tuple[str, ...] = Field(min_length=1)
    size: Size | None = None  # for windows that differ by the size of the tree
    severity: Severity | None = None  # of root work: each closes at a time of its own
    school: Name = ""  # where growers disagree over the job: which of them work so
    instead_of: JobName | None = (
        None  # the job that this school leaves out for this one; None: they differ in time only
    )
    hazard: tuple[HazardRule, ...] = ()
    aftercare: tuple[Text, ...] = ()
    sections: tuple[Sections, ...] = ()
    note: Text = Field(default_factory=Message)

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


class SharedSet(_Table):
    """Markers and windows that many groups have in common; a group takes them by the set's name."""

    set: str = Field(min_length=1)
    marker: dict[str, Marker] = {}
    window: tuple[Window, ...] = ()


class SpeciesTable(_Table):
    """A species; its markers and windows replace those of its group, each table whole."""

    group: str | None = None  # None: the file's, or the one it has already
    common: tuple[Name, ...] = ()
    synonyms: tuple[Name, ...] = ()
    poison: Harm | None = None
    skin: Harm | None = None  # what burns or irritates skin and eyes
    marker: dict[str, Marker] = {}
    window: tuple[Window, ...] = ()
    without: Jobs = ()  # jobs of its group that are not done on it
    note: Text = Field(default_factory=Message)


class CatalogueFile(_Table):
    """One file of the catalogue: a group with its species, or species of groups that stand elsewhere."""

    group: str | None = None
    takes: tuple[str, ...] = ()  # shared sets
    without: Jobs = ()  # jobs of those sets that are not done on this group
    poison: Harm | None = None
    skin: Harm | None = None
    marker: dict[str, Marker] = {}
    window: tuple[Window, ...] = ()
    species: dict[str, SpeciesTable] = {}

    @model_validator(mode="after")
    def _markers_are_of_a_group(self) -> Self:
        of_a_group = (self.takes, self.without, self.marker, self.window, self.poison, self.skin)
        if self.group is None and any(of_a_group):
            raise ValueError('must say of which group this is: write group = "..." at its head')
        return self
