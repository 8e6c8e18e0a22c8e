"""How the markers and windows of a species come together: shared sets, its group, its own tables."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from graphlib import CycleError, TopologicalSorter

from season_engine.errors import GrowerError
from season_engine.files.toml_lines import Location, TomlText
from season_engine.markers.base import Marker
from season_engine.species.schema import CatalogueFile, SharedSet, SpeciesTable, Window

WindowKey = tuple[str, str]  # job and name


@dataclass(frozen=True, slots=True)
class Place:
    """Where a table of the catalogue stands."""

    toml: TomlText
    location: Location
    shared: str = ""  # the set it was taken from, whose table `location` is then the group's `takes`
    file: str = ""  # the file that holds it

    def fault(self, problem: str, hint: str = "") -> GrowerError:
        """An error at this place."""
        told = f'{problem} (It comes with the set "{self.shared}".)' if self.shared else problem
        return self.toml.fault(told, self.location, hint)


@dataclass(frozen=True)
class Merged:
    """Markers and windows of a group or species, later layers over earlier ones, each table whole."""

    markers: Mapping[str, Marker] = field(default_factory=dict)
    windows: Mapping[WindowKey, Window] = field(default_factory=dict)
    places: Mapping[str | WindowKey, Place] = field(default_factory=dict)

    def over(self, markers: Mapping[str, Marker], windows: Iterable[Window], place: Place) -> Merged:
        """With another layer on top, whose tables stand below `place`."""
        places = dict(self.places)
        found: dict[WindowKey, Window] = {}
        for name in markers:
            places[name] = _below(place, "marker", name)
        for number, window in enumerate(windows):
            key = window.job, window.name
            at = _below(place, "window", number)
            if key in found:
                raise at.fault(f'there are two windows "{window.job}, {window.name}".')
            found[key], places[key] = window, at
        return Merged({**self.markers, **markers}, {**found, **self.windows, **found}, places)

    def under(self, layer: Merged) -> Merged:
        """With another layer on top; its windows come first."""
        return Merged(
            {**self.markers, **layer.markers},
            {**layer.windows, **self.windows, **layer.windows},
            {**self.places, **layer.places},
        )

    def without(self, jobs: Iterable[str]) -> Merged:
        """The same without the windows of some jobs."""
        left_out = set(jobs)
        kept = {key: window for key, window in self.windows.items() if key[0] not in left_out}
        return replace(self, windows=kept)


def _below(place: Place, *steps: str | int) -> Place:
    return place if place.shared else replace(place, location=(*place.location, *steps))


def merged_group(
    group: CatalogueFile, toml: TomlText, find_set: Callable[[str], tuple[SharedSet, TomlText]]
) -> Merged:
    """A group: the sets it takes, then what its own file says; what two sets both have is an error."""
    own = {*group.marker, *((window.job, window.name) for window in group.window)}
    merged = Merged()
    for number, name in enumerate(group.takes):
        at = Place(toml, ("takes", number), shared=name)
        try:
            shared, text = find_set(name)
        except GrowerError as error:
            raise toml.fault(error.problem, at.location, error.hint) from None
        layer = Merged().over(shared.marker, shared.window, replace(at, file=text.file))
        for key in layer.places:
            if key in merged.places and key not in own:
                what = f'marker "{key}"' if isinstance(key, str) else f'window "{", ".join(key)}"'
                raise toml.fault(
                    f'the sets "{merged.places[key].shared}" and "{name}" both have a {what}.',
                    at.location,
                    "Give the group one of its own, or take one set only.",
                )
        merged = merged.under(layer)
    own_layer = Merged().over(group.marker, group.window, Place(toml, (), file=toml.file))
    return merged.without(group.without).under(own_layer)


def merged_species(base: Merged, name: str, table: SpeciesTable, toml: TomlText) -> Merged:
    """A species: what it has already, with its own tables in place of those of the same name."""
    if not (table.marker or table.window or table.without):
        return base
    place = Place(toml, ("species", name), file=toml.file)
    return base.without(table.without).over(table.marker, table.window, place)


def in_order(merged: Merged) -> dict[str, Marker]:
    """The markers, each after those it depends on; a loop or a name that leads nowhere is an error."""
    markers, places = merged.markers, merged.places
    for name, marker in markers.items():
        for other in marker.depends_on:
            if other not in markers:
                raise places[name].fault(f'marker "{name}" is counted from "{other}", which does not exist.')
    try:
        sorted_markers = ordered(markers)
    except CycleError as error:
        loop = error.args[1]
        raise places[loop[0]].fault(f"markers depend on each other in a loop: {' -> '.join(loop)}.") from None
    for key, window in merged.windows.items():
        _refuse_impossible(window, sorted_markers, places[key])
    return sorted_markers


def ordered(markers: Mapping[str, Marker]) -> dict[str, Marker]:
    """The markers, each after those it depends on, which are among them; raises CycleError."""
    order = TopologicalSorter({name: marker.depends_on for name, marker in markers.items()})
    return {name: markers[name] for name in order.static_order()}


def _refuse_impossible(window: Window, markers: Mapping[str, Marker], place: Place) -> None:
    """A window names markers that exist, and is not closed by what must have happened before it opens."""
    what = f'window "{window.job}, {window.name}"'
    for name in window.markers:
        if name not in markers:
            raise place.fault(f'{what} names a marker "{name}" that does not exist.')
    before = {name for opening in window.opens for name in _always_before(opening, markers)}
    for closing in window.closes:
        if closing in before or closing in window.opens:
            raise place.fault(f'{what} is closed by "{closing}", which comes before it opens.')


def _always_before(name: str, markers: Mapping[str, Marker]) -> Iterable[str]:
    """The markers that one can't come before, and those in turn."""
    before = markers[name].never_before
    if before is not None:
        yield before
        yield from _always_before(before, markers)
