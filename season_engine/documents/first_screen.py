"""What stands on top of a report, and the buds to look at."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from season_engine.advice import alarms, choice, dangers, harm, moves
from season_engine.documents import texts
from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Chance, Date, Number, Size, Some, Stage
from season_engine.windows import looks
from season_engine.windows.assessment import End
from season_engine.workspace.journal_words import stage_name


class PastErrors(Document):
    """Days by which the date came later than it would have been foretold on this day.

    By the year its season began.
    """

    end: End
    years: tuple[int, ...]
    days: tuple[int, ...]


class Choice(Document):
    """One job on the trees of one species, to be done before others."""

    species: str
    job: str
    window: str
    trees: tuple[str, ...]
    lost_by_waiting: Annotated[Number, Field(ge=-1, le=1)] = Field(
        validation_alias="lost",
        description="Chance of an open window and no harm after: today's less that in two weeks.",
    )
    weight: Annotated[Number, Field(ge=0)] = Field(
        description="Seasons of the tree's progress that waiting is likely to cost."
    )
    last_good_day: Date | None
    goes_well: tuple[Chance, ...] = Field(
        description="Chance that it goes well, done today and in each of the next four weeks."
    )
    hours: Annotated[Number, Field(gt=0)] | None
    past_errors: PastErrors | None

    @model_validator(mode="before")
    @classmethod
    def _with_its_trees(cls, one: choice.Choice) -> Facts:
        trees = [a.tree for a in one.assessments if a.tree is not None]
        return Facts(one, one.first, trees=trees, goes_well=[week.chance_good for week in one.first.ahead])


class Spell(Document):
    """The days forecast on which it comes, and the worst of them."""

    first: Date
    last: Date
    worst_c: Number


class Harm(Document):
    """Weather that harms some trees alike, and what to do for them."""

    name: dangers.Face = Field(validation_alias="face")
    stage: alarms.Stage
    text: texts.HarmText = Field(validation_alias="event")
    chance: Chance = Field(description="That it comes within ten days.")
    act: harm.Act
    days: Some
    by: Date
    until: Date | None
    forecast_on: Date | None
    forecast: Spell | None = Field(validation_alias="spell")
    job: str | None
    worked_on: Date | None
    trees: tuple[str, ...]
    stay_where_they_stand: tuple[str, ...] = Field(validation_alias="heavy")

    @model_validator(mode="before")
    @classmethod
    def _with_its_work(cls, one: harm.Harm) -> Facts:
        first = one.spell.first if one.spell else None
        return Facts(one, job=one.job or None, days=alarms.DAYS, forecast_on=first)


class Move(Document):
    """One end of a window that moved since an earlier day."""

    species: str
    job: str
    window: str
    end: End
    since: Date
    before: Date
    after: Date
    days: int
    weather_days: int
    notes_days: int
    recorded: bool

    @model_validator(mode="before")
    @classmethod
    def _with_its_window(cls, move: moves.Move) -> Facts:
        return Facts(move, move.assessment)


class WeatherSince(Document):
    """The days since, against the same days of past seasons."""

    days: Some
    warmer_c: Number
    colder_days: int
    warmer_days: int


class FirstScreen(Document):
    """What stands on top of the report; the buds to look at are in look_at."""

    work: tuple[Choice, ...] = Field(description="All that is due and near, what waiting costs most first.")
    protect: tuple[Harm, ...]
    moved: tuple[Move, ...]
    weather_since: WeatherSince | None


class Narrowed(Document):
    """One end of a window, and how far its middle date is likely to be out, before and after a look."""

    job: str
    window: str
    end: End
    before_days: Size
    after_days: Size


class Look(Document):
    """One bud to look at."""

    species: str
    common_name: str
    trees: tuple[str, ...]
    marker: str
    label: texts.StageLabel
    bbch: Stage
    stage: texts.StageName
    chance: Chance
    narrows: tuple[Narrowed, ...] = Field(min_length=1)

    @model_validator(mode="before")
    @classmethod
    def _with_words_of_the_stage(cls, look: looks.Look) -> Facts:
        return Facts(look, stage=stage_name(look.bbch, look.species))
