"""What every kind of marker says of itself, and what it has to answer."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Mapping
from typing import Any, Literal, Self, TypeVar

import numpy as np
from numpy.typing import NDArray
from pydantic import Field, model_validator

from season_engine.facts import NO_TEXT, HeatUnit, Unit
from season_engine.markers.progress import Reached, Towards
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import SoFar
from season_engine.measures.first_days import DaysAsked
from season_engine.tables.known import Known
from season_engine.tables.texts import Name, WrittenText

FloatArray = NDArray[np.float64]
Figure = int | float | str | HeatUnit
By = Literal["weather", "calendar"]
Daily = TypeVar("Daily", bound=NDArray[Any] | DaysAsked)


NO_FIGURES = {
    *("kind", "label", "look_for", "bbch", "provenance", "source", "after", "until", "fitted_until"),
    "beyond_sd_days",  # it is sd_days where it counts
}


class Marker(Known):
    """A dated event in a trace: its table in the catalogue, how far it is, and its date.

    A field's description says what is written there; its title, where it has one, is how the page of numbers
    tells it.
    """

    label: WrittenText = Field(min_length=3, description='Words that follow "when": "candles begin to move".')
    look_for: WrittenText = Field(
        default=NO_TEXT, description="What of it a grower sees, where the label says more."
    )
    bbch: int | None = Field(default=None, ge=0, le=99, description="The growth stage's code, if it is one.")
    sd_days: float = Field(
        default=0, ge=0, le=40, description="What the rule is off by, in days: a standard deviation."
    )
    year_sd_days: float | None = Field(
        default=None, gt=0, le=40, description="Of that, what strays from year to year in one yard."
    )
    measured_on: tuple[Name, ...] = Field(
        default=(), description="Botanical names of the species a published number was measured on."
    )
    reach: WrittenText = Field(
        default=NO_TEXT, description='How many, of what, where: "four stands of Scots pine in Lapland".'
    )
    beyond_sd_days: float | None = Field(
        default=None, gt=0, le=40, description="sd_days on other species than those."
    )
    fitted_until: int | None = Field(
        default=None, ge=1900, le=2200, description="The last year of the data of a fit."
    )
    kind: str = Field(description="What is counted.")  # of each kind a literal of its own

    @property
    @abstractmethod
    def measured_in(self) -> Unit:
        """Unit of the values of its progress, and of the need."""

    @abstractmethod
    def progress(self, scene: Scene) -> Towards:
        """How far each trace has come, given the dates of the markers it depends on."""

    @property
    def depends_on(self) -> tuple[str, ...]:
        """The marker it is counted from, if any, then the one it is counted until."""
        return ()

    @property
    def draws_on(self) -> tuple[str, ...]:
        """The markers whose draws of error it shares, its own coming on top."""
        return ()

    @property
    def decided_by(self) -> By | None:
        """What it waits for once it is counted; None: for nothing but so many days."""
        return "weather"

    @property
    def looks_ahead(self) -> bool:
        """Whether its date hangs on days after it."""
        return False

    @property
    def of_weather(self) -> bool:
        """Whether it is something of the weather: of that no stage of a tree tells in another year."""
        return False

    @property
    def never_before(self) -> str | None:
        """The marker it can't come before, if any."""
        return None

    @property
    def counted_back(self) -> bool:
        """Whether it lies before a marker it hangs on, so that it may move until that one has come."""
        return False

    @property
    def of_roots(self) -> bool:
        """Whether it is dated in the middle of the pot: only such a one may look at the scene's pot."""
        return False

    def reached(self, scene: Scene) -> Reached:
        """Its dates, worked out once for all that have it and count it from the same days.

        Whatever the species; and whatever the pot, unless it is dated there.
        """
        counted_from = tuple(scene.dates[name].tobytes() for name in self.depends_on)
        pot = scene.pot if self.of_roots else None
        return scene.traces.once(
            (self, pot, counted_from),
            lambda: self.progress(scene).by(scene.traces.told_on, scene.traces.first_days),
        )

    def spread(
        self, plain: FloatArray, earlier: Mapping[str, FloatArray], error_days: FloatArray
    ) -> FloatArray:
        """Its dates `plain`, shape (..., traces), with each draw of its rule's error: (..., traces, draws).

        `earlier` holds the same of the markers before it. Weather that is there on the day it is counted from
        was there before, who knows how long, and needs no waiting.
        """
        dates = plain[..., None] + error_days
        if self.never_before is None:
            return dates
        start = earlier[self.never_before]
        there = self.of_weather & (plain[..., None] <= start)
        return np.where(there, start, np.maximum(dates, start))

    def straying(self, scene: Scene, dates: FloatArray) -> FloatArray:
        """By how much more its dates, shape (..., traces), stray in each trace than its error says."""
        return np.ones(1)

    def so_far(self, have: float, need: float) -> SoFar | None:
        """How far it is by the last day observed, while it is still to come; None: only its label is told."""
        return None

    @model_validator(mode="after")
    def _reach_is_whole(self) -> Self:
        told = bool(self.measured_on), bool(self.reach), self.beyond_sd_days is not None
        if len(set(told)) > 1:
            raise ValueError("measured_on, reach and beyond_sd_days go together")
        if self.beyond_sd_days is not None and self.beyond_sd_days < self.sd_days:
            raise ValueError("beyond_sd_days is no less than sd_days")
        return self

    def stretched_to(self, species: str) -> bool:
        """Whether a species, by its botanical name, is none of those its numbers were measured on."""
        return bool(self.measured_on) and species not in self.measured_on

    def on(self, species: str) -> Self:
        """The same with the error it has on a species, by its botanical name."""
        if not self.stretched_to(species):
            return self
        return self.model_copy(update={"sd_days": self.beyond_sd_days, "year_sd_days": None})

    @model_validator(mode="after")
    def _years_within_the_whole(self) -> Self:
        if self.year_sd_days is not None and self.year_sd_days > self.sd_days:
            raise ValueError("year_sd_days is a part of sd_days: it can't be more")
        return self

    @property
    def figures(self) -> Mapping[str, Figure]:
        """Its numbers by their keys in the table, as the trail behind a date tells them."""
        return {
            key: value
            for key, value in self
            if key not in NO_FIGURES and isinstance(value, Figure) and value != ""
        }

    @property
    def numbers(self) -> tuple[str, ...]:
        """Its numbers with their units, as the page of numbers tells them."""
        values = dict(self)
        fields = type(self).model_fields.values()
        return tuple(field.title.format(**values) for field in fields if field.title)


class CountedAfter(Marker):
    """A marker that is counted from another one, and never comes before it."""

    after: str = Field(description="The marker it is counted from.")

    @property
    def depends_on(self) -> tuple[str, ...]:
        """The marker it is counted from."""
        return (self.after,)

    @property
    def looks_ahead(self) -> bool:
        """Whether its date hangs on days after it."""
        return False

    @property
    def never_before(self) -> str | None:
        """The marker it is counted from."""
        return self.after


class CountedInTime(CountedAfter):
    """A marker that is counted from another one, and where a third is named, only before that."""

    until: str | None = Field(default=None, description="The marker before which alone it counts.")

    @property
    def depends_on(self) -> tuple[str, ...]:
        """The marker it is counted from, and the one until which, if any."""
        return (self.after,) if self.until is None else (self.after, self.until)

    def in_time(self, scene: Scene, daily: Daily, otherwise: float) -> Daily | NDArray[Any]:
        """Values of each day, shape (..., traces, days), with another from that third marker on."""
        if self.until is None:
            return daily
        return np.where(scene.columns < scene.dates[self.until][..., None], np.asarray(daily), otherwise)


class CountedUntil(CountedAfter):
    """A marker that is counted from another one until a third."""

    until: str = Field(description="The marker it is counted until.")

    @property
    def depends_on(self) -> tuple[str, ...]:
        """Both of them."""
        return self.after, self.until

    @property
    def looks_ahead(self) -> bool:
        """It does."""
        return True


def behind(names: Iterable[str], markers: Mapping[str, Marker]) -> frozenset[str]:
    """The markers named and all that they are counted from or until."""
    found: set[str] = set()
    waiting = [*names]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += markers[name].depends_on
    return frozenset(found)
