"""`species` and `jobs`: what is known, by any name, with a yard's usual dates and its own changes."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.documents.knowledge_page import PAGE
from season_engine.species.catalogue import load_catalogue
from season_engine.species.jobs import JOBS
from tests.schemas import assert_valid
from tests.test_guide import own_catalogue
from tests.workspaces import make_two_yards, make_workspace

ON = ("--on", "2025-12-30")


def run(*arguments: object) -> Result:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result


def said(result: Result) -> str:
    assert result.exit_code == 0, result.output
    assert all(len(line) <= 80 for line in result.stdout.splitlines())
    return " ".join(result.stdout.split())


def document(*arguments: object) -> Any:
    result = run("species", *arguments, "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    assert_valid(found, "species")
    return found


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = make_workspace(tmp_path_factory.mktemp("yard"))
    (folder / "catalogue.toml").write_text(own_catalogue().text, "utf-8")
    return folder


def test_without_a_name_all_are_listed_by_group(tmp_path: Path) -> None:
    text = said(run("species", "--workspace", tmp_path))
    found = document("--workspace", tmp_path)
    catalogue = load_catalogue().species
    assert {one["species"] for one in found["names"]} == set(catalogue)
    assert all(f"{name} ({kind.common[0]})" in text for name, kind in catalogue.items())
    assert (found["demo"], found["species"]) == (True, [])


@pytest.mark.parametrize(
    ("name", "means"),
    [
        ("Pinus thunbergii", ["Pinus thunbergii"]),
        ("pinus-thunbergii", ["Pinus thunbergii"]),
        ("P. thunbergii", ["Pinus thunbergii"]),
        ("Japanese black pines", ["Pinus thunbergii"]),
        ("trident", ["Acer buergerianum"]),
        ("Acer palmatum 'Anything'", ["Acer palmatum"]),
        ("Ember", ["Acer palmatum"]),
        ("n16", ["Ficus microcarpa"]),
        ("beech", ["Fagus crenata", "Fagus sylvatica"]),
    ],
)
def test_any_name_will_do(tmp_path: Path, name: str, means: list[str]) -> None:
    found = [one["species"] for one in document(name, "--workspace", tmp_path)["names"]]
    assert set(means) <= set(found)
    assert len(means) > 1 or found == means


def test_of_many_only_the_names_are_told(tmp_path: Path) -> None:
    text = said(run("species", "maple", "--workspace", tmp_path))
    assert "Acer palmatum: Japanese maple" in text and "Acer rubrum: red maple" in text
    assert "repotting" not in text
    found = document("maple", "--workspace", tmp_path)
    assert len(found["names"]) > 5 and found["species"] == []


@pytest.mark.parametrize(
    ("name", "hint"), [("trydent maple", '"trident maple"'), ("qqqq", "The catalogue holds species of Abies")]
)
def test_a_name_that_nothing_has_is_offered_another(tmp_path: Path, name: str, hint: str) -> None:
    result = run("species", name, "--workspace", tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert hint in result.stderr


def test_a_tree_of_a_species_nobody_knows(yard: Path) -> None:
    result = run("species", "Stranger", "--workspace", yard, *ON)
    assert result.exit_code == 2
    assert 'no species "Nothing known"' in result.stderr


def test_what_it_rests_on_is_counted_as_the_page_of_numbers_has_it(tmp_path: Path) -> None:
    (row,) = re.findall(r"^\| Acer palmatum: .*$", PAGE.read_text("utf-8"), re.MULTILINE)
    published, fit, practice, memory = (int(cell) for cell in row.split("|")[3:7])
    (maple,) = document("Acer palmatum", "--workspace", tmp_path)["species"]
    counted = {"published": published, "fit": fit, "practice": practice, "memory": memory}
    assert maple["known_from"] == counted
    text = said(run("species", "Acer palmatum", "--workspace", tmp_path))
    assert f"Its {sum(counted.values())} rules for dates and harm rest on:" in text
    assert f"common practice, no source ({practice})" in text


def test_the_usual_dates_are_those_of_check(yard: Path) -> None:
    call = ("check", "repotting", "--species", "Acer buergerianum", "--window", "spring")
    checked = json.loads(run(*call, "--workspace", yard, *ON, "--json").stdout)
    (trident,) = document("trident", "--workspace", yard, *ON)["species"]
    (spring,) = (one for one in trident["windows"] if (one["job"], one["window"]) == ("repotting", "spring"))
    (usual,) = spring["usual"]
    assert (usual["site"], usual["years"]) == ("nagano", checked["usual"]["years"])
    for end in ("opens", "closes"):
        assert usual[end] == checked["usual"][f"{end}_p50"]
    opens = usual["opens"]
    assert re.search(
        rf"Usually {int(opens[8:])} Mar to \d+ Apr at nagano\.",
        said(run("species", "trident", "--workspace", yard, *ON)),
    )


def test_each_site_has_its_dates_and_one_may_be_asked_for(tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path)
    text = said(run("species", "trident", "--workspace", folder, *ON))
    assert re.search(r"Usually \d+ \w+ to \d+ \w+ at nagano; usually \d+ \w+ to \d+ \w+ at kagoshima\.", text)
    assert "nagano" not in said(run("species", "trident", "--workspace", folder, "--site", "kagoshima", *ON))


def test_the_demo_has_dates_where_they_are_asked_for_and_says_what_they_are(tmp_path: Path) -> None:
    here = ("--workspace", tmp_path)
    assert "sually" not in said(run("species", "trident", *here))
    asked = said(run("species", "trident", "--site", "lower-yard", *here))
    assert asked.startswith("The weather is invented.") and "Usually" in asked
    assert document("trident", "--site", "lower-yard", *here)["invented_weather"] is True


def test_weather_that_is_too_poor_leaves_the_dates_out_and_says_so(yard: Path) -> None:
    result = run("species", "trident", "--workspace", yard, "--on", "2026-06-01")
    assert "sually" not in said(result)
    assert "No usual dates: nagano" in result.stderr


def test_where_the_grower_s_own_catalogue_changes_it(yard: Path) -> None:
    pine = said(run("species", "Pinus thunbergii", "--workspace", yard, *ON))
    assert "Yours: p1, p2." in pine
    line = (
        own_catalogue()
        .text.split("\n")
        .index(
            '[species."Pinus thunbergii".marker.candles_moving]    # one of ours, with one table of your own'
        )
        + 1
    )
    assert f"Your own rules, in place of ours: candles_moving (catalogue.toml, line {line})." in pine
    new = said(run("species", "western juniper", "--workspace", yard, *ON))
    assert "It is a species of your own." in new
    assert "Your own" not in said(run("species", "trident", "--workspace", yard, *ON))


def test_windows_of_one_s_own_and_schools(tmp_path: Path) -> None:
    folder = make_workspace(tmp_path)
    settings = folder / "season.toml"
    school = '\n[[school]]\nspecies = "Acer palmatum"\njob = "repotting"\ntake = "as buds swell"\n'
    settings.write_text(settings.read_text("utf-8") + school, "utf-8")
    (folder / "catalogue.toml").write_text(
        '[species."Acer palmatum"]\nwithout = ["defoliation"]\n[[species."Acer palmatum".window]]\n'
        'job = "wiring"\nname = "leafless"\nopens = ["buds_swelling"]\ncloses = ["leaves_hard"]\n'
        '[[species."Acer palmatum".window]]\njob = "wiring"\nname = "any time"\nopens = ["buds_swelling"]\n'
        'closes = ["leaves_hard"]\n',
        "utf-8",
    )
    (maple,) = document("Acer palmatum", "--workspace", folder, *ON)["species"]
    assert maple["own"] == {
        "new": False,
        "rules": [],
        "windows_added": ["wiring, any time"],
        "windows_changed": ["wiring, leafless"],
        "windows_left_out": ["defoliation, partial"],
        "other_schools": ["repotting, late spring"],
    }
    text = said(run("species", "Acer palmatum", "--workspace", folder, *ON))
    assert "Windows you left out: defoliation, partial." in text


def test_what_harms_people_is_told(tmp_path: Path) -> None:
    assert "Poisonous:" in said(run("species", "English yew", "--workspace", tmp_path))


def test_the_jobs_are_listed_once_each_in_the_order_of_a_bench() -> None:
    result = run("jobs")
    said(result)
    listed = [line.split()[0] for line in result.stdout.splitlines() if re.match(r"  [a-z]", line)]
    assert sorted(listed) == sorted(JOBS)
    assert listed.index("repotting") < listed.index("wiring") < listed.index("grafting")
    found = json.loads(run("jobs", "--json").stdout)
    assert_valid(found, "jobs")
    assert [one["job"] for one in found["jobs"]] == list(JOBS)
    assert all(one["floor"] == JOBS[one["job"]].floor for one in found["jobs"])
    assert result.stderr == ""
