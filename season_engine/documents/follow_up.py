"""What is still to be done after a job on a tree, and what is asked about it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from season_engine.documents import texts
from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Date
from season_engine.trees import questions
from season_engine.words.questions import question_text


class FollowUp(Document):
    """What is still to be done after a job on a tree."""

    tree: str
    job: str = Field(description='That it follows, or "arrival".')
    since: Date = Field(description="When that was.")
    text: texts.FollowUpText = Field(validation_alias="words")
    first: Date
    last: Date
    stays: bool = Field(description="Until it is noted as off: wire and ties bite on.")
    overdue: bool


class Question(Document):
    """Something about a tree that its grower knows and the journal doesn't."""

    tree: str
    asks: Literal["last repotting", "how much", "still so", "good season"]
    job: str
    on: Date | None
    text: str

    @model_validator(mode="before")
    @classmethod
    def _in_words(cls, question: questions.Question) -> Facts:
        return Facts(question, text=question_text(question))
