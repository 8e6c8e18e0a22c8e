"""What values and tables of season.toml are made of."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from season_engine.files.toml_faults import wrong

CONTROL_CHARACTER = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")


def one_line(text: str) -> str:
    """A text without blanks at its ends, which is one line and not empty."""
    text = text.strip()
    if not text:
        raise wrong("{key} must not be empty")
    if CONTROL_CHARACTER.search(text):
        raise wrong("{key} must be one line without control characters")
    return text


def some(items: tuple[Any, ...]) -> tuple[Any, ...]:
    """A list that holds something."""
    if not items:
        raise wrong("{key} needs at least one entry")
    return items


Line = Annotated[str, AfterValidator(one_line)]
SiteName = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(one_line)]


class Table(BaseModel):
    """A TOML table: every key is known, every value of the stated type."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)
