"""What is still to be done after a job on a tree."""

from __future__ import annotations

from pydantic import Field

from season_engine.documents import texts
from season_engine.documents.model import Document
from season_engine.documents.values import Date


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
