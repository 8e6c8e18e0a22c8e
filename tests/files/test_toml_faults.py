"""A key that another variant of its table knows is told with every variant that does."""

from __future__ import annotations

from typing import Annotated, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field

from season_engine.errors import InputErrors
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText


class Table(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Pot(Table):
    litres: float


class Bench(Table):
    kind: Literal["bench"]
    pots: list[Pot] = []


class Bed(Table):
    kind: Literal["bed"]
    depth_cm: float = 30
    width_cm: float = 90


class Box(Table):
    kind: Literal["box"]
    depth_cm: float = 20


class Yard(Table):
    place: Annotated[Bench | Bed | Box, Field(discriminator="kind")]


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("width_cm = 80", '"width_cm" goes with kind = "bed" only.'),
        ("depth_cm = 25", '"depth_cm" goes with kind = "bed" or "box" only.'),
        ("colour = 3", '"colour" is not a key of [place].'),
        ("[[place.pots]]\nlitres = 3\ndepth_cm = 25", '"depth_cm" is not a key of [[place.pots]].'),
    ],
)
def test_a_key_of_another_variant(more: str, told: str) -> None:
    with pytest.raises(InputErrors) as caught:
        checked(TomlText("yard.toml", f'[place]\nkind = "bench"\n{more}\n'), Yard)
    assert [fault.problem for fault in caught.value.errors] == [told]
