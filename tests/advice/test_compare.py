"""Two sites side by side: on two real stations, on invented dates, and against plain loops."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from season_engine.advice.compare import Contrast, Difference, Pair, Spread, compare_window, contrast, spread
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView
from season_engine.windows.assess import Prospect
from season_engine.windows.opening import Opening, open_window
from tests.yards import KAGOSHIMA, LAST_DAY, NAGANO, SOUTH, readings, view, view_on

DRAWS = 3
INF = np.inf


def pair(
    species: str, first: SeasonView, other: SeasonView, job: str = "repotting", window: str = "spring"
) -> Pair:
    kind = load_catalogue().find(species)
    (wanted,) = (one for one in kind.windows if (one.job, one.name) == (job, window))
    (found,) = compare_window(kind, wanted, Prospect(first, kind), Prospect(other, kind)).pairs
    return found


def stations(species: str, **which: str) -> Pair:
    return pair(species, view(NAGANO, LAST_DAY), view(KAGOSHIMA, LAST_DAY), **which)


def width(spread: Spread) -> float:
    return spread.p90 - spread.p10


def widths(difference: Difference | None) -> tuple[float, float]:
    assert difference is not None
    return width(difference.paired), width(difference.unpaired)


# Real stations --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "species", ["Pinus thunbergii", "Acer palmatum", "Larix decidua", "Prunus mume", "Ulmus parvifolia"]
)
def test_the_same_years_held_together_say_more_than_any_two(species: str) -> None:
    """Two stations 900 km apart have their mild springs together; so has the rule its error."""
    found = stations(species)
    for one in (found.past, found.season):
        paired, unpaired = widths(one.opens)
        assert paired < 0.85 * unpaired
        paired, unpaired = widths(one.closes)
        assert paired < 0.85 * unpaired


@pytest.mark.parametrize(
    "species",
    [
        "Acer palmatum",
        "Acer buergerianum",
        "Larix decidua",
        "Prunus mume",
        "Ulmus parvifolia",
        "Zelkova serrata",
    ],
)
def test_deciduous_trees_are_earlier_by_about_what_hopkins_law_says(species: str) -> None:
    """Spring is four days later for each degree of latitude north and each 400 ft (120 m) up: Hopkins 1920,
    as given by Richardson et al. 2019, Applications in Plant Sciences 7(3) e01228 (read in a secondary copy),
    who found deciduous trees to keep to it and evergreens not to. It knows no coasts, so half to double will
    do; its term for longitude, six days here, is left out.
    """
    degrees, metres = NAGANO.latitude - KAGOSHIMA.latitude, NAGANO.elevation_m - KAGOSHIMA.elevation_m
    law = 4 * degrees + 4 * metres / 120
    assert law == pytest.approx(34.2, abs=0.1)
    opens = stations(species).past.opens
    assert opens is not None
    assert law / 2 < -opens.paired.p50 < law * 2


def test_a_site_against_itself_differs_by_nothing_at_all() -> None:
    here = view(NAGANO, LAST_DAY)
    for one in (found := pair("Pinus thunbergii", here, here)).past, found.season:
        assert one.opens is not None and one.closes is not None
        assert one.opens.paired == one.closes.paired == Spread(0, 0, 0)
        assert width(one.opens.unpaired) > 0
        assert one.first == one.other


def test_a_mirrored_yard_differs_by_nothing_once_the_half_year_is_out() -> None:
    """The same weather 183 days on in the south. Its leap days fall otherwise, which moves a date by two."""
    south = replace(NAGANO, name="mirrored", latitude=-NAGANO.latitude)
    half_year, on = dt.timedelta(days=183), dt.date(2025, 5, 1)
    series = replace(readings(NAGANO), first_day=readings(NAGANO).first_day + half_year)
    found = pair(
        "Acer palmatum", view_on(NAGANO, readings(NAGANO), on), view_on(south, series, on + half_year)
    )
    assert not found.past.years_paired
    assert found.past.opens is not None
    assert abs(found.past.opens.paired.p50) <= 2
    assert found.past.opens.paired.p10 == pytest.approx(-found.past.opens.paired.p90, abs=4)


def test_a_window_at_one_site_only_is_told_and_not_compared() -> None:
    """Kagoshima's winters are too mild for the ten cold days that late winter's needle work waits for."""
    found = stations("Pinus thunbergii", job="needle-work", window="late winter").past
    assert (found.opens, found.closes) == (None, None)
    assert found.first.chance_given > 0.9 and found.other.chance_given < 0.1
    assert found.first.opens.p50 is not None and found.other.opens.p50 is None


def test_years_that_only_one_site_has_are_dropped_and_counted() -> None:
    long = view(NAGANO, LAST_DAY)
    series = readings(KAGOSHIMA)
    later = dt.date(2000, 1, 1)
    start = (later - series.first_day).days
    short = view_on(
        KAGOSHIMA,
        replace(series, first_day=later, tmin_c=series.tmin_c[start:], tmax_c=series.tmax_c[start:]),
        LAST_DAY,
    )
    found = pair("Acer palmatum", long, short).past
    # whole traces run from July 2000 on; the last one ends in March 2025
    assert (found.years, found.years_only_first, found.years_only_other) == (24, 24, 0)
    turned = pair("Acer palmatum", short, long).past
    assert (turned.years, turned.years_only_first, turned.years_only_other) == (24, 0, 24)
    assert found.opens == by_loops(opening_of(long), opening_of(short))
    assert found.first.opens != stations("Acer palmatum").past.first.opens


def opening_of(one: SeasonView) -> Opening:
    """Of the Japanese maple's spring repotting, over whole past seasons."""
    kind = load_catalogue().find("Acer palmatum")
    return open_window(Prospect(one, kind).past, kind.windows[0].opens, kind.windows[0].closes)


# Plain loops ----------------------------------------------------------------------------------------------


def by_loops(first: Opening, other: Opening) -> Difference:
    """The opening's difference the slow way: a dictionary of years, and NumPy's own quantiles."""
    ours, theirs = days_by_year(first), days_by_year(other)
    years = sorted(ours.keys() & theirs.keys())
    paired = [b - a for year in years for a, b in zip(ours[year], theirs[year], strict=True)]
    unpaired = np.subtract.outer(all_of(theirs, years), all_of(ours, years)).ravel().tolist()
    return Difference(of_days(paired), of_days(unpaired))


def days_by_year(opening: Opening) -> dict[int, list[float]]:
    return {
        int(year): [float(np.ceil(day)) for day in row]
        for year, row in zip(opening.traces.labels, opening.opens, strict=True)
    }


def all_of(days: dict[int, list[float]], years: list[int]) -> list[float]:
    return [day for year in years for day in days[year]]


def of_days(days: list[float]) -> Spread:
    finite = [day for day in days if np.isfinite(day)]
    return Spread(*np.quantile(finite, [0.1, 0.5, 0.9], method="averaged_inverted_cdf").tolist())


def test_the_stations_difference_is_what_plain_loops_make_of_it() -> None:
    here, there = (opening_of(view(site, LAST_DAY)) for site in (NAGANO, KAGOSHIMA))
    assert contrast(here, there).opens == by_loops(here, there)


# Invented dates -------------------------------------------------------------------------------------------

BLANK = {"north": view(NAGANO, LAST_DAY).past, "south": view(SOUTH, LAST_DAY).past}


def opening(labels: list[int], opens: np.ndarray, closes: np.ndarray, site: Site = NAGANO) -> Opening:
    """An opening in these years' traces, columns counted from the season's start; all chances alike."""
    count, blank = len(labels), BLANK[site.hemisphere]
    traces = replace(
        blank,
        site=site,
        labels=np.array(labels, dtype=np.int64),
        weights=np.full(count, 1 / max(count, 1)),
        tmin_c=np.zeros((count, blank.days.size)),
        tmax_c=np.zeros((count, blank.days.size)),
    )
    start = traces.season_start
    weights = np.full(opens.shape, 1 / max(opens.size, 1))
    return Opening(opens + start, closes + start, weights, traces)


@st.composite
def openings(draw: st.DrawFn, site: Site = NAGANO) -> Opening:
    labels = draw(st.lists(st.integers(2000, 2012), min_size=1, max_size=9, unique=True))
    shape = (len(labels), DRAWS)
    opens = draw(arrays.arrays(float, shape, elements=st.integers(0, 400).map(lambda half: half / 2)))
    opens[draw(arrays.arrays(bool, shape))] = INF
    return opening(sorted(labels), opens, opens + 30, site)


FAR = Site("far", -35.0, 150.0)


@given(openings(), openings() | openings(FAR))
def test_naming_the_sites_the_other_way_only_turns_the_sign(first: Opening, other: Opening) -> None:
    there, back = contrast(first, other), contrast(other, first)
    assert (there.first, there.other) == (back.other, back.first)
    assert (there.years_only_first, there.years_only_other) == (back.years_only_other, back.years_only_first)
    assert there.chance_both == pytest.approx(back.chance_both)
    for one, two in ((there.opens, back.opens), (there.closes, back.closes)):
        assert (one is None) == (two is None)
        if one is not None and two is not None:
            assert one.paired == turned(two.paired)
            assert one.unpaired == turned(two.unpaired)


def turned(spread: Spread) -> Spread:
    return Spread(-spread.p90, -spread.p50, -spread.p10)


@given(openings(), st.integers(-20, 20), st.data())
def test_a_steady_shift_is_found_whatever_years_are_missing(
    first: Opening, shift: int, data: st.DataObject
) -> None:
    """Each year has dates of its own, so years that were mixed up would show."""
    labels = [int(label) for label in first.traces.labels]
    keep = data.draw(st.lists(st.sampled_from(labels), min_size=1, unique=True))
    rows = [labels.index(label) for label in sorted(keep)]
    more = [*sorted(keep), 2050]
    none = np.full((1, DRAWS), 7.0)
    start = first.traces.season_start
    other = opening(
        more,
        np.vstack([first.opens[rows] - start + shift, none]),
        np.vstack([first.closes[rows] - start + shift, none]),
    )
    found = contrast(first, other)
    assert (found.years, found.years_only_first, found.years_only_other) == (
        len(keep),
        len(labels) - len(keep),
        1,
    )
    share = np.isfinite(first.opens[rows]).mean()
    assert found.chance_both == pytest.approx(share)
    if share > 0.5:
        assert found.opens is not None and found.closes is not None
        assert found.opens.paired == found.closes.paired == Spread(shift, shift, shift)


def test_no_year_in_common_is_no_comparison() -> None:
    dates = np.full((2, DRAWS), 10.0)
    found = contrast(opening([2000, 2001], dates, dates), opening([2010, 2011], dates, dates))
    assert (found.years, found.years_only_first, found.years_only_other) == (0, 2, 2)
    assert (found.opens, found.chance_both) == (None, 0)


def both_hemispheres(first: list[float], other: list[float]) -> Contrast:
    ours, theirs = (np.repeat([[day] for day in days], DRAWS, axis=1) for days in (first, other))
    return contrast(
        opening([2000, 2001], ours, ours + 30), opening([2000, 2001], theirs, theirs + 30, site=FAR)
    )


def test_between_hemispheres_any_year_meets_any_other() -> None:
    """Years 10 and 30 against 15 and 35: by label 5 and 5, in all combinations -15, 5, 5 and 25."""
    found = both_hemispheres([10, 30], [15, 35])
    assert not found.years_paired
    assert found.opens is not None
    assert found.opens.paired == found.opens.unpaired == Spread(-15, 5, 25)


def test_days_are_counted_in_each_site_s_own_season() -> None:
    """1 October north and 1 April south are the same day, though not the same column of a trace."""
    first, other = (
        opening([2000], np.zeros((1, DRAWS)), np.ones((1, DRAWS)), site) for site in (NAGANO, FAR)
    )
    assert first.traces.season_start != other.traces.season_start
    found = contrast(first, other)
    assert found.opens is not None
    assert found.opens.paired == Spread(0, 0, 0)


def test_the_rule_s_error_is_shared_even_between_hemispheres() -> None:
    """One year each; the rule's error moves both by the same: 5 always, unless any draw meets any."""
    ours = np.array([[0.0, 10.0, 20.0]])
    found = contrast(opening([2000], ours, ours + 30), opening([2000], ours + 5, ours + 35, site=FAR))
    assert found.opens is not None
    assert found.opens.paired == Spread(5, 5, 5)
    assert found.opens.unpaired == Spread(-15, 5, 25)


@given(arrays.arrays(float, st.integers(1, 40), elements=st.integers(-300, 300).map(float)))
def test_quantiles_are_numpy_s(days: np.ndarray) -> None:
    assert spread(days, np.full(days.shape, 0.3)) == of_days(days.tolist())
