"""`compare`, as it is called: on two real stations and on the demo."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.schemas import assert_valid
from tests.test_cli import run
from tests.workspaces import make_two_yards

ON = "2025-12-31"


@pytest.fixture(scope="module")
def yards(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_two_yards(tmp_path_factory.mktemp("yards"))


def compare(folder: Path, *more: object, on: object = ON) -> dict[str, Any]:
    result = run("compare", "nagano", "kagoshima", "--workspace", folder, "--on", on, "--json", *more)
    assert result.exit_code == 0, result.stderr
    document: dict[str, Any] = json.loads(result.stdout)
    assert_valid(document, "compare")
    return document


def test_the_species_of_the_trees_are_compared_and_the_unknown_named(yards: Path) -> None:
    document = compare(yards)
    assert document["first"] == "nagano"
    assert {window["species"] for window in document["windows"]} == {"Pinus thunbergii", "Acer palmatum"}
    assert document["not_covered"] == ["Nothing known"]
    pines = [w["window"] for w in document["windows"] if w["job"] == "decandling"]
    # The sizes that are kept, and the other school, which has one window for all.
    assert pines == [
        "early summer, large trees",
        "early summer, small trees",
        "summer, by days before frost",
    ]


def test_without_trees_the_whole_catalogue_is_compared(tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path / "bare")
    (folder / "trees.csv").unlink()
    (folder / "journal.csv").unlink()
    found = {window["species"] for window in compare(folder, "--job", "after-bloom-pruning")["windows"]}
    assert {"Prunus mume", "Wisteria floribunda", "Rhododendron indicum"} < found


def test_the_other_way_round_is_the_same_with_the_sign_turned(yards: Path) -> None:
    there = compare(yards, "--species", "black pine", "--job", "repotting")
    result = run(
        "compare", "Kagoshima", "nagano", "--species", "Pinus thunbergii", "--job", "repotting",
        "--workspace", yards, "--on", ON, "--json",
    )  # fmt: skip
    back = json.loads(result.stdout)
    for when in ("past", "season"):
        one, two = (document["windows"][0]["pairs"][0][when] for document in (there, back))
        assert one["first"] == two["other"]
        for kind in ("paired", "unpaired"):
            mine, yours = one["opens_days_later"][kind], two["opens_days_later"][kind]
            assert mine == {"p10": -yours["p90"], "p50": -yours["p50"], "p90": -yours["p10"]}


@settings(max_examples=2, suppress_health_check=[HealthCheck.too_slow])
@given(on=st.dates(dt.date(2016, 1, 1), dt.date(2025, 12, 31)))
def test_what_comes_later_changes_nothing(
    yards: Path, tmp_path_factory: pytest.TempPathFactory, on: dt.date
) -> None:
    cut = make_two_yards(tmp_path_factory.mktemp("cut"), cut_on=on)
    of_pines = ("--species", "Pinus thunbergii")
    assert compare(yards, *of_pines, on=on) == compare(cut, *of_pines, on=on)


def test_many_sites_are_each_compared_with_the_first(yards: Path, tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path / "three", twin=True)
    result = run("compare", "nagano", "kagoshima", "twin", "--workspace", folder, "--on", ON, "--json")
    document = json.loads(result.stdout)
    assert_valid(document, "compare")
    assert [site["name"] for site in document["sites"]] == ["nagano", "kagoshima", "twin"]
    none = {"p10": 0, "p50": 0, "p90": 0}
    for window in document["windows"]:
        assert [pair["other"] for pair in window["pairs"]] == ["kagoshima", "twin"]
        twin = window["pairs"][1]["past"]
        if twin["opens_days_later"] is not None:
            assert (twin["opens_days_later"]["paired"], twin["closes_days_later"]["paired"]) == (none, none)


def test_the_text_speaks_of_every_window(yards: Path) -> None:
    result = run("compare", "nagano", "kagoshima", "--workspace", yards, "--on", ON)
    said = " ".join(result.stdout.split())
    assert "earlier at kagoshima than at nagano" in said
    assert "black pine, needle work (late winter)" in said and "none at kagoshima" in said
    assert "Not in the catalogue: Nothing known." in said
    assert max(len(line) for line in result.stdout.splitlines()) <= 80


def test_the_demo_s_yards_are_compared_across_the_equator(tmp_path: Path) -> None:
    result = run(
        "compare",
        "lower-yard",
        "dune-yard",
        "--workspace",
        tmp_path,
        "--on",
        "2026-03-30",
        "--job",
        "repotting",
    )
    assert result.exit_code == 0, result.stderr
    assert "invented" in result.stderr
    said = " ".join(result.stdout.split())
    assert "dune-yard lies in the other hemisphere than lower-yard" in said
    assert "The weather is invented." in said


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "name at least two sites to compare. There are nagano, kagoshima."),
        (("nagano",), "name at least two sites to compare"),
        (("nagano", "Nagano"), "named twice"),
        (("nagano", "kagoshina"), 'Did you mean "kagoshima"?'),
        (("nagano", "kagoshima", "--job", "repoting"), 'Did you mean "repotting"?'),
        (("nagano", "kagoshima", "--species", "Acer palmatun"), 'Did you mean "Acer palmatum"?'),
        (("nagano", "kagoshima", "--job", "after-bloom-pruning"), 'no window for "after-bloom-pruning"'),
        (("nagano", "kagoshima", "--species", "Acer palmatum", "--job", "decandling"), "It has repotting"),
    ],
)
def test_a_wrong_call_is_a_sentence_and_exits_2(yards: Path, arguments: tuple[str, ...], said: str) -> None:
    result = run("compare", *arguments, "--workspace", yards, "--on", ON)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())


def test_trees_of_no_known_species_ask_for_one(tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path / "unknown")
    (folder / "journal.csv").unlink()
    (folder / "trees.csv").write_text("id,species,site\nu1,Nothing known,nagano\n", encoding="utf-8")
    result = run("compare", "nagano", "kagoshima", "--workspace", folder, "--on", ON)
    assert (result.exit_code, "--species" in result.stderr) == (2, True)


def test_poor_weather_at_one_site_exits_3_and_names_it(tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path / "poor")
    lines = (folder / "kagoshima.csv").read_text("utf-8").splitlines(keepends=True)
    (folder / "kagoshima.csv").write_text("".join([lines[0], *lines[-800:]]), encoding="utf-8")
    result = run("compare", "nagano", "kagoshima", "--workspace", folder, "--on", ON)
    assert (result.exit_code, result.stdout) == (3, "")
    assert "kagoshima" in result.stderr and "complete season" in result.stderr
