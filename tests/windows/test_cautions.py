"""What can hurt whoever works: by job, species and size of the tree."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from season_engine.pot import Pot
from season_engine.species.catalogue import load_catalogue
from season_engine.species.jobs import JOBS
from season_engine.tree import POTS, Tree
from season_engine.weather.forecast.days import ForecastDay, ForecastDays
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.windows.assess import Prospect
from season_engine.windows.cautions import cautions_of, cautions_of_heat
from season_engine.windows.weights import heaviest, heavy_to_lift
from season_engine.words.speech import said
from tests.yards import NAGANO, view

PINE, MAPLE = "Pinus thunbergii", "Acer palmatum"
# By job: what is told of a small, a medium and a large tree that has no poison in it. Common practice, no
# source; the weights behind "lifting" are in `windows/weights.py`.
ROOT_WORK = ("dust", "dust, blades", "lifting, dust, blades")
TOLD = {
    "repotting": ROOT_WORK,
    "sectional-repotting": ROOT_WORK,
    "slip-potting": ("dust", "dust", "lifting, dust"),
    "structural-pruning": ("", "blades", "blades"),
    "wiring": ("wire",) * 3,
    "wire-check": ("wire",) * 3,
    "deadwood": ("power tools, lime sulphur",) * 3,
    "dormant-spray": ("sprays",) * 3,
    "winter-shelter": ("", "", "lifting"),
    "collecting": ("wild trees, dust", "wild trees, dust, blades", "wild trees, lifting, dust, blades"),
    "air-layering": ("knife",) * 3,
    "grafting": ("knife",) * 3,
}
QUIET = [
    "decandling", "candle-shortening", "cut-back", "needle-work", "winter-tidy", "bud-thinning", "pinching",
    "trimming", "after-bloom-pruning", "defoliation", "feeding", "shade", "cuttings",
]  # fmt: skip
LEFT_WHOLE = {"slip-potting", "dormant-spray", "wiring", "wire-check", "feeding", "shade", "winter-shelter"}
# Every species of the catalogue with poison in it; from memory, but for those that name a source there.
POISON = {
    "Taxus baccata": "all parts but the red flesh of the fruit",
    "Taxus cuspidata": "all parts but the red flesh of the fruit",
    "Taxus x media": "all parts but the red flesh of the fruit",
    "Buxus sempervirens": "all parts",
    "Buxus microphylla": "all parts",
    "Buxus harlandii": "all parts",
    "Ilex crenata": "the berries",
    "Ilex serrata": "the berries",
    "Rhododendron indicum": "all parts",
    "Rhododendron obtusum": "all parts",
    "Rhododendron kiusianum": "all parts",
    "Wisteria floribunda": "seeds and pods above all",
    "Juniperus sabina": "all parts",
    "Thuja occidentalis": "shoot tips, wood and cones",
    "Ligustrum vulgare": "leaves and berries",
    "Ligustrum ovalifolium": "leaves and berries",
    "Ligustrum sinense": "leaves and berries",
    "Euonymus alatus": "all parts, the berries above all",
    "Euonymus hamiltonianus": "all parts, the berries above all",
    "Crassula ovata": "the leaves, to cats and dogs",
    "Streblus asper": "bark and roots",
    "Heptapleurum arboricola": "leaves and stems, to cats and dogs too",
    "Duranta erecta": "berries and leaves",
    "Carissa macrocarpa": "all parts but the ripe fruit",
    "Adenium obesum": "all parts, the sap above all",
    "Euphorbia milii": "all parts",
}
SAP = {
    "Ficus microcarpa": "milky sap",
    "Ficus rubiginosa": "milky sap",
    "Ficus benjamina": "milky sap",
    "Ficus macrophylla": "milky sap",
    "Ficus carica": "milky sap, the more so in sunlight",
    "Ficus religiosa": "milky sap",
    "Ficus salicaria": "milky sap",
    "Ficus benghalensis": "milky sap",
    "Ficus virens": "milky sap",
    "Ficus burtt-davyi": "milky sap",
    "Streblus asper": "milky sap",
    "Heptapleurum arboricola": "sap",
    "Wrightia religiosa": "milky sap",
    "Carissa macrocarpa": "milky sap",
    "Adenium obesum": "sap",
    "Euphorbia milii": "milky sap, which must not get into an eye",
}
# Genera that have one or the other in every species: a species added to the catalogue must not be left out.
ALWAYS = ("Taxus", "Buxus", "Rhododendron", "Wisteria", "Ligustrum", "Euonymus", "Ilex", "Ficus", "Euphorbia",
          "Nerium", "Adenium", "Laburnum", "Hedera", "Thuja", "Duranta")  # fmt: skip


def kinds(job: str, species: str, size) -> list[str]:
    litres = POTS[size].usual.litres
    return [one.kind for one in cautions_of(job, load_catalogue().find(species), size, litres)]


def test_every_job_is_in_one_of_the_tables() -> None:
    assert sorted((*TOLD, *QUIET)) == sorted(JOBS)


@pytest.mark.parametrize("job", TOLD)
def test_what_each_job_says_by_the_size_of_the_tree(job: str) -> None:
    assert tuple(", ".join(kinds(job, PINE, size)) for size in POTS) == TOLD[job]


@pytest.mark.parametrize("job", QUIET)
def test_what_is_done_with_fingers_and_scissors_says_nothing(job: str) -> None:
    assert [kinds(job, MAPLE, size) for size in POTS] == [[], [], []]


def test_lifting_is_told_of_no_small_tree_and_once_of_a_large_one() -> None:
    lifted = {job for job in JOBS if "lifting" in kinds(job, PINE, "large")}
    assert lifted == {"repotting", "sectional-repotting", "slip-potting", "winter-shelter", "collecting"}
    assert all(kinds(job, PINE, "large").count("lifting") == 1 for job in lifted)
    assert not any("lifting" in kinds(job, PINE, "small") for job in JOBS)
    assert [heavy_to_lift(litres) for litres in (1, 10, 16, 17, 60)] == [False, False, False, True, True]
    small, large = (Tree(size, "yard", PINE, size=size) for size in ("small", "large"))
    boxed = Tree("boxed", "yard", PINE, size="small", pot=Pot.of_box_cm(80, 60, 30))
    assert heaviest([small, boxed, large]) is boxed and heaviest([]) is None


def test_lifting_goes_by_the_trees_own_pot() -> None:
    seen, pine = view(NAGANO, dt.date(2024, 4, 1)), load_catalogue().find(PINE)
    for pot, told in ((None, False), (Pot.of_box_cm(80, 60, 30), True)):
        cautions = Prospect(seen, pine, "small", pot=pot).cautions("repotting")
        assert ("lifting" in [one.kind for one in cautions]) == told


def test_poison_and_sap_stand_at_the_species_that_have_them() -> None:
    found = load_catalogue().species.values()
    assert {one.name: said(one.poison.parts) for one in found if one.poison} == POISON
    assert {one.name: said(one.skin.parts) for one in found if one.skin} == SAP
    assert [one.name for one in found if one.name.split()[0] in ALWAYS and not (one.poison or one.skin)] == []


def test_poison_and_sap_are_told_where_the_tree_is_cut() -> None:
    for job in JOBS:
        cut = job not in LEFT_WHOLE
        assert ("poison" in kinds(job, "Taxus baccata", "small")) is cut
        assert ("skin" in kinds(job, "Ficus microcarpa", "small")) is cut
        assert not {"poison", "skin"} & {*kinds(job, "Juniperus chinensis", "large")}
    (told,) = cautions_of("trimming", load_catalogue().find("Taxus baccata"), "small", 1.0)
    assert said(told.parts) == "all parts but the red flesh of the fruit"


def weather(tmax_c: list[float], ahead: tuple[float, ...] = ()) -> Weather:
    first, tmax = dt.date(2026, 1, 1), np.array(tmax_c)
    last = first + dt.timedelta(days=tmax.size - 1)
    days = tuple(
        ForecastDay(last + dt.timedelta(days=n), 15.0, value, n) for n, value in enumerate(ahead, start=1)
    )
    made = Weather(DailySeries(first, tmax - 15, tmax), np.ones(tmax.size, bool), GivenOrigin("made"))
    return replace(made, forecast=ForecastDays("used", days=days))


@pytest.mark.parametrize(
    ("tmax_c", "ahead", "told"),
    [
        ([34.9] * 20, (34.9,), False),
        ([*[30.0] * 19, 35.0], (), True),  # today
        ([*[30.0] * 12, 36.0, *[30.0] * 7], (), True),  # a week ago
        ([*[30.0] * 11, 36.0, *[30.0] * 8], (), False),
        ([30.0] * 20, (31.0, 35.0), True),
    ],
)
def test_nobody_works_in_the_sun_over_35_degrees(tmax_c, ahead, told) -> None:
    on = dt.date(2026, 1, 20)
    assert [one.kind for one in cautions_of_heat(weather(tmax_c, ahead), on)] == (["heat"] if told else [])


def test_heat_looks_at_nothing_after_the_day() -> None:
    later = weather([*[30.0] * 20, 40.0])
    assert cautions_of_heat(later, dt.date(2026, 1, 20)) == ()
    assert cautions_of_heat(later, dt.date(2026, 3, 1)) == (), "readings that ended long ago say nothing"
