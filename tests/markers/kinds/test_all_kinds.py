"""What holds for every kind of marker."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pydantic import TypeAdapter

from season_engine.facts import CHILL_PORTIONS, HeatUnit
from season_engine.markers.base import Marker
from season_engine.markers.registry import AnyMarker, kinds
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import DayLength, HeatLeft, MeanSoFar, SoFar, SumSoFar, WarmthSoFar
from season_engine.phenology.dating import MEDIUM_POT
from season_engine.traces import CaseTraces, TraceSet
from season_engine.traces.trace_set import day_of_year
from season_engine.tree import POTS
from tests.markers.scenes import past_of, scene_of

HEAT = "growing degree days above 5 degC"
BETWEEN = {"after": "midwinter", "until": "autumn_end"}
RULES = [
    {"from_day": 95, "need": 20, "steepness_per_c": 0.2, "middle_c": 18, "softening": 0.01},
    {"from_day": 125, "need": 15, "steepness_per_c": 0.3, "middle_c": 16, "softening": 0.0125},
]
TABLES = (
    {"kind": "season_day", "day": 200},
    {"kind": "chill_met", "need": 5, "unit": "chill portions"},
    {"kind": "heat_after", "after": "midwinter", "need": 300, "unit": HEAT},
    {"kind": "heat_softened_by_chill", "after": "midwinter", "need": 300, "unit": HEAT, "softening": 0.01},
    {"kind": "softened_forcing", "after": "midwinter", "need": 20, "unit": "days of full warmth"}
    | {"steepness_per_c": 0.2, "middle_c": 18, "softening": 0.01},
    {"kind": "spring_warmth", "after": "midwinter", "need": 60, "unit": "days of full warmth"}
    | {"counted_as": "buds"},
    {"kind": "softened_forcings", "after": "midwinter", "rules": RULES},
    {"kind": "heat_left_below", "need": 900, "unit": HEAT, **BETWEEN},
    {"kind": "mean_above", "after": "midwinter", "level_c": 18, "days": 5, "zone": "root"},
    {"kind": "mean_below", "after": "midwinter", "level_c": 17, "days": 5},
    {"kind": "day_length_below", "after": "midsummer", "hours": 10.5},
    {"kind": "day_length_above", "after": "midwinter", "hours": 13},
    {"kind": "shortest_day_near", "after": "midsummer", "minutes": 15},
    {"kind": "cold_nights", "after": "midwinter", "level_c": -4.6, "nights": 9},
    {"kind": "first_of", "markers": ["midsummer", "midwinter"]},
    {"kind": "days_after", "after": "midwinter", "days": -20},
    {"kind": "hot_day_odds", "after": "midwinter", "level_c": 30, "share": 0.2},
    {"kind": "last_hot_day", "level_c": 30, "share": 0.2, **BETWEEN},
    {"kind": "heat_share", "after": "midwinter", "share": 0.3, "base_c": 5},
    {"kind": "heat_share_left", "share": 0.3, "base_c": 5, **BETWEEN},
    {"kind": "first_frost", "after": "midwinter", "level_c": 9.6, "share": 0.3},
    {"kind": "last_frost", "level_c": 9.6, "share": 0.3, **BETWEEN},
)
HOT = ({2015: (7, 1), 2017: (8, 10), 2019: (9, 1)}, {2014: (6, 5), 2016: (5, 2), 2018: (7, 7)})


def marker_of(table: dict[str, object]) -> Marker:
    return TypeAdapter(AnyMarker).validate_python(
        {"label": "made up", "sd_days": 6, "from": "memory", **table}
    )


def together(traces: tuple[TraceSet, ...]) -> CaseTraces:
    """Cases of one site on an axis before the traces."""
    names = ("tmin_c", "tmax_c", "weights", "observed", "day_length_h")
    arrays = {
        name: np.stack([getattr(one, name) for one in traces]) for name in (*names, "bench_frost_allowance_c")
    }
    return CaseTraces(
        **arrays,
        season_start=traces[0].season_start,
        sites=tuple(one.site for one in traces),
        day_of_year=np.stack([day_of_year(one.days) for one in traces]),
    )


def with_winter(traces: TraceSet) -> TraceSet:
    """Its first half year colder by 15 degrees, and 300 days of it known."""
    colder_c = np.where(np.arange(traces.days.size) < traces.season_start + 180, 15.0, 0.0)
    return replace(
        traces, tmin_c=traces.tmin_c - colder_c, tmax_c=traces.tmax_c - colder_c, observed_days=300
    )


CASES = tuple(with_winter(past_of(45.0, hot)) for hot in HOT)
TOGETHER = together(CASES)


def test_each_kind_has_its_table_here() -> None:
    assert sorted(str(table["kind"]) for table in TABLES) == [*kinds()]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table["kind"])
def test_cases_together_are_dated_as_each_alone_to_the_bit(table: dict[str, object]) -> None:
    marker = marker_of(table)
    scenes = [scene_of(one) for one in CASES]
    dates = {name: np.stack([scene.dates[name] for scene in scenes]) for name in scenes[0].dates}
    found = marker.reached(Scene(TOGETHER, dates, pot=MEDIUM_POT))
    errors = np.array([-1.5, 0.0, 1.5]) * marker.sd_days
    draws = {name: column[..., None] + errors for name, column in dates.items()}
    spread = marker.spread(found.dates, draws, errors)
    for case, scene in enumerate(scenes):
        alone = marker.reached(scene)
        assert np.array_equal(found.dates[case], alone.dates)
        assert np.array_equal(found.have[case], alone.have, equal_nan=True)
        assert np.array_equal(found.need[case], alone.need, equal_nan=True)
        mine = {name: column[case] for name, column in draws.items()}
        assert np.array_equal(spread[case], marker.spread(alone.dates, mine, errors))
    assert np.isfinite(found.dates).any(), "a test of dates that never come holds nothing"


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table["kind"])
def test_the_pot_moves_what_is_dated_in_it_and_nothing_else(table: dict[str, object]) -> None:
    """Others are dated once for all pots (`Marker.reached`), so a kind that asks the pot must be of roots."""
    marker, scene = marker_of(table), scene_of(CASES[0])
    pots = [replace(scene, pot=POTS[size].usual) for size in ("small", "large")]
    small, large = (marker.progress(one).by(None, scene.traces.first_days).dates for one in pots)
    assert np.array_equal(small, large) is not marker.of_roots
    assert [marker.reached(one).dates.tolist() for one in pots] == [small.tolist(), large.tolist()]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table["kind"])
def test_every_number_of_a_kind_is_told(table: dict[str, object]) -> None:
    told = " ".join(marker_of(table).numbers)
    values = [*table.items(), *(pair for rule in table.get("rules", ()) for pair in rule.items())]
    for name, value in values:
        if name == "share":
            assert f"{value:.0%}" in told
        elif isinstance(value, int | float):
            assert f"{abs(value):g}" in told


# By kind: what is told of 8.0 measured where 9.0 is needed; of the others their label alone.
SO_FAR: dict[str, SoFar] = {
    "chill_met": SumSoFar(8.0, 9.0, CHILL_PORTIONS),
    "heat_after": SumSoFar(8.0, 9.0, HeatUnit(5.0)),
    "heat_softened_by_chill": SumSoFar(8.0, 9.0, HeatUnit(5.0)),
    "heat_share": SumSoFar(8.0, 9.0, HeatUnit(5.0)),
    "heat_share_left": HeatLeft(8.0, 9.0, HeatUnit(5.0)),
    "softened_forcing": SumSoFar(8.0, 9.0, "days of full warmth"),
    "spring_warmth": SumSoFar(8.0, 9.0, "days of full warmth"),
    "softened_forcings": WarmthSoFar(8.0),
    "heat_left_below": HeatLeft(8.0, 9.0, HeatUnit(5.0)),
    "mean_above": MeanSoFar(8.0, 5, root_zone=True),
    "mean_below": MeanSoFar(8.0, 5, root_zone=False),
    "day_length_below": DayLength(8.0),
    "day_length_above": DayLength(8.0),
    "shortest_day_near": DayLength(8.0),
}


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table["kind"])
def test_a_kind_states_how_far_it_is(table: dict[str, object]) -> None:
    marker = marker_of(table)
    assert marker.so_far(8.0, 9.0) == SO_FAR.get(marker.kind)
    if isinstance(marker.so_far(8.0, 9.0), SumSoFar | WarmthSoFar):
        assert marker.so_far(9.0, 9.0) is None
