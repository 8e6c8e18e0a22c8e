"""The one pass: sites, weather, traces, markers, windows, trees, report."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from season_engine.errors import GrowerError, WeatherError
from season_engine.note import Note, notes_until
from season_engine.traces import SeasonView
from season_engine.tree import Size, Tree
from season_engine.trees.history import History, history_of, trees_kept
from season_engine.weather.fitness import refuse_if_poor
from season_engine.weather.forecast.days import Issue
from season_engine.weather.hemisphere import other_hemisphere
from season_engine.weather.series import Weather
from season_engine.weather.sources.source import Retrieval
from season_engine.windows.after_work import follow_ups_of
from season_engine.windows.answer import answer_about
from season_engine.windows.assessment import Assessment
from season_engine.windows.choice import (
    DEFAULT_SIZE,
    windows_asked_for,
)
from season_engine.windows.judge import prospects_of
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import TREES, SiteEntry, Workspace

if TYPE_CHECKING:  # loaded by the command that needs them: `check` waits for nothing it doesn't use
    from season_engine.report.contents import Report, SiteReport
    from season_engine.verify.own_record import OwnRecord
    from season_engine.windows.yard import Yard


def read_weather(workspace: Workspace, entry: SiteEntry, on: dt.date, *, refresh: bool = False) -> Weather:
    """A site's temperatures up to `on`, mended, with whatever is wrong with them.

    Raises GrowerError where they are another hemisphere's: every command reads its weather here.
    """
    weather = entry.weather.read(entry.site, _retrieval(workspace, on, refresh))
    if fault := other_hemisphere(weather, entry.site):
        problem, hint = fault
        raise entry.fault(problem, "latitude", hint)
    return weather


def read_weather_ahead(
    workspace: Workspace, entry: SiteEntry, on: dt.date, *, refresh: bool = False
) -> Weather:
    """The same with the days ahead as they were forecast by `on`, where the site's settings ask for that."""
    weather = read_weather(workspace, entry, on, refresh=refresh)
    if entry.forecast is None:
        return weather
    forecast = entry.forecast.read(entry.site, _retrieval(workspace, on, refresh))
    trouble = () if forecast.trouble is None else (forecast.trouble,)
    return replace(weather, forecast=forecast, warnings=(*weather.warnings, *trouble))


def forecasts_kept(workspace: Workspace, entry: SiteEntry, on: dt.date) -> tuple[Issue, ...]:
    """Every forecast of the days ahead of a site that is kept up to `on`; none where none is asked for."""
    if entry.forecast is None:
        return ()
    return entry.forecast.kept(entry.site, _retrieval(workspace, on, refresh=False))


def _retrieval(workspace: Workspace, on: dt.date, refresh: bool) -> Retrieval:
    return Retrieval(workspace.cache_folder, on, workspace.opened_at, refresh, workspace.progress)


def season_view(workspace: Workspace, entry: SiteEntry, on: dt.date) -> SeasonView:
    """A site's seasons as they look from `on`; weather too poor to say anything from is an error."""
    weather = read_weather_ahead(workspace, entry, on)
    warnings = refuse_if_poor(weather, entry.site, on)
    return SeasonView(entry.site, replace(weather, warnings=(*weather.warnings, *warnings)), on)


def yard_on(workspace: Workspace, entry: SiteEntry, on: dt.date) -> Yard:
    """A site with its trees and what was noted of them, as it looks from `on`."""
    from season_engine.windows.yard import Yard

    view = season_view(workspace, entry, on)
    return Yard(view, catalogue_of(workspace), workspace.trees, workspace.notes)


def make_report(workspace: Workspace, entries: Iterable[SiteEntry], on: dt.date) -> Report:
    """Everything the weekly report says, one part a site."""
    from season_engine.report.contents import Report

    sites = tuple(_site_report(workspace, entry, on) for entry in entries)
    return Report(on, workspace.demo, sites, workspace.language, workspace.units)


def _site_report(workspace: Workspace, entry: SiteEntry, on: dt.date) -> SiteReport:
    from season_engine.report.contents import SiteReport
    from season_engine.report.site_report import site_report

    try:
        yard = yard_on(workspace, entry, on)
    except WeatherError as error:
        return SiteReport(entry.site, None, refusal=str(error))
    return site_report(yard, _record_if_readable(workspace, on), entry.timezone)


def answer(
    workspace: Workspace,
    entry: SiteEntry,
    job: str,
    on: dt.date,
    *,
    species: str | None = None,
    tree: Tree | None = None,
    size: Size | None = None,
    window: str | None = None,
    explained: bool = False,
) -> Assessment:
    """One job judged at one site for a species or a tree: of its windows the nearest, beside the others.

    Raises GrowerError for a tree that is there no longer.
    """
    notes = notes_until(workspace.notes, on)
    history = history_on(tree, notes, on) if tree else None
    tree = history.tree if history else None
    kind = catalogue_of(workspace).find(tree.species if tree else species or "")
    any_size = size is None and tree is None
    size = size or (tree.size if tree else DEFAULT_SIZE)
    windows = windows_asked_for(kind, job, size, window)
    view = season_view(workspace, entry, on)
    prospects = prospects_of(view, notes, catalogue_of(workspace).get, any_size=any_size)
    prospect = prospects(kind, size, *((tree.pot, tree.id) if tree else ()))
    found = answer_about(prospect, windows, history, named=window is not None, explained=explained)
    return replace(found, follow_ups=follow_ups_of(prospect, history)) if history else found


def trees_at(workspace: Workspace, entries: Iterable[SiteEntry], on: dt.date) -> list[Tree]:
    """The trees that stood at some sites on a day, as they were known then."""
    names = {entry.site.name for entry in entries}
    return [*trees_kept(workspace.trees, notes_until(workspace.notes, on), on, names)]


def history_on(tree: Tree, notes: Sequence[Note], on: dt.date) -> History:
    """A tree as it is on the day, and what it had, by `notes`, those known then.

    Raises GrowerError where it is noted as dead or given away.
    """
    history = history_of(tree, notes, on)
    if history.gone is None:
        return history
    name = f"{tree.id} ({tree.name})" if tree.name else tree.id
    by = next(
        (note for note in notes if note.tree == tree.id and note.date == history.gone and note.left), None
    )
    if by is None:
        problem = f"{name} is marked as dead since {history.gone}."
        raise GrowerError(problem, hint="If it lives, empty dead.", file=TREES, line=tree.line, field="dead")
    problem = f"{name} is noted as {by.left} on {history.gone}."
    raise GrowerError(
        problem, hint=f"If that is wrong, take the note back: `season-engine journal undo {by.line}`."
    )


def own_record(workspace: Workspace, on: dt.date) -> OwnRecord:
    """What earlier reports said; nothing for the demo."""
    from season_engine.verify.own_record import OwnRecord, read_record

    return OwnRecord() if workspace.demo else read_record(workspace.record_file, on)


def _record_if_readable(workspace: Workspace, on: dt.date) -> OwnRecord:
    """Who adds to a record that can't be read tells so; the report still goes out."""
    from season_engine.verify.own_record import OwnRecord

    try:
        return own_record(workspace, on)
    except GrowerError:
        return OwnRecord()
