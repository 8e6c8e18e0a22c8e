"""By which rule an event is foretold: the catalogue's, unless it has seen later years."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from season_engine.phenology.rule import EVENT, catalogue_rule
from season_engine.phenology.station_record import StationRecord
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.notes import FittedHere, NearestStage, NoRule
from season_engine.verify.observations import Observations
from season_engine.verify.rules import FEWEST_TRAINED, Rules, rules_for
from season_engine.verify.station_files import Event
from tests.phenology.stations import twelve

CATALOGUE = load_catalogue()
FLOWERS = Event("Prunus x yedoensis", 61)
SWELLING = Event("Prunus x yedoensis", 1)  # counted back from the first flowers
MAPLE = Event("Acer palmatum", 1)
UNKNOWN = Event("Arbor ficta", 61)


def cherry() -> StationRecord:
    return twelve()[FLOWERS.species][-1]


def rules(records: Mapping[Event, StationRecord], train_until: int) -> Rules:
    held = {event: (record,) for event, record in records.items()}
    return rules_for(Observations(held, ()), train_until, CATALOGUE)


def test_the_catalogues_rule_is_used_once_its_fit_saw_no_later_year() -> None:
    found = rules({FLOWERS: cherry(), SWELLING: cherry(), MAPLE: cherry()}, 2005)
    for event in (FLOWERS, SWELLING, MAPLE):
        assert found.of_events[event] == catalogue_rule(CATALOGUE.find(event.species), event.bbch)
    assert found.notes == ()


def test_a_rule_that_has_seen_later_years_gives_way_to_one_fitted_on_those_to_then() -> None:
    """Also where it is only counted from one that has; a rule that rests on no data stays."""
    found = rules({FLOWERS: cherry(), SWELLING: cherry(), MAPLE: cherry()}, 2004)
    assert found.of_events[MAPLE].marker == "buds_swelling"
    for event in (FLOWERS, SWELLING):
        rule = found.of_events[event]
        assert rule.marker == EVENT and rule.of_event.bbch == event.bbch
        assert rule.of_event.kind == "softened_forcings" and rule.of_event.sd_days > 0
    assert found.notes == (FittedHere(FLOWERS, 2005, 2004), FittedHere(SWELLING, 2005, 2004))


def test_a_stage_the_catalogue_lacks_is_dated_by_the_nearest_it_has() -> None:
    between = Event("Prunus mume", 65)
    assert rules({between: cherry()}, 2020).notes == (NearestStage(between, 67),)


@pytest.mark.parametrize("dates", [FEWEST_TRAINED - 1, FEWEST_TRAINED])
def test_an_event_with_no_rule_and_too_few_dates_is_left_out_and_told(dates: int) -> None:
    years = sorted(year for year in cherry().observed if 1976 <= year < 2000)[:dates]
    few = replace(cherry(), observed={year: cherry().observed[year] for year in (*years, 2010)})
    found = rules({MAPLE: cherry(), UNKNOWN: few}, 2000)
    assert (UNKNOWN in found.of_events) == (dates == FEWEST_TRAINED)
    few_dates = NoRule(UNKNOWN, None, 2000, FEWEST_TRAINED)
    assert found.notes == ((few_dates if dates < FEWEST_TRAINED else FittedHere(UNKNOWN, None, 2000)),)


def test_dates_before_the_temperatures_count_for_nothing() -> None:
    """The first season that can be fitted on begins with the record or later."""
    early = replace(cherry(), observed={year: 180.0 for year in range(1953, 1976)})
    assert UNKNOWN not in rules({MAPLE: cherry(), UNKNOWN: early}, 2000).of_events
