"""What was noted in the same week a year ago."""

from __future__ import annotations

from pydantic import Field, model_validator

from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Date, Stage
from season_engine.note import Sighting
from season_engine.report import year_ago


class NotedThen(Document):
    """A note of a day; of neither trees nor a species it is the whole yard's."""

    date: Date
    trees: tuple[str, ...] = Field(description="By their ids.")
    species: str | None

    @model_validator(mode="before")
    @classmethod
    def _with_its_trees(cls, one: year_ago.StageThen | year_ago.WorkThen | year_ago.RemarkThen) -> Facts:
        return Facts(one, trees=one.whose.trees, species=one.whose.species or None)


class StageThen(NotedThen):
    """A growth stage, and when it comes this season."""

    stage: Stage = Field(validation_alias="bbch")
    sighting: Sighting
    this_season: Date | None = Field(
        description="Its middle date; null: not known, or no day of it was noted."
    )
    seen: bool = Field(description="This season too, so that its date is a note's.")
    later_days: int | None = Field(description="This season than a year ago.")


class WorkThen(NotedThen):
    """A job that was done."""

    job: str


class RemarkThen(NotedThen):
    """Words of no stage and no job, as they were written."""

    words: str


class YearAgo(Document):
    """The notes within seven days of the same day a year ago."""

    first: Date
    last: Date
    stages: tuple[StageThen, ...]
    works: tuple[WorkThen, ...]
    remarks: tuple[RemarkThen, ...]
