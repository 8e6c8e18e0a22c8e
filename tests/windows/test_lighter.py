"""Root work by severity: the full repotting is judged, and a light trim told of where it is still open."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.species.catalogue import load_catalogue
from season_engine.words.window_notes import note_text
from tests.workspaces import demo_report


def check(folder, *arguments: str) -> dict:
    call = ["check", *arguments, "--site", "lower-yard", "--json", "--workspace", str(folder)]
    return json.loads(CliRunner().invoke(main, call).stdout)


@pytest.fixture(scope="module")
def north() -> dict:
    """The northern yard in the demo's report of a spring day."""
    return json.loads(demo_report().stdout)["sites"][0]


def test_a_light_trim_is_told_of_once_the_full_repotting_is_closed(tmp_path) -> None:
    call = ("repotting", "--species", "Japanese maple", "--on")
    full = check(tmp_path, *call, "2026-04-19")
    assert (full["verdict"], full["severity"]) == ("closed", None)
    assert "A light trim of the roots may still be done, until about" in full["today_why"]
    assert "light trim" not in check(tmp_path, *call, "2026-03-28")["today_why"]
    assert "light trim" not in check(tmp_path, *call, "2026-06-20")["today_why"]


def test_a_window_of_other_root_work_is_judged_where_it_is_named(tmp_path) -> None:
    call = ("repotting", "--species", "Japanese maple", "--on", "2026-04-19")
    light = check(tmp_path, *call, "--window", "spring, light trim")
    assert light["severity"] == "light trim" and light["verdict"] in ("open", "last-call")
    bare = check(tmp_path, *call, "--window", "spring, bare root")
    assert bare["severity"] == "bare root" and bare["verdict"] == "closed"
    assert any("Tie the tree in" in text for text in bare["aftercare"])


def test_a_report_lists_full_repotting_and_leaves_sections_to_trees_dug_from_the_ground(north) -> None:
    assert {one["severity"] for one in north["windows"]} <= {None, "full"}
    sections = {one["tree"] for one in north["trees"] if one["job"] == "sectional-repotting"}
    assert sections == {"n13"}  # the one that was collected; a field-grown trident has no such window


def test_small_care_is_a_list_of_its_own(north) -> None:
    assert {"feeding", "shade", "winter-shelter", "wiring", "cuttings"} <= {
        one["job"] for one in north["care"]
    }
    assert not {one["job"] for one in north["care"]} & {one["job"] for one in north["windows"]}


@pytest.mark.parametrize("species", ["Pinus sylvestris", "Larix decidua", "Juniperus chinensis"])
def test_sections_can_be_read_by_a_programme(species: str) -> None:
    """Quarters about two years apart where roots come slowly, halves one to three otherwise (practice)."""
    windows = load_catalogue().find(species).windows
    sections = next(one for one in windows if one.job == "sectional-repotting").sections
    assert [(one.parts, one.years_apart) for one in sections] == [(2, (1, 3)), (4, (2, 2))]
    assert note_text(sections[1]) == (
        "In quarters, about 2 years apart, for trees that are old, weak or slow to root."
    )
