"""How near the usual dates of windows and stages come to those that growers give.

`practice.toml` is written by ``python -m tests.benchmarks.practice --write``, from a table of common practice
that has no source: an end is an opening or a closing of a window in one climate, or the date of a stage.
"""

from __future__ import annotations

from functools import cache

from pydantic import Field

from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import packaged
from season_engine.species.schema import Window
from season_engine.tables.known import Table

FILE = "practice.toml"
NEAR_DAYS = 21


class Held(Table):
    """Ends that were held against growers' dates, and how far off they were [days]."""

    climates: int = Field(ge=1)
    ends: int = Field(ge=1)
    within_21_days: int = Field(ge=0)
    middle_days: int = Field(ge=0)  # the middle one is off by
    eight_in_ten_days: int = Field(ge=0)  # eight in ten are off by no more


class HeldFile(Table):
    """All of them, by species, and by job and window or by stage."""

    window: dict[str, dict[str, Held]]
    stage: dict[str, dict[str, Held]]


@cache
def held() -> HeldFile:
    """What was measured of the catalogue that comes with the package."""
    return checked(packaged(f"species/{FILE}"), HeldFile)


def window_held(species: str, window: Window) -> Held | None:
    """What was measured of a species' window; None where no grower's dates were at hand."""
    return held().window.get(species, {}).get(window_key(window))


def stage_held(species: str, marker: str) -> Held | None:
    """The same of a stage."""
    return held().stage.get(species, {}).get(marker)


def window_key(window: Window) -> str:
    """Its job and name."""
    return f"{window.job}, {window.name}"
