"""What `check --json` prints, and a report of each window."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AliasPath, Field, model_validator

from season_engine.documents import texts
from season_engine.documents.follow_up import FollowUp
from season_engine.documents.model import Document, Facts
from season_engine.documents.values import (
    Chance,
    ChanceOrNone,
    Count,
    Date,
    Number,
    NumberOrNone,
    SeasonLabel,
    Size,
    SizeOrNone,
    Some,
)
from season_engine.facts import Units
from season_engine.markers.base import By
from season_engine.phenology.learning import Use
from season_engine.pot import Colour, Exposure
from season_engine.site import Hemisphere
from season_engine.species.needs import NeedState
from season_engine.species.schema import Severity
from season_engine.windows import assessment, hazard
from season_engine.windows.assessment import Assessment, Today, Verdict
from season_engine.words.markers import origin_text, reason_text
from season_engine.words.one_hazard import hazard_name, hazard_text
from season_engine.words.speech import for_programs
from season_engine.workspace.journal_words import noted_stage

SetBy = Annotated[
    By,
    Field(description="calendar: both ends are the same days every year, whatever the weather."),
]
OpensBy = Annotated[By, Field(validation_alias=AliasPath("opens", "by"))]
ClosesBy = Annotated[By, Field(validation_alias=AliasPath("closes", "by"))]


class Quantiles(Document):
    """Dates by which 10, 50 and 90 in 100 have happened; null: later than any date looked at."""

    p10: Date | None
    p50: Date | None
    p90: Date | None


class Next(Document):
    """The same window one season on."""

    season: str
    opens: Quantiles
    closes: Quantiles


class Usual(Document):
    """Middle dates over past seasons."""

    opens_p50: Date | None
    closes_p50: Date | None
    years: Count


class Reason(Document):
    """One criterion of the window."""

    marker: str
    text: texts.ReasonText
    have: NumberOrNone
    need: NumberOrNone
    unit: texts.UnitText
    met: bool
    date_p50: Date | None
    by: By = Field(description="calendar: no weather has a part in its date.")
    from_: texts.OriginText = Field(validation_alias="origin", serialization_alias="from")

    @model_validator(mode="before")
    @classmethod
    def _in_words(cls, reason: assessment.Reason) -> Facts:
        return Facts(reason, text=reason_text(reason), origin=origin_text(reason))


class Hazard(Document):
    """An event that would hurt the tree within so many days of doing the job today."""

    name: texts.HazardName
    chance: Chance
    days: Count
    text: texts.HazardText
    forecast_on: Date | None

    @model_validator(mode="before")
    @classmethod
    def _in_words(cls, one: hazard.Hazard) -> Facts:
        return Facts(one, name=hazard_name(one), text=hazard_text(one))


class DateChance(Document):
    """A chance on a date, this season and over past ones."""

    date: Date
    chance: Chance
    usual: Chance


class WeekAhead(Document):
    """The job done on a date; a chance for each of the hazards."""

    date: Date
    chance_open: Chance
    chance_closed: Chance
    hazards: tuple[Chance, ...]
    chance_good: Chance


class Held(Document):
    """Ends of a window, or dates of a stage, held against those growers give; days off, either way."""

    climates: Some
    ends: Some
    within_21_days: Count
    middle_days: Count
    eight_in_ten_days: Count


class Step(Reason):
    """One marker on the way to a window's dates."""

    kind: str
    counted_from: tuple[str, ...]
    numbers: dict[str, texts.CatalogueNumber]
    usual_p50: Date | None
    file: str
    held: Held | None
    reach: texts.Reach = Field(description="What its numbers were measured in; empty: not told.")
    stretched: bool = Field(description="To this species, from others that they were measured on.")

    @model_validator(mode="before")
    @classmethod
    def _with_its_reason(cls, step: assessment.Step) -> Facts:
        return Facts(step, step.reason)


class YearDates(Document):
    """What one past season's weather gave."""

    season: str
    opens: Date | None
    closes: Date | None


class NoteRead(Document):
    """One of the grower's notes and what became of it."""

    date: Date
    tree: str | None
    said: texts.NoteText
    use: Use
    age_years: int
    marker: str | None
    rule: Date | None
    difference_days: NumberOrNone
    weight: SizeOrNone
    right: ChanceOrNone
    later_days: NumberOrNone


class MarkerMoved(Document):
    """By how much the notes move a marker."""

    marker: str
    days: Number
    sd_before_days: Size
    sd_after_days: Size


class Learnt(Document):
    """What was learnt from the notes, and from which."""

    shift_days: Number
    yard_days: Number
    tree_days: Number
    notes: tuple[NoteRead, ...]
    markers: tuple[MarkerMoved, ...]

    @model_validator(mode="before")
    @classmethod
    def _with_words_of_the_stages(cls, learnt: assessment.LearntTrail) -> Facts:
        said = (noted_stage(note.sighting, note.bbch, learnt.species) for note in learnt.notes)
        notes = [Facts(note, said=words) for note, words in zip(learnt.notes, said, strict=True)]
        return Facts(learnt, notes=notes)


class PotTaken(Document):
    """The pot that dates and hazards of roots are worked out for, and what nobody said of it."""

    litres: Number
    known_by: Literal["pot", "size"]
    sun: Exposure
    sun_told: bool
    colour: Colour | None


class Explanation(Document):
    """The trail behind a window's dates."""

    steps: tuple[Step, ...]
    years: Count
    early: tuple[YearDates, ...]
    late: tuple[YearDates, ...]
    learnt: Learnt
    pot: PotTaken | None
    held: Held | None


class Standing(Document):
    """The dates the verdict rests on: open, and still open, with the odds this job wants."""

    opens: Date | None
    closes: Date | None
    unsure: bool


class Other(Document):
    """Another window of the job."""

    window: str
    verdict: Verdict
    today: Today
    opens: Quantiles
    closes: Quantiles
    by: SetBy
    opens_by: OpensBy
    closes_by: ClosesBy
    opens_too_late: bool


class Need(Document):
    """What a tree needs of the job: whether it is due, may be done, or must be left."""

    state: NeedState
    why: texts.NeedText
    rule: str = Field(description="Its name in the catalogue, or what else decided.")
    last: Date | None = Field(description="When the job was last done, or the work that keeps it away.")
    from_: Date | None = Field(
        validation_alias="allowed",
        serialization_alias="from",
        description="When it may be done again; null: at once, or by a sign that has no day yet.",
    )


class PartYear(Document):
    """One part of a root ball that is renewed over years."""

    number: Count
    on: Date | None = Field(description="When it was renewed, or the earliest it will be.")
    done: bool
    side: str
    core: bool = Field(description="Whether it is what lies under the trunk, the last part.")


class Programme(Document):
    """A root ball renewed in parts over years."""

    parts: Count
    parts_said: bool
    done: tuple[PartYear, ...]
    ahead: tuple[PartYear, ...]
    stopped: Date | None
    asks_good_season: bool


class JobOff(Document):
    """A heavy job that a tree is left without, and from when on it may have it again."""

    job: str
    until: Date | None = Field(description="Null: a sign of growth is still missing.")


class Recovery(Document):
    """What a tree gets over, and the heavy jobs that are off for it, the first to come back at the head."""

    job: str = Field(description='That it had, or "arrival", "illness".')
    since: Date
    off: tuple[JobOff, ...]


class WinterPart(Document):
    """One job of a winter's work, and the days on which it may be done."""

    job: str
    first: Date
    last: Date


class Course(Document):
    """A winter's work on one tree: what takes needles and shoots, and then its roots."""

    before: tuple[WinterPart, ...]
    roots: WinterPart
    large: bool = Field(description="Whether the tree is large, so that each takes a day.")


class Check(Document):
    """One window judged on one day."""

    site: str
    species: str
    job: str
    window: str
    as_of: Date
    data_through: Date
    hemisphere: Hemisphere
    season: SeasonLabel
    verdict: Verdict
    today: Today
    today_why: texts.TodayWhy
    chance_given: Chance
    chance_open_now: Chance
    opens: Quantiles
    closes: Quantiles
    next: Next | None
    usual: Usual
    reasons: tuple[Reason, ...]
    hazards: tuple[Hazard, ...]
    sources: tuple[texts.SourceText, ...]
    warnings: texts.WarningTexts
    tree: str | None
    floor: Chance
    weeks: tuple[DateChance, ...] = Field(
        description="For drawing; empty for a tree within a report, where the window's own are given."
    )
    days: tuple[DateChance, ...] = Field(description="As weeks, where the next opening is drawn day by day.")
    cautions: tuple[texts.CautionText, ...]
    ahead: tuple[WeekAhead, ...]
    best: Date | None
    learnt: texts.LearntText
    explanation: Explanation | None
    severity: Severity | None
    school: texts.School
    aftercare: tuple[texts.Aftercare, ...]
    standing: Standing
    refused: texts.RefusedText = Field(
        description="Why this tree must not be worked in this window, whatever its dates; else empty."
    )
    opens_too_late: bool = Field(
        description="Whether, once it is open, too little warmth is left for a tree to recover from the job."
    )
    others: tuple[Other, ...] = Field(
        description="The job's other windows, the nearest first, where check picked one; "
        "empty within a report."
    )
    invented_weather: bool = Field(
        description="Whether the site's weather is invented, so that no tree may be worked by this."
    )
    by: SetBy
    opens_by: OpensBy
    closes_by: ClosesBy
    seldom_well: ChanceOrNone = Field(
        description="The best chance, all through the window, that it goes well; null where that is 2 in 10 "
        "or more, and from its first day on enough warmth is left to recover."
    )
    of_tree: tuple[texts.TreeNoteText, ...] = Field(
        description="What the job, done now, would keep from the tree later."
    )
    need: Need | None = Field(description="Of the tree, where one was asked about.")
    recovery: Recovery | None = Field(description="What the tree gets over, where heavy work is off for it.")
    course: Course | None = Field(description="The winter's work that the job is part of, on this tree.")
    programme: Programme | None = Field(
        description="Of the tree's root ball, where that is renewed in parts and the job is about its roots."
    )
    follow_ups: tuple[FollowUp, ...] = Field(
        description="After jobs that the tree had, where check was asked about one; empty within a report."
    )

    @model_validator(mode="before")
    @classmethod
    def _with_its_notes(cls, a: Assessment) -> Facts:
        return Facts(a, cautions=(*a.cautions, *a.notes), refused=a.need if a.left_alone else None)


def assessment_document(a: Assessment, units: Units = "degC") -> Check:
    """What ``check --json`` prints."""
    with for_programs(units):
        return Check.model_validate(a)
