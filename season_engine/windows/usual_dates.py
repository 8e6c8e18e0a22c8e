"""What is told of a species by itself: its windows, and when each usually is at some sites."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.facts import Text
from season_engine.species.catalogue import Species
from season_engine.species.own_changes import OwnChanges
from season_engine.species.schema import Window
from season_engine.windows.assess import assess
from season_engine.windows.assessment import Usual
from season_engine.windows.choice import DEFAULT_SIZE
from season_engine.windows.judge import Prospects


@dataclass(frozen=True, slots=True)
class UsualAt:
    """A window's middle dates at a site."""

    site: str
    dates: Usual


@dataclass(frozen=True, slots=True)
class WindowTold:
    """A window with the labels of what opens and closes it."""

    window: Window
    opens: tuple[Text, ...]
    closes: tuple[Text, ...]
    usual: tuple[UsualAt, ...] = ()

    @property
    def job(self) -> str:
        """The job's key."""
        return self.window.job

    @property
    def name(self) -> str:
        """The window's own name."""
        return self.window.name


@dataclass(frozen=True, slots=True)
class SpeciesTold:
    """A species with all that is told of it."""

    species: Species
    windows: tuple[WindowTold, ...]
    own: OwnChanges
    trees: tuple[str, ...] = ()  # ids of the grower's


def windows_told_of(species: Species, sites: Iterable[Prospects]) -> tuple[WindowTold, ...]:
    """Its windows in the order of the catalogue, each with its usual dates at these sites."""
    prospects = [one(species, DEFAULT_SIZE) for one in sites]
    return tuple(
        WindowTold(
            window,
            _labels(species, window.opens),
            _labels(species, window.closes),
            tuple(UsualAt(one.view.site.name, assess(one, window).usual) for one in prospects),
        )
        for window in species.windows
    )


def _labels(species: Species, names: Sequence[str]) -> tuple[Text, ...]:
    return tuple(species.markers[name].label for name in names)
