"""A table of the catalogue, and one whose numbers say where they are from."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from season_engine.facts import NO_TEXT
from season_engine.tables.texts import WrittenText

Provenance = Literal["published", "fit", "practice", "memory"]


class Table(BaseModel):
    """What stands under a heading; keys that aren't known are faults."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Known(Table):
    """What says where it is known from."""

    provenance: Provenance = Field(alias="from", description="Where it is known from.")
    source: WrittenText = Field(
        default=NO_TEXT, description="The paper or the data; what is published or fitted needs it."
    )

    @model_validator(mode="after")
    def _sourced(self) -> Self:
        if self.provenance in ("published", "fit") and not self.source:
            raise ValueError(f'what is marked "{self.provenance}" needs its source')
        return self
