"""Follow-ups by the dates a species has at a site: found there, cut at the day, mirrored in the south."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from season_engine.note import Details, Note
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView
from season_engine.tree import Tree
from season_engine.trees.follow_ups import FollowUp
from season_engine.trees.history import history_of
from season_engine.weather.checks import check_and_fill
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.windows.after_work import follow_ups_of, marker_dates
from season_engine.windows.assess import Prospect
from tests.windows.test_mirror_law import EQUINOX_DAYS, HALF_YEAR, mirrored
from tests.yards import NAGANO, readings, view, view_on

CATALOGUE = load_catalogue()
FEED = "Feed for the first time since the roots were worked, once shoots run"


def prospect(species: str, on: dt.date, site: Site = NAGANO) -> Prospect:
    return Prospect(view(site, on), CATALOGUE.find(species))


def notes_of(species: str, done: dt.date) -> list[Note]:
    heavy = Details(amount="heavy")
    return [
        Note(
            done, "yard", "t1", species, job=job, details=heavy if job == "structural-pruning" else Details()
        )
        for job in ("repotting", "wiring", "structural-pruning", "decandling")
    ]


def test_feeding_waits_for_the_shoots_of_the_species_here() -> None:
    on = dt.date(2025, 4, 1)
    maple = prospect("Acer palmatum", on)
    notes = [Note(dt.date(2025, 3, 20), "yard", "t1", job="repotting")]
    (feed,) = (
        one
        for one in follow_ups_of(maple, history_of(Tree("t1", "yard", "Acer palmatum"), notes, on))
        if one.words.template == FEED
    )
    shoots_run = maple.dating(0).odds("shoots_run").by(0.5)
    assert feed.first == maple.dating(0).traces.date_of(float(shoots_run))
    assert feed.first > dt.date(2025, 4, 19)  # thirty days after


def test_the_first_marker_that_the_species_has_counts_and_another_season_has_its_own_date() -> None:
    dates = marker_dates(prospect("Pinus thunbergii", dt.date(2025, 4, 1)))
    now = dates(("no such marker", "growth_runs", "midsummer"), dt.date(2025, 4, 1))
    before = dates(("growth_runs",), dt.date(2024, 4, 1))
    assert now is not None and now.year == 2025
    assert before is not None and before.year == 2024
    assert dates(("no such marker",), dt.date(2025, 4, 1)) is None
    assert dates(("growth_runs",), dt.date(1900, 4, 1)) is None, "before there are readings"


def test_no_weather_after_the_day_moves_a_date() -> None:
    on, series = dt.date(2024, 5, 1), readings(NAGANO)
    kind = CATALOGUE.find("Acer palmatum")
    with_future, without = (
        marker_dates(Prospect(SeasonView(NAGANO, check_and_fill(one, source=GivenOrigin("test")), on), kind))
        for one in (series, series.cut(on))
    )
    for day in (dt.date(2023, 5, 1), dt.date(2024, 5, 1), dt.date(2024, 11, 1)):
        for name in ("leaves_open", "shoots_run", "leaves_hard"):
            assert with_future((name,), day) == without((name,), day)


@pytest.mark.parametrize(
    "species", ["Acer palmatum", "Pinus thunbergii", "Juniperus chinensis", "Picea glauca"]
)
@pytest.mark.parametrize("on", [dt.date(2024, 4, 20), dt.date(2024, 9, 10)])
def test_in_the_south_six_months_on_the_days_are_the_same(species: str, on: dt.date) -> None:
    series = readings(NAGANO)
    there = replace(series, first_day=series.first_day + HALF_YEAR)
    kind, tree = CATALOGUE.find(species), Tree("t1", "yard", species)
    done = on - dt.timedelta(days=25)
    south_view = view_on(mirrored(NAGANO), there, on + HALF_YEAR)
    had = history_of(tree, notes_of(species, done), on)
    had_there = history_of(tree, notes_of(species, done + HALF_YEAR), on + HALF_YEAR)
    north = follow_ups_of(Prospect(view(NAGANO, on), kind), had)
    south = follow_ups_of(Prospect(south_view, kind), had_there)
    assert north
    assert [key(one) for one in north] == [key(one) for one in south]
    for here, other in zip(sorted(north, key=key), sorted(south, key=key), strict=True):
        assert abs((other.first - here.first - HALF_YEAR).days) <= EQUINOX_DAYS
        assert other.last - other.first == here.last - here.first


def key(one: FollowUp) -> tuple[str, str, int]:
    return one.job, one.words.template, one.planned_days
