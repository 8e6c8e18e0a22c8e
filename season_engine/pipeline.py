"""The one pass: sites, weather, traces, markers, windows, trees, report."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from season_engine.advice.first_screen import Yard, first_screen
from season_engine.advice.moves import Watched
from season_engine.errors import GrowerError, WeatherError
from season_engine.messages import Message
from season_engine.note import notes_until
from season_engine.report.contents import Report, SiteReport
from season_engine.report.said_before import said_before
from season_engine.report.season_sums import season_sums
from season_engine.species.catalogue import Catalogue, Species, catalogue_of
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Size, Tree, tree_as_of
from season_engine.verify.own_record import OwnRecord, Statement, read_record, said_of
from season_engine.verify.own_score import Outcome, outcomes, own_score
from season_engine.weather.fitness import refuse_if_poor
from season_engine.weather.forecast_sources import forecast_days
from season_engine.weather.hemisphere import refuse_other_hemisphere
from season_engine.weather.series import Weather
from season_engine.weather.sources import site_weather
from season_engine.weather.water_demand import water_demand
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Assessment
from season_engine.windows.care import Care, small_care
from season_engine.windows.choice import (
    DEFAULT_SIZE,
    windows_asked_for,
    windows_kept,
    windows_told,
)
from season_engine.windows.frost_weeks import frost_odds
from season_engine.windows.jobs import JOBS
from season_engine.windows.judge import Judge, prospects_of
from season_engine.windows.looks import Kept, Look, buds_to_look_at
from season_engine.windows.own_numbers import own_number_warnings
from season_engine.windows.sizes import largest
from season_engine.windows.today import TreeState, is_for, tree_state
from season_engine.workspace.workspace import SiteEntry, Workspace

if TYPE_CHECKING:  # loaded by the commands that need them: `check` waits for nothing it doesn't use
    from season_engine.advice.compare import Comparison
    from season_engine.verify.cases import Case
    from season_engine.verify.hindcast import Question
    from season_engine.verify.own_score import OwnReports

FREEZING_C = 0.0


def read_weather(workspace: Workspace, entry: SiteEntry, on: dt.date, *, refresh: bool = False) -> Weather:
    """A site's temperatures up to `on`, mended, with whatever is wrong with them.

    Raises GrowerError where they are another hemisphere's: every command reads its weather here.
    """
    weather = site_weather(entry.site, entry.weather, **_asked_for(workspace, on, refresh))
    refuse_other_hemisphere(weather, entry)
    return weather


def read_weather_ahead(
    workspace: Workspace, entry: SiteEntry, on: dt.date, *, refresh: bool = False
) -> Weather:
    """The same with the days ahead as they were forecast by `on`, where the site's settings ask for that."""
    weather = read_weather(workspace, entry, on, refresh=refresh)
    forecast = forecast_days(entry.site, entry.forecast, **_asked_for(workspace, on, refresh))
    trouble = (forecast.trouble,) if forecast.trouble else ()
    return replace(weather, forecast=forecast, warnings=(*weather.warnings, *trouble))


def _asked_for(workspace: Workspace, on: dt.date, refresh: bool) -> dict[str, Any]:
    """Where weather is looked for and kept, and of what day."""
    where = {"folder": workspace.folder, "cache": workspace.cache_folder, "units": workspace.units}
    return {**where, "on": on, "now": workspace.opened_at, "refresh": refresh}


def season_view(workspace: Workspace, entry: SiteEntry, on: dt.date) -> SeasonView:
    """A site's seasons as they look from `on`; weather too poor to say anything from is an error."""
    weather = read_weather_ahead(workspace, entry, on)
    warnings = refuse_if_poor(weather, entry.site, on)
    return SeasonView(entry.site, replace(weather, warnings=(*weather.warnings, *warnings)), on)


def make_report(workspace: Workspace, entries: Iterable[SiteEntry], on: dt.date) -> Report:
    """Everything the weekly report says, one part a site."""
    sites = tuple(_site_report(workspace, entry, on) for entry in entries)
    return Report(on, workspace.demo, sites, workspace.language, workspace.units)


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
    """One job judged at one site for a species or a tree: of its windows the nearest, beside the others."""
    kind = catalogue_of(workspace).find(tree.species if tree else species or "")
    any_size = size is None and tree is None
    size = size or (tree.size if tree else DEFAULT_SIZE)
    windows = windows_asked_for(kind, job, size, window)
    view, notes = season_view(workspace, entry, on), notes_until(workspace.notes, on)
    prospect = Prospect(view, kind, size, notes, any_size=any_size)
    state = _state(workspace, tree, entry, on) if tree else None
    return answer_about(prospect, windows, state, named=window is not None, explained=explained)


def _site_report(workspace: Workspace, entry: SiteEntry, on: dt.date) -> SiteReport:
    try:
        view = season_view(workspace, entry, on)
    except WeatherError as error:
        return SiteReport(entry.site, None, refusal=str(error))
    catalogue, record = catalogue_of(workspace), _record_if_readable(workspace, on)
    trees = [tree_as_of(tree, on) for tree in workspace.trees if tree.site == entry.site.name]
    kinds = {tree.id: catalogue.get(tree.species) for tree in trees}
    kept = [kind for kind in kinds.values() if kind] if trees else [*catalogue.species.values()]
    asked_about = list({kind.name: kind for kind in kept}.values())
    prospect = prospects_of(view, notes_until(workspace.notes, on), any_size=not trees)
    states = [_state(workspace, tree, entry, on) for tree in trees]
    judge = Judge(prospect)
    told = [
        Watched(kind, window, size := window.size or DEFAULT_SIZE, judge(kind, size, window))
        for kind in asked_about
        for window in windows_told(kind, trees, catalogue)
    ]
    own = [(state, prospect(kind, state.tree.size)) for state in states if (kind := kinds[state.tree.id])]
    judged = tuple(judge(kind, state.tree.size, window, state) for kind, window, state in _jobs_of(own))
    yard = Yard(view, notes_until(workspace.notes, on), own, told)
    earlier = said_before(record.previous(on, entry.site.name), on)
    of_own = [text for kind in asked_about for text in own_number_warnings(prospect(kind, DEFAULT_SIZE))]
    return SiteReport(
        entry.site,
        replace(view.weather, warnings=(*view.weather.warnings, *of_own)),
        timezone=entry.timezone,
        windows=tuple(one.now for one in told),
        trees=judged,
        first=first_screen(yard, judged or [one.now for one in told], *earlier),
        weak=tuple(state.tree.id for state in states if state.tree.vigour == "weak"),
        look_at=_buds(told, prospect, states, kinds),
        care=tuple(one for kind in asked_about for one in _care(prospect, kind, states, kinds)),
        tree_names={tree.id: tree.name for tree in trees},
        sums=season_sums(view),
        water=water_demand(entry.site, view.weather, on),
        frost=frost_odds(view.season(), on, {FREEZING_C, *_frost_levels_c(told)}),
        not_covered=tuple(dict.fromkeys(tree.species for tree in trees if kinds[tree.id] is None)),
        own_record=own_score(_own_outcomes(record, catalogue, view, prospect)),
    )


def _jobs_of(
    trees: Iterable[tuple[TreeState, Prospect]],
) -> Iterator[tuple[Species, Window, TreeState]]:
    """Each tree's windows that are told in full."""
    for state, prospect in trees:
        for window in prospect.species.full_windows:
            if is_for(window, state.tree) and JOBS[window.job].told_in_full:
                yield prospect.species, window, state


def _buds(
    told: Iterable[Watched],
    prospect: Callable[[Species, Size], Prospect],
    states: Sequence[TreeState],
    kinds: Mapping[str, Species | None],
) -> tuple[Look, ...]:
    return buds_to_look_at(
        Kept(prospect(one.species, one.size), one.window, _own(one.species, states, kinds)) for one in told
    )


def _care(
    prospect: Callable[[Species, Size], Prospect],
    kind: Species,
    states: Iterable[TreeState],
    kinds: Mapping[str, Species | None],
) -> list[Care]:
    sizes = (one.tree.size for one in _own(kind, states, kinds) or ())
    return small_care(prospect(kind, DEFAULT_SIZE), largest(sizes))


def _own(
    kind: Species, states: Iterable[TreeState], kinds: Mapping[str, Species | None]
) -> tuple[TreeState, ...] | None:
    """The grower's trees of a species; None where no trees are kept at all."""
    return tuple(one for one in states if kinds[one.tree.id] is kind) if kinds else None


def _frost_levels_c(windows: Iterable[Watched]) -> list[float]:
    """The mildest two frosts that would hurt a tree worked now or soon."""
    near = [one.window for one in windows if one.now.verdict in ("soon", "open", "last-call")]
    levels = {rule.level_c for window in near for rule in window.hazard if rule.name == "frost"}
    return sorted(levels)[-2:]


def _own_record(workspace: Workspace, on: dt.date) -> OwnRecord:
    """What earlier reports said; nothing for the demo."""
    return OwnRecord() if workspace.demo else read_record(workspace.record_file, on)


def _record_if_readable(workspace: Workspace, on: dt.date) -> OwnRecord:
    """Who adds to a record that can't be read tells so; the report still goes out."""
    try:
        return _own_record(workspace, on)
    except GrowerError:
        return OwnRecord()


def _own_outcomes(
    record: OwnRecord,
    catalogue: Catalogue,
    view: SeasonView,
    prospect: Callable[[Species, Size], Prospect],
) -> list[Outcome]:
    return outcomes(
        record.foreseen(view.site.name),
        catalogue,
        lambda name, size: prospect(catalogue.find(name), size or DEFAULT_SIZE),
        view.on,
    )


def own_reports(workspace: Workspace, entries: Iterable[SiteEntry], on: dt.date) -> OwnReports:
    """What past reports on these sites foresaw, held against what came by `on`."""
    from season_engine.verify.own_score import OwnReports

    record, notes = _own_record(workspace, on), notes_until(workspace.notes, on)
    catalogue = catalogue_of(workspace)
    days: set[dt.date] = set()
    found: list[Outcome] = []
    names = set()
    for entry in entries:
        names.add(entry.site.name)
        if foreseen := record.foreseen(entry.site.name):
            days.update(one.as_of for one in foreseen)
            view = season_view(workspace, replace(entry, forecast=None), on)
            found += _own_outcomes(record, catalogue, view, prospects_of(view, notes))
    later = {one.as_of for one in record.statements if one.site in names and not one.foresight}
    return OwnReports(tuple(sorted(days)), len(later - days), record.torn, tuple(found))


def statements(report: Report, written: dt.date) -> list[Statement]:
    """What a report says, to be kept; nothing of invented weather, or where nothing was said."""
    return [
        Statement(report.as_of, written, site.site.name, tuple(said_of(a) for a in site.windows + site.trees))
        for site in report.sites
        if site.windows and not site.invented
    ]


def compare_sites(
    workspace: Workspace,
    entries: Sequence[SiteEntry],
    on: dt.date,
    *,
    job: str | None = None,
    species: str | None = None,
) -> Comparison:
    """The windows of a species, or of the trees kept at these sites, at the first site and at the others."""
    from season_engine.advice.compare import Comparison, compare_window

    catalogue = catalogue_of(workspace)
    names = {entry.site.name for entry in entries}
    trees = [tree_as_of(tree, on) for tree in workspace.trees if tree.site in names]
    kinds = [catalogue.find(species)] if species else _species_kept(trees, catalogue)
    chosen = windows_kept if job else windows_told
    windows = [(kind, window) for kind in kinds for window in chosen(kind, trees, catalogue)]
    asked_for = [(kind, window) for kind, window in windows if job in (None, window.job)]
    if not asked_for:
        raise GrowerError(
            f'the catalogue has no window for "{job}" on {species or "any of these species"}.',
            hint=f"It has {', '.join(dict.fromkeys(window.job for _, window in windows))}.",
        )
    views = [season_view(workspace, entry, on) for entry in entries]
    prospects = {kind.name: [Prospect(view, kind) for view in views] for kind, _ in asked_for}
    return Comparison(
        as_of=on,
        demo=workspace.demo,
        sites=tuple(entry.site for entry in entries),
        windows=tuple(compare_window(kind, window, *prospects[kind.name]) for kind, window in asked_for),
        not_covered=tuple(
            dict.fromkeys(tree.species for tree in trees if not species and not catalogue.get(tree.species))
        ),
        sources=tuple(dict.fromkeys(text for view in views for text in view.weather.sources)),
        warnings=tuple(
            text
            for place, view in enumerate(views)
            for text in (*view.weather.warnings, *_of_own(prospects.values(), place))
        ),
        invented=tuple(view.site.name for view in views if view.weather.invented),
    )


def _of_own(prospects: Iterable[Sequence[Prospect]], place: int) -> list[Message]:
    """What the grower's own numbers do at one of the sites compared."""
    return [text for at_sites in prospects for text in own_number_warnings(at_sites[place])]


def hindcast_windows(
    workspace: Workspace,
    entries: Sequence[SiteEntry],
    on: dt.date,
    lead_weeks: Sequence[float],
    *,
    jobs: int = 1,
    progress: Callable[[int, int], object] | None = None,
) -> list[Case]:
    """Past openings of each site's windows as they were foreseen; `progress` is told done and all.

    Without forecast days: they are kept for a few seasons at most, and all seasons are to be judged alike.
    """
    from joblib import Parallel, delayed

    entries = [replace(entry, forecast=None) for entry in entries]
    work = [
        (entry, issued, asked)
        for entry in entries
        for issued, asked in sorted(_questions(workspace, entry, on, lead_weeks).items())
    ]
    parallel = Parallel(n_jobs=jobs, return_as="generator")
    cases: list[Case] = []
    for done, found in enumerate(parallel(delayed(_answers)(workspace, *one) for one in work), start=1):
        cases += found
        if progress:
            progress(done, len(work))
    return cases


def _questions(
    workspace: Workspace, entry: SiteEntry, on: dt.date, lead_weeks: Sequence[float]
) -> dict[dt.date, list[Question]]:
    """What is to be forecast at a site, by the day it is forecast from."""
    from season_engine.verify.hindcast import questions

    view, catalogue = season_view(workspace, entry, on), catalogue_of(workspace)
    trees = [tree_as_of(tree, on) for tree in workspace.trees if tree.site == entry.site.name]
    asked: dict[dt.date, list[Question]] = {}
    for kind in _species_kept(trees, catalogue):
        for window in windows_told(kind, trees, catalogue):
            size = window.size or DEFAULT_SIZE
            for question in questions(Prospect(view, kind, size), window, size, lead_weeks):
                asked.setdefault(question.issued, []).append(question)
    return asked


def _answers(workspace: Workspace, entry: SiteEntry, issued: dt.date, asked: list[Question]) -> list[Case]:
    """Forecasts from one day, from what could be read then; none where that was too little."""
    from season_engine.verify.hindcast import answers

    try:
        return list(answers(season_view(workspace, entry, issued), asked))
    except WeatherError:
        return []


def _species_kept(trees: Sequence[Tree], catalogue: Catalogue) -> list[Species]:
    """The species of the trees; without trees, every species."""
    if not trees:
        return list(catalogue.species.values())
    kinds = [kind for tree in trees if (kind := catalogue.get(tree.species))]
    if not kinds:
        raise GrowerError(
            "the catalogue has none of the species of the trees at these sites.",
            hint="Name one with --species.",
        )
    return list({kind.name: kind for kind in kinds}.values())


def _state(workspace: Workspace, tree: Tree, entry: SiteEntry, on: dt.date) -> TreeState:
    return tree_state(tree_as_of(tree, on), notes_until(workspace.notes, on), entry.site.season_on(on))
