"""A workspace: one folder with a grower's sites, trees and journal, or the demo in its place."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from importlib import resources
from pathlib import Path

from season_engine.errors import GrowerError
from season_engine.facts import Progress, Units
from season_engine.files.text import did_you_mean, listed, read_text, shortened
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText
from season_engine.locale import ENGLISH
from season_engine.note import Note
from season_engine.pot import Exposure
from season_engine.site import Site
from season_engine.species.school import School
from season_engine.tree import Tree
from season_engine.weather.sources.source import ForecastSource, Source
from season_engine.workspace.journal import read_journal
from season_engine.workspace.mail_settings import EmailSettings
from season_engine.workspace.settings import Settings, SiteSettings
from season_engine.workspace.sources import forecast_source, weather_source
from season_engine.workspace.trees import read_trees

SETTINGS, TREES, JOURNAL, CATALOGUE = "season.toml", "trees.csv", "journal.csv", "catalogue.toml"
RECORD = "record.jsonl"
_EXPOSURES: Mapping[str, Exposure] = {"full": "sun", "half": "half", "none": "shade"}


@dataclass(frozen=True, slots=True)
class SiteEntry:
    """A site and where its weather comes from."""

    site: Site
    weather: Source
    timezone: str | None  # None: only the length of the day is told
    forecast: ForecastSource | None  # None: not asked for
    place: int  # among the [[site]] of season.toml
    settings: TomlText  # where it was read

    @property
    def invented(self) -> bool:
        """Whether its weather is invented, as its settings ask."""
        return self.weather.invented

    def fault(self, problem: str, key: str, hint: str = "") -> GrowerError:
        """An error in what one of its keys says."""
        return self.settings.fault(problem, ("site", self.place, key), hint)


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
    language: str = ENGLISH  # of the weekly report
    copies_to: str | None = None
    own_species: tuple[TomlText, ...] = ()  # the grower's own catalogue, file by file
    schools: tuple[School, ...] = ()
    demo: bool = False  # there is no workspace: the embedded demo stands in
    opened_at: dt.datetime | None = None  # with its time zone: decides which downloads are due, nothing else
    progress: Progress | None = None  # told how far a download is

    @property
    def cache_folder(self) -> Path:
        """Where fetched and normalised weather is kept."""
        return self.folder / "data_cache"

    @property
    def reports_folder(self) -> Path:
        """Where reports go unless a command says otherwise."""
        return self.folder / self.report_out

    @property
    def record_file(self) -> Path:
        """Where it is kept what each report said."""
        return self.reports_folder / RECORD

    @property
    def outbox_folder(self) -> Path:
        """Where it is kept what went to whom."""
        return self.folder / "outbox"

    @property
    def delivery_folder(self) -> Path | None:
        """Where copies of the reports go, if anywhere."""
        return None if self.copies_to is None else self.folder / self.copies_to

    @property
    def invented_sites(self) -> tuple[str, ...]:
        """Names of the sites that run on invented weather."""
        return tuple(entry.site.name for entry in self.sites if entry.invented)

    def site_named(self, name: str) -> SiteEntry:
        """The site of that name, in any case; raises GrowerError listing the sites."""
        for entry in self.sites:
            if entry.site.name.casefold() == name.strip().casefold():
                return entry
        names = [entry.site.name for entry in self.sites]
        hint = f"{did_you_mean(name, names)} The sites are {listed(names, 'and')}.".strip()
        raise GrowerError(f'There is no site "{shortened(name)}".', hint=hint, field="site")

    def tree_named(self, tree_id: str) -> Tree:
        """The tree of that id, in any case; raises GrowerError."""
        for tree in self.trees:
            if tree.id.casefold() == tree_id.strip().casefold():
                return tree
        hint = did_you_mean(tree_id, [tree.id for tree in self.trees]) or "The ids stand in trees.csv."
        raise GrowerError(f'There is no tree "{shortened(tree_id)}".', hint=hint, field="tree")


def load_workspace(
    folder: Path, *, opened_at: dt.datetime | None = None, progress: Progress | None = None
) -> Workspace:
    """Read and check the workspace in `folder`; where it holds none, the embedded demo.

    Raises GrowerError where the folder is missing or a file is wrong, and where trees.csv or journal.csv
    stand without season.toml: that is a wrong folder or a lost file, never a wish for invented weather.
    """
    if not os.path.isdir(folder):  # noqa: PTH112 - Path.is_dir raises where a folder above is closed
        raise GrowerError("There is no such folder, or it can't be opened.", file=folder)
    present = [name for name in (SETTINGS, TREES, JOURNAL) if os.path.lexists(folder / name)]
    if not present:
        demo = Path(str(resources.files("season_engine") / "demo"))
        return replace(_read(demo, folder, demo=True), opened_at=opened_at, progress=progress)
    if SETTINGS not in present:
        raise GrowerError(
            f"{listed(present, 'and')} without a season.toml beside it.",
            hint="Is this the right folder? `season-engine init` in an empty one makes a season.toml.",
            file=folder / SETTINGS,
        )
    return replace(_read(folder, folder, demo=False), opened_at=opened_at, progress=progress)


def _read(source: Path, folder: Path, *, demo: bool) -> Workspace:
    read = TomlText(str(source / SETTINGS), read_text(source / SETTINGS))
    settings = checked(read, Settings)
    names = [site.name for site in settings.site]
    entries = tuple(
        _entry(site, place, read, folder, settings.units) for place, site in enumerate(settings.site)
    )
    hemispheres = {entry.site.name: entry.site.hemisphere for entry in entries}
    trees = read_trees(source / TREES, hemispheres) if os.path.lexists(source / TREES) else ()
    notes = read_journal(source / JOURNAL, names, trees) if os.path.lexists(source / JOURNAL) else ()
    return Workspace(
        folder=folder,
        units=settings.units,
        sites=entries,
        trees=trees,
        notes=notes,
        email=settings.email,
        report_out=settings.report.out,
        language=settings.report.language,
        copies_to=settings.delivery.folder if settings.delivery else None,
        own_species=_own_species(source, settings.catalogue),
        schools=tuple(
            School(one.job, one.take, one.group, one.species, place, read)
            for place, one in enumerate(settings.school)
        ),
        demo=demo,
    )


def _own_species(folder: Path, named: tuple[str, ...]) -> tuple[TomlText, ...]:
    """The catalogue files that season.toml names, or the one beside it if there is one."""
    if not named:
        named = (CATALOGUE,) if os.path.lexists(folder / CATALOGUE) else ()
    return tuple(TomlText(name, read_text(folder / name)) for name in named)


def _entry(site: SiteSettings, place: int, read: TomlText, folder: Path, units: Units) -> SiteEntry:
    yard = Site(
        site.name,
        site.latitude,
        site.longitude,
        site.elevation_m,
        bench_frost_allowance_c=site.bench_frost_allowance_c,
        sun_on_pots=site.sun_on_pots and _EXPOSURES[site.sun_on_pots],
        pot_colour=site.pot_colour,
    )
    weather = weather_source(site.weather, folder, units)
    forecast = forecast_source(site.forecast, folder, units)
    return SiteEntry(yard, weather, site.timezone, forecast, place, read)
