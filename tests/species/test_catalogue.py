from __future__ import annotations

import pytest

from season_engine.errors import GrowerError
from season_engine.species.catalogue import load_catalogue, read_group
from season_engine.windows.jobs import JOBS as JOBS_KNOWN

GROUP = """
group = "trial"

[marker.start]
kind = "season_day"
label = "the season has begun"
day = 0
from = "practice"

[marker.warm]
kind = "heat_after"
label = "it has been warm"
after = "start"
need = 100
unit = "growing degree days above 5 degC"
sd_days = 5
from = "memory"

[[window]]
job = "repotting"
name = "spring"
opens = ["start"]
closes = ["warm"]

[species."Quercus inventa"]
common = ["made-up oak"]

[species."Quercus altera"]
common = ["other oak"]

[species."Quercus altera".marker.warm]
kind = "heat_after"
label = "it has been warm"
after = "start"
need = 150
unit = "growing degree days above 5 degC"
from = "fit"
source = "seven invented years"
"""


def test_species_inherit_and_override_whole_tables() -> None:
    first, second = read_group(GROUP, "trial.toml")
    assert (first.markers["warm"].need, first.markers["warm"].sd_days) == (100, 5)
    assert (second.markers["warm"].need, second.markers["warm"].sd_days) == (150, 0)
    assert second.markers["warm"].origin == "fitted: seven invented years"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('opens = ["start"]', 'opens = ["begin"]', '"begin" that does not exist'),
        ('after = "start"', 'after = "begin"', 'counted from "begin"'),
        ('after = "start"', 'after = "warm"', "loop"),
        ("above 5 degC", "above 5 degF", "is not known"),
        ('from = "memory"', 'from = "published"', "needs its source"),
        ('closes = ["warm"]', 'closes = ["start"]', "comes before it opens"),
        (
            'opens = ["start"]\ncloses = ["warm"]',
            'opens = ["warm"]\ncloses = ["start"]',
            "comes before it opens",
        ),
        ('job = "repotting"', 'job = "dancing"', '"dancing" is not one of'),
        ("need = 100", "need = -1", "greater than 0"),
        ("sd_days = 5", "spread = 5", "Extra inputs"),
        ('kind = "season_day"', 'kind = "moon"', "does not match any of the expected tags"),
        ("[species", "[[[species", "not valid TOML"),
    ],
)
def test_a_faulty_group_is_an_error_that_names_the_file(old: str, new: str, said: str) -> None:
    with pytest.raises(GrowerError, match=r"trial\.toml") as caught:
        read_group(GROUP.replace(old, new, 1), "trial.toml")
    assert said in str(caught.value)


@pytest.mark.parametrize(
    "name", ["Pinus thunbergii", "pinus  THUNBERGII", "Japanese black pine", "black-pine"]
)
def test_a_species_is_found_by_any_of_its_names(name: str) -> None:
    assert load_catalogue().find(name).name == "Pinus thunbergii"


def test_a_misspelt_species_is_asked_about() -> None:
    with pytest.raises(GrowerError, match=r"Did you mean Pinus thunbergii\?"):
        load_catalogue().find("Pinus thunbergi")


def test_an_unknown_species_lists_what_there_is() -> None:
    with pytest.raises(GrowerError, match=r"It holds Acer buergerianum, Acer palmatum"):
        load_catalogue().find("Zzzz")


def test_no_two_species_share_a_name() -> None:
    names = [name.casefold() for species in load_catalogue().species.values() for name in species.names]
    assert len(names) == len(set(names))


def test_every_window_is_of_a_job_the_engine_knows_the_odds_of() -> None:
    for species in load_catalogue().species.values():
        assert set(species.jobs) <= set(JOBS_KNOWN)


def test_numbers_without_evidence_are_spread_wide() -> None:
    """Heat needs known only from practice or memory must not look surer than a week."""
    for species in load_catalogue().species.values():
        for name, marker in species.markers.items():
            if marker.kind in ("heat_after", "heat_softened_by_chill") and marker.provenance in (
                "practice",
                "memory",
            ):
                assert marker.sd_days >= 6, (species.name, name)
