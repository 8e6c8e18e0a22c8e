"""The catalogue: species found by any of their names, each read when it is first asked for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from typing import Any

from season_engine.errors import GrowerError
from season_engine.facts import NO_TEXT, Text
from season_engine.files.spelling import plain_name, without_cultivar
from season_engine.files.text import did_you_mean, listed, shortened
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import Location, TomlText, line_of
from season_engine.markers.base import Marker
from season_engine.species.build import Merged, in_order, merged_group, merged_species, ordered
from season_engine.species.files import head_of, shared_set, shipped, species_in
from season_engine.species.names import KnownNames
from season_engine.species.schema import CatalogueFile, Harm, Repotted, SpeciesTable, Window
from season_engine.species.school import School
from season_engine.species.spacing import Rule
from season_engine.species.work import hours_of
from season_engine.tables.known import Provenance
from season_engine.tree import Size, Tree

FULL = (None, "full")  # the root work that is meant where nothing is said of it


@dataclass(frozen=True, slots=True)
class OwnMarker:
    """A marker of the grower's in place of another."""

    replaced: Marker
    toml: TomlText
    location: Location

    @property
    def line(self) -> int:
        """Where it stands in its file."""
        return line_of(self.toml.text, self.location)


@dataclass(frozen=True)
class Species:
    """A species with the markers and windows it inherits from its group."""

    name: str  # botanical
    group: str
    common: tuple[str, ...]
    synonyms: tuple[str, ...]
    markers: Mapping[str, Marker]  # each after the markers it depends on
    windows: tuple[Window, ...]
    files: Mapping[str, str]  # the file each marker stands in
    note: Text = NO_TEXT
    root_note: Text = NO_TEXT  # told with work on its roots alone
    set_aside: tuple[Window, ...] = ()  # of schools that the grower doesn't follow
    poison: Harm | None = None
    skin: Harm | None = None
    repotted_every: Repotted | None = None
    own: Mapping[str, OwnMarker] = field(default_factory=dict)  # the grower's numbers, by marker
    spacing: tuple[Rule, ...] = ()  # the grower's rules of what may follow what, for all species

    @property
    def jobs(self) -> tuple[str, ...]:
        """The jobs it has windows for, each once."""
        return tuple(dict.fromkeys(window.job for window in self.windows))

    @property
    def known_from(self) -> Counter[Provenance]:
        """What its rules rest on: those for dates, hazards and root balls in parts, shared ones included."""
        of_windows = (one for window in self.windows for one in (*window.hazard, *window.sections))
        return Counter(one.provenance for one in (*self.markers.values(), *of_windows))

    @property
    def names(self) -> tuple[str, ...]:
        """Every name it may be asked for by."""
        return (self.name, *self.common, *self.synonyms)

    @property
    def full_windows(self) -> tuple[Window, ...]:
        """Its windows, without those of root work that is less or more than a full repotting."""
        return tuple(window for window in self.windows if window.severity in FULL)

    def without_own_numbers(self) -> Species:
        """The same species with the markers that the grower's own replaced."""
        replaced = {name: one.replaced.on(self.name) for name, one in self.own.items()}
        markers = {**self.markers, **replaced}
        return replace(self, markers=ordered(markers), own={})

    def other_schools(self, window: Window) -> tuple[str, ...]:
        """The schools beside a window's own, where growers disagree and none was chosen."""
        others = (one.school for one in self.windows if one.disputed == window.disputed and one.school)
        return tuple(dict.fromkeys(school for school in others if window.school not in ("", school)))

    def is_called(self, name: str) -> bool:
        """Whether it goes by that name, however spelt in case, spaces and hyphens, or with a cultivar's."""
        asked = {plain_name(name), plain_name(without_cultivar(name))}
        return not asked.isdisjoint(plain_name(one) for one in self.names)


class Catalogue:
    """All species: those of the package, and those of the grower's own files over them.

    A file of the package is read whole when one of its species is asked for; the grower's are read at once.
    """

    def __init__(self, own: Iterable[TomlText] = (), schools: Iterable[School] = ()) -> None:
        own, self._schools = tuple(own), tuple(schools)
        self._own_files = own
        self._own = {toml.file for toml in own}
        self._read: dict[str, CatalogueFile] = {}
        self._built: dict[str, Species] = {}
        self._bases: dict[str, tuple[Merged, dict[str, Marker]]] = {}
        self._groups: dict[str, TomlText] = {}
        self._layers: dict[str, list[TomlText]] = {}  # the files that speak of a species, the last one wins
        self.names: dict[str, str] = {}  # every name, and the botanical one behind it
        self._by_name: dict[str, str] = {}  # the same, without differences of spelling
        for toml in shipped("groups"):
            self._groups[head_of(toml)] = toml
            self._enter(toml, species_in(toml))
        for toml in own:
            self._enter_own(toml)
        for school in self._schools:
            self._check_school(school)

    @cached_property
    def species(self) -> Mapping[str, Species]:
        """All species by their botanical names."""
        return {name: self._species(name) for name in self._layers}

    def get(self, name: str) -> Species | None:
        """The species of that botanical or common name, or None; an unknown cultivar is its species."""
        known = self._known(name)
        return self._species(known) if known else None

    def find(self, name: str) -> Species:
        """The species of that name; an unknown one is an error that suggests what may be meant."""
        if found := self.get(name):
            return found
        meant = KnownNames(self.names, ()).species_called(name)
        problem = f'The catalogue has no species "{shortened(name)}".'
        raise GrowerError(problem, hint=f'Did you mean "{meant}"?', field="species")

    def known_names(self, trees: Sequence[Tree], at: Container[str] | None = None) -> KnownNames:
        """What a grower's trees and all species go by; those kept at the sites `at` come first, if given."""
        as_spelt = {tree.species: kind for tree in trees if (kind := self._known(tree.species))}
        return KnownNames({**self.names, **as_spelt}, trees, at)

    def _known(self, name: str) -> str | None:
        exact = self._by_name.get(plain_name(name))
        return exact or self._by_name.get(plain_name(without_cultivar(name)))

    def _enter(self, toml: TomlText, species: Mapping[str, Iterable[str]]) -> None:
        for name, others in species.items():
            self._layers.setdefault(name, []).append(toml)
            for one in (name, *others):
                self.names[one] = name
                taken = self._by_name.setdefault(plain_name(one), name)
                if taken != name:
                    raise toml.fault(f'"{one}" is a name of {taken} already.', ("species", name))

    def _enter_own(self, toml: TomlText) -> None:
        file = checked(toml, CatalogueFile)
        self._read[toml.file] = file
        if file.group is not None:
            if file.group in self._groups:
                raise toml.fault(
                    f'there is a group "{file.group}" already.',
                    ("group",),
                    f'To add to it, write [species."..."] with group = "{file.group}", without a group here.',
                )
            self._groups[file.group] = toml
        # A synonym of ours as heading means our species, so that there are never two of it.
        for name in file.species:
            if (ours := self._known(name)) not in (None, name):
                raise toml.fault(f'"{name}" is in the catalogue as {ours}.', ("species", name))
        self._enter(toml, {name: (*one.common, *one.synonyms) for name, one in file.species.items()})

    def _file(self, toml: TomlText) -> CatalogueFile:
        if toml.file not in self._read:
            self._read[toml.file] = checked(toml, CatalogueFile)
        return self._read[toml.file]

    @cached_property
    def _own_spacing(self) -> tuple[Rule, ...]:
        """Of the last file first, as with all that stands in several."""
        return tuple(rule for toml in reversed(self._own_files) for rule in self._file(toml).spacing)

    @cached_property
    def _own_hours(self) -> Mapping[tuple[str, Size], float]:
        tables = (self._file(toml).hours.items() for toml in self._own_files)
        return {(job, size): h for rows in tables for job, of in rows for size, h in of.items()}

    def hours(self, job: str, size: Size) -> float | None:
        """Hours that a job takes on a tree of that size: the grower's own, else a practised person's."""
        return self._own_hours.get((job, size)) or hours_of(job, size)

    def _group(self, name: str) -> tuple[Merged, dict[str, Marker]]:
        if name not in self._bases:
            toml = self._groups[name]
            merged = merged_group(self._file(toml), toml, shared_set)
            self._bases[name] = merged, in_order(merged)
        return self._bases[name]

    def _species(self, name: str) -> Species:
        if name not in self._built:
            self._built[name] = self._put_together(name)
        return self._built[name]

    def _put_together(self, name: str) -> Species:
        group, tables = "", []
        merged, markers = Merged(), dict[str, Marker]()
        own: dict[str, OwnMarker] = {}
        for toml in self._layers[name]:
            table = self._file(toml).species[name]
            tables.append(table)
            if named := self._group_named(name, table, toml, known=bool(group)):
                group = named
                merged, markers = self._group(group)
            over = merged_species(merged, name, table, toml)
            if toml.file in self._own:
                own = {**_replaced(merged, over, table), **own}
            merged, markers = over, markers if over is merged else in_order(over)
        common = tuple(one for table in reversed(tables) for one in table.common)
        if not common:
            raise self._layers[name][-1].fault(
                f"{name} needs a common name.", ("species", name), 'Write common = ["..."].'
            )
        all_told: list[CatalogueFile | SpeciesTable] = [self._file(self._groups[group]), *tables]
        taken, left = list[Window](), list[Window]()
        for window in merged.windows.values():
            (taken if self._follows(name, group, window) else left).append(window)
        return Species(
            name=name,
            group=group,
            common=common,
            synonyms=tuple(one for table in reversed(tables) for one in table.synonyms),
            markers={key: marker.on(name) for key, marker in markers.items()},
            windows=tuple(taken),
            files={marker: merged.places[marker].file for marker in markers},
            note=_last_told("note", tables) or NO_TEXT,
            root_note=_last_told("root_note", tables) or NO_TEXT,
            set_aside=tuple(left),
            poison=_last_told("poison", all_told),
            skin=_last_told("skin", all_told),
            repotted_every=_last_told("repotted_every", all_told),
            own=own,
            spacing=self._own_spacing,
        )

    def _group_named(self, name: str, table: SpeciesTable, toml: TomlText, *, known: bool) -> str | None:
        """The group that a file puts a species into; None where it leaves it in the one it has."""
        group = table.group or self._file(toml).group
        at = ("species", name, "group")
        if group is None and not known:
            raise toml.fault(
                f'{name} is new to the catalogue: say which group it belongs to, such as group = "juniper".',
                at,
                self._groups_listed(),
            )
        if group is not None and group not in self._groups:
            hint = did_you_mean(group, self._groups) or self._groups_listed()
            raise toml.fault(f'there is no group "{shortened(group)}".', at, hint)
        return group

    def _groups_listed(self) -> str:
        return f"The groups are {listed(sorted(self._groups), 'and')}."

    def _follows(self, species: str, group: str, window: Window) -> bool:
        """Whether a window is of the school the grower follows, or none was chosen."""
        of_job = [one for one in self._schools if one.job == window.disputed]
        own = [one for one in of_job if one.species is not None and self._known(one.species) == species]
        chosen = own or [one for one in of_job if one.group == group]
        return not window.school or not chosen or chosen[0].take == window.school

    def _check_school(self, school: School) -> None:
        """A choice names a group or species, and a school that there is; raises GrowerError."""
        if school.species is not None:
            try:
                kinds = [self.find(school.species)]
            except GrowerError as error:
                raise school.fault(error.problem, "species", error.hint) from None
        elif school.group in self._groups:
            kinds = [one for one in self.species.values() if one.group == school.group]
        else:
            known = [one for one in self._groups if (school.group or "").casefold() in one.casefold()]
            hint = (
                f"Did you mean {listed(known)}?" if known else did_you_mean(school.group or "", self._groups)
            )
            raise school.fault(
                f'there is no group "{shortened(school.group or "")}".',
                "group",
                hint or self._groups_listed(),
            )
        windows = [window for one in kinds for window in (*one.windows, *one.set_aside)]
        schools = list(
            dict.fromkeys(one.school for one in windows if one.disputed == school.job and one.school)
        )
        if not schools:
            whose = school.species or school.group
            raise school.fault(f"there are no two schools of {school.job} for {whose}.", "job")
        if school.take not in schools:
            hint = did_you_mean(school.take, schools) or f"The schools are {listed(schools, 'and')}."
            raise school.fault(
                f'there is no school "{shortened(school.take)}" of {school.job}.', "take", hint
            )


def _last_told(key: str, tables: Sequence[CatalogueFile | SpeciesTable]) -> Any:
    """What the last of these tables that says anything of it says."""
    return next((found for table in reversed(tables) if (found := getattr(table, key))), None)


def _replaced(before: Merged, after: Merged, table: SpeciesTable) -> dict[str, OwnMarker]:
    """The markers of a table that stood otherwise before."""
    return {
        name: OwnMarker(before.markers[name], (place := after.places[name]).toml, place.location)
        for name in table.marker
        if name in before.markers
    }


@cache
def load_catalogue(own: tuple[TomlText, ...] = (), schools: tuple[School, ...] = ()) -> Catalogue:
    """The catalogue that comes with the package, with a grower's own files and choices over it."""
    return Catalogue(own, schools)
