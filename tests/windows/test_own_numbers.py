"""A grower's own numbers that move a window far, or past its end, are told of; others are not."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.files.toml_lines import TomlText
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.assess import Prospect
from season_engine.windows.own_numbers import own_number_warnings
from season_engine.words.own_numbers import own_number_text
from tests.species.test_own_catalogue import LATER, NEW, yard
from tests.yards import NORTH, SOUTH, view

ON = dt.date(2025, 4, 5)
HEAD = '# mine\n[species."Pinus thunbergii".marker.'
HEAT = """kind = "heat_softened_by_chill"
label = "moved"
softening = 0.01
unit = "growing degree days above 5 degC"
from = "memory"
"""

WARM_ROOTS = """# mine
[species."Pinus thunbergii".marker.root_zone_warm]
kind = "mean_above"
label = "moved"
after = "cool_season"
level_c = 13
days = 7
zone = "root"
from = "memory"
"""


def own(marker: str, need: int, after: str = "cool_season") -> str:
    return f'{HEAD}{marker}]\nafter = "{after}"\nneed = {need}\nsd_days = 6\n{HEAT}'


def warnings(text: str, site: Site = NORTH, species: str = "Pinus thunbergii") -> list[str]:
    kind = load_catalogue((TomlText("catalogue.toml", text),)).find(species)
    return [own_number_text(one) for one in own_number_warnings(Prospect(view(site, ON), kind))]


@pytest.mark.parametrize(
    ("text", "site", "said"),
    [
        (LATER, NORTH, "the opening of repotting (spring) at north 30 days later"),
        (
            own("candles_long", 170),
            NORTH,
            "puts the closing of repotting (spring) at north before its opening.",
        ),
        (own("candles_long", 300), NORTH, "days earlier than the number it replaces."),
        (own("candles_moving", 700), SOUTH, "puts the opening of repotting (spring) at south "),
        (
            own("candles_moving", 90_000),
            NORTH,
            "leaves most seasons at north without a window for repotting (spring).",
        ),
    ],
)
def test_what_moves_a_window_far_or_past_its_end_is_told_with_its_place(
    text: str, site: Site, said: str
) -> None:
    (told,) = warnings(text, site)
    marker = text.partition("marker.")[2].partition("]")[0]
    assert told.startswith(f'In catalogue.toml, line 2: "{marker}" of Pinus thunbergii ')
    assert said in told


def test_an_opening_after_its_closing_stage_says_so_and_one_merely_late_does_not() -> None:
    assert "days later than the number it replaces, after a stage that closes it." in warnings(WARM_ROOTS)[0]
    assert warnings(WARM_ROOTS, SOUTH)[0].endswith("days later than the number it replaces.")


@pytest.mark.parametrize(
    ("text", "species"),
    [
        (own("candles_moving", 210), "Pinus thunbergii"),
        (LATER, "Pinus densiflora"),
        (NEW, "Juniperus fictilis"),
        ("", "Pinus thunbergii"),
    ],
)
def test_what_moves_little_or_is_not_the_grower_s_is_not(text: str, species: str) -> None:
    assert warnings(text, species=species) == []


def test_two_numbers_moved_together_are_judged_together() -> None:
    """Candles later to move and to be long: the opening comes late, but never past its end."""
    both = LATER + own("candles_long", 3000).replace("# mine\n", "")
    told = warnings(both)
    assert told and not any("after a stage that closes it" in one or "before its" in one for one in told)


def test_check_and_the_report_tell_of_it(tmp_path: Path) -> None:
    folder = yard(tmp_path, catalogue=LATER)
    (folder / "trees.csv").write_text(
        "id,site,species\np1,yard,black pine\nm1,yard,Japanese maple\n", "utf-8"
    )
    call = ["--on", "2026-04-05", "--json", "--workspace", str(folder)]
    said = 'In catalogue.toml, line 2: "candles_moving" of Pinus thunbergii puts the opening of repotting'
    pine, maple = (
        json.loads(CliRunner().invoke(main, ["check", "repotting", tree, *call]).stdout)["warnings"]
        for tree in ("p1", "m1")
    )
    assert [one[: len(said)] for one in pine] == [said] and maple == []
    report = json.loads(CliRunner().invoke(main, ["report", *call]).stdout)["sites"][0]
    assert [one for one in report["weather"]["warnings"] if one.startswith(said)] == pine
    assert not any(said in text for one in report["windows"] for text in one["warnings"])
