"""One yard's part of a weekly report, gathered."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import replace

from season_engine.advice.first_screen import first_screen
from season_engine.report.contents import SiteReport, roots_first
from season_engine.report.days_ahead import days_ahead
from season_engine.report.said_before import said_before
from season_engine.report.season_sums import season_sums
from season_engine.report.year_ago import year_ago
from season_engine.verify.own_record import OwnRecord
from season_engine.verify.own_score import Outcome, outcomes, own_score
from season_engine.weather.water_demand import water_demand
from season_engine.windows.after_work import follow_ups_of
from season_engine.windows.bud_stage import bud_stage
from season_engine.windows.care import Care, small_care
from season_engine.windows.choice import DEFAULT_SIZE
from season_engine.windows.frost_weeks import frost_odds
from season_engine.windows.looks import Kept, buds_to_look_at
from season_engine.windows.own_numbers import own_number_warnings
from season_engine.windows.yard import Watched, Yard

FREEZING_C = 0.0


def site_report(yard: Yard, record: OwnRecord, timezone: str | None) -> SiteReport:
    """Everything the weekly report says of a yard; `record` is what earlier reports said."""
    view, site = yard.view, yard.view.site
    told = tuple(one.now for one in yard.watched)
    earlier = said_before(record.previous(view.on, site.name), view.on)
    found = SiteReport(
        site,
        view.weather,
        timezone=timezone,
        windows=told,
        trees=yard.judged,
        first=first_screen(yard, yard.judged or told, *earlier),
        weak=yard.marked("weak"),
        look_at=buds_to_look_at(
            Kept(yard.prospect(one.species, one.size), one.window, yard.trees_of(one.species))
            for one in yard.watched
            if one.now.seldom_well is None
        ),
        follow_ups=tuple(one for history, prospect in yard.own for one in follow_ups_of(prospect, history)),
        questions=yard.questions,
        tree_names={tree.id: tree.name for tree in yard.trees},
        benches={tree.id: tree.bench for tree in yard.trees if tree.bench},
        sums=season_sums(view),
        water=water_demand(site, view.weather, view.on),
        frost=frost_odds(view.season(), view.on, {FREEZING_C, *_frost_levels_c(yard.watched)}),
        days_ahead=days_ahead(view),
        stages={one.tree.id: stage for one, prospect in yard.own if (stage := bud_stage(prospect))},
        not_covered=yard.not_covered,
        own_numbers=tuple(
            one for kind in yard.species for one in own_number_warnings(yard.prospect(kind, DEFAULT_SIZE))
        ),
        own_record=own_score(own_outcomes(yard, record)),
        year_ago=year_ago(yard),
    )
    return replace(found, care=tuple(_care(yard, roots_first(found))))


def own_outcomes(yard: Yard, record: OwnRecord) -> list[Outcome]:
    """What earlier reports on a yard foresaw, held against what came."""
    return outcomes(
        record.foreseen(yard.view.site.name),
        yard.catalogue,
        lambda name, size: yard.prospect(yard.catalogue.find(name), size or DEFAULT_SIZE),
        yard.view.on,
    )


def _care(yard: Yard, roots: Container[str]) -> Iterable[Care]:
    for kind in yard.species:
        yield from small_care(yard.prospect(kind, DEFAULT_SIZE), yard.trees_of(kind), roots)


def _frost_levels_c(windows: Iterable[Watched]) -> list[float]:
    """The mildest two frosts that would hurt a tree worked now or soon."""
    near = [one.window for one in windows if one.now.at_hand]
    levels = {rule.level_c for window in near for rule in window.hazard if rule.name == "frost"}
    return sorted(levels)[-2:]
