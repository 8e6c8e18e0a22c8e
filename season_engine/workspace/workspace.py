"""A workspace: one folder with a grower's sites, trees and journal, or the demo in its place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.workspace.journal import Note
from season_engine.workspace.reading import did_you_mean, listed
from season_engine.workspace.settings import EmailSettings, Units, WeatherSettings
from season_engine.workspace.trees import Tree


@dataclass(frozen=True, slots=True)
class SiteEntry:
    """A site and where its weather comes from."""

    site: Site
    weather: WeatherSettings
    timezone: str | None = None  # None: found from the coordinates


@dataclass(frozen=True)
class Workspace:
    """Everything the grower wrote down, read and checked."""

    folder: Path
    units: Units  # for reading and prose; a logger may have its own
    sites: tuple[SiteEntry, ...]
    trees: tuple[Tree, ...] = ()
    notes: tuple[Note, ...] = ()
    email: EmailSettings | None = None
    report_out: str = "reports"
    demo: bool = False  # the embedded demo: invented throughout

    @property
    def cache_folder(self) -> Path:
        """Where fetched and normalised weather is kept."""
        return self.folder / "data_cache"

    @property
    def reports_folder(self) -> Path:
        """Where reports go unless a command says otherwise."""
        return self.folder / self.report_out

    @property
    def invented_sites(self) -> tuple[str, ...]:
        """Names of the sites that run on invented weather."""
        return tuple(entry.site.name for entry in self.sites if entry.weather.source == "demo")

    def site_named(self, name: str) -> SiteEntry:
        """The site of that name, in any case; raises GrowerError listing the sites."""
        for entry in self.sites:
            if entry.site.name.casefold() == name.strip().casefold():
                return entry
        names = [entry.site.name for entry in self.sites]
        hint = f"{did_you_mean(name, names)} The sites are {listed(names, 'and')}.".strip()
        raise GrowerError(f'there is no site "{name}".', hint=hint, field="site")

    def tree_named(self, tree_id: str) -> Tree:
        """The tree of that id, in any case; raises GrowerError."""
        for tree in self.trees:
            if tree.id.casefold() == tree_id.strip().casefold():
                return tree
        hint = did_you_mean(tree_id, [tree.id for tree in self.trees]) or "The ids stand in trees.csv."
        raise GrowerError(f'there is no tree "{tree_id}".', hint=hint, field="tree")
