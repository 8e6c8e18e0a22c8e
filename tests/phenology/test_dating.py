from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.markers.scene import Scene
from season_engine.phenology.dating import DRAWS, MEDIUM_POT, Dating, date_markers, whole_days
from season_engine.phenology.learning import LearntArrays, told_by_notes
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.traces import CaseTraces, Traces
from tests.traces.made_cases import CASES, site_records
from tests.yards import KAGOSHIMA, NAGANO, SOUTH, view

ON = dt.date(2021, 2, 10)


@pytest.mark.parametrize("site", [NAGANO, KAGOSHIMA, SOUTH], ids=lambda site: site.name)
def test_no_marker_passes_the_one_it_is_counted_from(site) -> None:
    for species in load_catalogue().species.values():
        dating = date_markers(species, view(site, ON).season())
        for name, marker in species.markers.items():
            after = getattr(marker, "after", None)
            if after and not (marker.kind == "days_after" and marker.days < 0):
                assert after in marker.depends_on
                assert (dating.dates[name] >= dating.dates[after]).all(), (species.name, name)


def test_the_draws_are_centred_and_as_wide_as_a_normal_error() -> None:
    assert DRAWS.mean() == pytest.approx(0, abs=1e-12)
    assert DRAWS.std() == pytest.approx(1, abs=0.06)


def test_the_spread_of_a_marker_is_its_own() -> None:
    """To whole days, which add a twelfth of a day to the variance (Sheppard's correction)."""
    species = load_catalogue().find("Acer palmatum")
    dates = date_markers(species, view(NAGANO, ON).season()).dates["buds_swelling"]
    n_days = species.markers["buds_swelling"].sd_days
    variance = np.var(dates, axis=1)
    assert variance == pytest.approx((n_days * DRAWS.std()) ** 2 + 1 / 12, rel=0.02)


@pytest.mark.parametrize("on", [dt.date(2023, 2, 1), dt.date(2023, 8, 20)])
def test_a_share_of_the_usual_heat_is_the_same_sum_this_season_and_in_past_ones(on: dt.date) -> None:
    """A hot season doesn't raise what its heat is held against."""
    pine, seen = load_catalogue().find("Pinus sylvestris"), view(NAGANO, on)
    names = [name for name, marker in pine.markers.items() if marker.kind.startswith("heat_share")]
    assert {pine.markers[name].kind for name in names} == {"heat_share", "heat_share_left"}
    for name in names:
        needs = [need_of(pine, name, traces) for traces in (seen.season(), seen.season(1), seen.past)]
        assert needs[0] == needs[1] == needs[2]


def need_of(species: Species, name: str, traces: Traces) -> float:
    scene = Scene(traces, date_markers(species, traces).plain, MEDIUM_POT)
    return species.markers[name].progress(scene).need.item()


# --- whole days --------------------------------------------------------------------------------------------


def test_a_date_is_the_whole_day_it_lies_nearest() -> None:
    days = np.array([100.0, 100.4, 100.49, 100.5, 101.2, -0.5, np.inf])
    assert whole_days(days).tolist() == [100, 100, 100, 101, 101, 0, np.inf]


def test_all_dates_are_whole_and_nowhere_more_than_half_a_day_from_the_rules_and_its_error() -> None:
    species = load_catalogue().find("Acer palmatum")
    dating = date_markers(species, view(NAGANO, ON).season(), learnt=LearntArrays(2.3, 0.7))
    for name, marker in species.markers.items():
        dates = dating.dates[name]
        come = np.isfinite(dates)
        assert np.array_equal(dates[come], np.floor(dates[come])), name
        if marker.sd_days and marker.kind not in ("days_after", "first_of", "chill_met"):
            spread = 0.7 if told_by_notes(marker) else 1.0
            exact = dating.plain[name][:, None] + spread * marker.sd_days * DRAWS
            free = come & (dates > dating.dates[marker.after])  # not held back by the one it is counted from
            assert np.abs(dates - exact)[free].max(initial=0.0) <= 0.5, name
    assert (dating.plain["buds_swelling"] % 1 != 0).all(), "notes move dates by parts of a day"


# --- cases side by side ------------------------------------------------------------------------------------

NAN = np.nan
# What is known of each case; NaN where it isn't. All chances of a date may be past, or still to come.
SEEN = [NAN, NAN, 150.0, NAN, NAN, NAN, NAN, NAN, NAN]
NOT_YET = [190.0, NAN, NAN, 20.0, 350.0, NAN, 165.0, NAN, NAN]
ALREADY = [NAN, 160.0, NAN, NAN, NAN, 5.0, NAN, NAN, 170.0]
SHIFTS = np.array([0.0, -3.2, 4.0, 1.1, 0.0, 7.6, -0.5, 2.0, -12.4])
SPREADS = np.array([1.0, 0.5, 0.8, 1.0, 1.3, 0.6, 0.9, 1.0, 0.7])


def many(species: Species, marker: str) -> Dating[CaseTraces]:
    known = {"seen": SEEN, "not_yet": NOT_YET, "already": ALREADY}
    of_marker = {what: {marker: np.array(columns)} for what, columns in known.items()}
    traces = site_records().traces(CASES, 365)
    return date_markers(species, traces, learnt=LearntArrays(SHIFTS, SPREADS, **of_marker))


def single(species: Species, marker: str, place: int) -> Dating[CaseTraces]:
    """One case by itself, told only of what is known of it."""
    known = {"seen": SEEN[place], "not_yet": NOT_YET[place], "already": ALREADY[place]}
    of_marker = {what: {marker: column} for what, column in known.items() if not np.isnan(column)}
    traces = site_records().traces([CASES[place]], 365)
    learnt = LearntArrays(SHIFTS[place : place + 1], SPREADS[place : place + 1], **of_marker)
    return date_markers(species, traces, learnt=learnt)


@pytest.mark.parametrize(
    ("name", "marker"), [("Prunus x yedoensis", "first_flowers"), ("Pinus sylvestris", "buds_swelling")]
)
def test_cases_together_are_dated_as_each_alone(name: str, marker: str) -> None:
    """With what is known of some of them alone, and whatever pads those of fewer past years."""
    species = load_catalogue().find(name)
    together = many(species, marker)
    for place in range(len(CASES)):
        alone = single(species, marker, place)
        count = alone.traces.weights.shape[1]
        for each in species.markers:
            assert np.array_equal(together.dates[each][place, :count], alone.dates[each][0]), (place, each)
        assert not together.weights[place, count:].any()
        assert together.weights[place, :count] == pytest.approx(alone.weights[0], abs=1e-12)
        for odds in (0.1, 0.5, 0.9):
            assert together.odds(marker).by(odds)[place] == alone.odds(marker).by(odds)[0]


def test_what_is_known_of_a_case_holds_in_it_and_rules_nothing_out_in_others() -> None:
    species, marker = load_catalogue().find("Prunus x yedoensis"), "first_flowers"
    together = many(species, marker)
    free = date_markers(species, together.traces, learnt=LearntArrays(SHIFTS, SPREADS))
    assert together.weights.sum(axis=(1, 2)) == pytest.approx(1.0)
    likely = together.weights > 0
    for place, (seen, not_yet, already) in enumerate(zip(SEEN, NOT_YET, ALREADY, strict=True)):
        days = together.dates[marker][place][likely[place]]
        if not np.isnan(seen):
            assert (days == seen).all()
        elif not np.isnan(not_yet):
            assert (days > not_yet).all()
        elif not np.isnan(already):
            assert (days <= already).all()
        else:
            assert np.array_equal(together.dates[marker][place], free.dates[marker][place])
            assert np.array_equal(together.weights[place], free.weights[place])
    assert (free.dates[marker][4] <= NOT_YET[4]).all(), "every chance was past, and has moved"
    assert (free.dates[marker][5] > ALREADY[5]).all(), "none had come, and all have moved"
