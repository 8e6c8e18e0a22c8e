"""A tree's own pot and the sun on it decide its roots' dates and hazards, in the order that physics gives."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

import pytest

from season_engine.pot import Pot
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView
from season_engine.tree import Tree
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment, PotTaken
from season_engine.windows.explain import pot_taken
from season_engine.windows.hazard import Hazard, worth_telling
from season_engine.windows.judge import Judge, prospects_of
from season_engine.windows.of_roots import of_roots
from season_engine.windows.why_today import NeedsShade, Risky
from tests.yards import NORTH, TAKAYAMA, late_view, view

LITRES = (1, 3, 10, 30, 60)
JUNIPER, AZALEA = (load_catalogue().find(name) for name in ("Juniperus chinensis", "Rhododendron indicum"))
APRIL, JUNE = dt.date(2024, 4, 1), dt.date(2024, 6, 12)


def in_sun(seen: SeasonView, sun: str) -> SeasonView:
    return SeasonView(replace(seen.site, sun_on_pots=sun), seen.weather, seen.on)


def repotting(prospect: Prospect, name: str, shelter: bool | None = None) -> Assessment:
    window = next(one for one in prospect.species.windows if (one.job, one.name) == ("repotting", name))
    return assess(prospect, window, shelter)


def chance(found: Assessment, name: str) -> float:
    return next(one.chance for one in found.hazards if one.name == name)


@pytest.mark.parametrize("site", [NORTH, TAKAYAMA])
@pytest.mark.parametrize("sun", ["sun", "half", "shade"])
def test_the_larger_the_pot_the_rarer_frost_and_heat_at_the_roots(site, sun) -> None:
    april, june = (in_sun(late_view(site, on), sun) for on in (APRIL, JUNE))
    pots = [Pot.of_tree(litres) for litres in LITRES]
    frost = [chance(repotting(Prospect(april, JUNIPER, pot=pot), "spring"), "root frost") for pot in pots]
    heat = [chance(repotting(Prospect(june, AZALEA, pot=pot), "after bloom"), "root heat") for pot in pots]
    assert all(one >= two for chances in (frost, heat) for one, two in pairwise(chances))
    assert frost[0] > 0.3 > 0.15 > frost[-1]


@pytest.mark.parametrize("litres", LITRES)
def test_sun_warms_roots_earlier_and_hotter(litres) -> None:
    pot, seen = (
        Pot.of_tree(litres),
        [in_sun(late_view(TAKAYAMA, JUNE), sun) for sun in ("sun", "half", "shade")],
    )
    starts = [Prospect(one, JUNIPER, pot=pot).past.odds("root_zone_warm").by(0.5) for one in seen]
    heat = [chance(repotting(Prospect(one, AZALEA, pot=pot), "after bloom"), "root heat") for one in seen]
    assert starts == sorted(starts) and starts[2] - starts[0] > 7
    assert heat == sorted(heat, reverse=True)


def test_a_flat_pot_is_nearer_to_the_air_than_a_deep_one_of_the_same_litres() -> None:
    """Sixty centimetres wide and eight deep, against thirty-six and twenty-eight: both 29 litres."""
    flat, deep = Pot.of_box_cm(60, 60, 8), Pot.of_box_cm(32, 32, 28.1)
    assert flat.litres == pytest.approx(deep.litres, abs=0.1)
    seen = view(TAKAYAMA, dt.date(2024, 3, 15))
    frost = [repotting(Prospect(seen, JUNIPER, pot=pot), "spring") for pot in (flat, deep)]
    assert chance(frost[0], "root frost") > chance(frost[1], "root frost")


def test_two_trees_of_one_size_are_judged_each_in_its_own_pot() -> None:
    judge = Judge(prospects_of(view(TAKAYAMA, APRIL), (), load_catalogue().get))
    window = next(one for one in JUNIPER.windows if (one.job, one.name) == ("repotting", "spring"))
    trees = [
        Tree(str(litres), "takayama", JUNIPER.name, pot=Pot.of_tree(litres) if litres else None)
        for litres in (1, 0, 60)
    ]
    told = [chance(judge(JUNIPER, "medium", window, History(tree)), "root frost") for tree in trees]
    assert told[0] > told[1] >= told[2]
    assert told[1] == chance(judge(JUNIPER, "medium", window), "root frost")


@pytest.mark.parametrize("name", ["Pinus thunbergii", "Acer palmatum", "Juniperus chinensis"])
def test_what_does_not_look_into_the_pot_is_the_same_in_any_but_for_its_cautions(name) -> None:
    kind, seen = load_catalogue().find(name), view(TAKAYAMA, APRIL)
    small, large = (
        Prospect(seen, kind, size, pot=Pot.of_tree(n)) for size, n in (("small", 1), ("large", 90))
    )
    apart = [one for one in kind.windows if not of_roots(kind, one)]
    assert 1 < len(apart) < len(kind.windows)
    judge = Judge(prospects_of(seen, (), load_catalogue().get))
    heavy = History(Tree("big", "takayama", name, size="large", pot=Pot.of_tree(90)))
    for window in apart:
        one, other = (assess(prospect, window) for prospect in (small, large))
        assert one == replace(other, cautions=one.cautions)
        assert judge(kind, "large", window, heavy).cautions == other.cautions


def test_a_frost_of_the_roots_holds_a_small_pot_and_lets_a_large_one_go() -> None:
    seen, pine = view(NORTH, dt.date(2024, 3, 31)), load_catalogue().find("Pinus thunbergii")
    small, large = (
        repotting(Prospect(seen, pine, pot=pot), "spring", shelter=False)
        for pot in (Pot.of_tree(1), Pot.of_tree(60))
    )
    assert small.verdict == large.verdict == "open"
    assert small.today == "hold" and isinstance(small.today_why, Risky)
    assert large.today == "do"


def test_hot_roots_ask_for_shade_and_never_hold() -> None:
    """Shade spares a tree hot roots, so that they don't make a day less good."""
    seen = in_sun(view(NORTH, JUNE), "sun")
    found = repotting(Prospect(seen, AZALEA, pot=Pot.of_tree(1)), "after bloom")
    assert chance(found, "root heat") > 0.5
    assert found.today == "only-with-shelter" and isinstance(found.today_why, NeedsShade)
    assert found.ahead[0].chance_good > found.ahead[0].chance_open - 0.3


def test_of_two_kinds_of_cold_the_likelier_is_told() -> None:
    seen = view(NORTH, dt.date(2024, 3, 20))
    maple = load_catalogue().find("Acer palmatum")
    small, large = (
        worth_telling(repotting(Prospect(seen, maple, pot=Pot.of_tree(litres)), "spring").hazards)
        for litres in (1, 60)
    )
    assert [one.name for one in small if one.cold] == ["root frost"]
    assert [one.name for one in large if one.cold] == ["frost"]
    heat = Hazard("heat", 0.5, 1, None)
    assert worth_telling([heat, heat]) == (heat, heat)


def test_what_nobody_said_of_a_pot_is_told() -> None:
    seen = view(TAKAYAMA, APRIL)
    taken = pot_taken(Prospect(seen, JUNIPER, "large"))
    assert taken == PotTaken(60, "size", "half", sun_told=False, colour=None)
    told = pot_taken(Prospect(in_sun(seen, "shade"), JUNIPER, pot=Pot.of_box_cm(60, 40, 12)))
    assert (told.litres, told.known_by, told.sun, told.sun_told) == (28.8, "pot", "shade", True)
