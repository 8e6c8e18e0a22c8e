"""A grower's own file over the package's catalogue."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.errors import GrowerError
from season_engine.species.catalogue import load_catalogue
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import load_workspace

YARD = """
[[site]]
name = "yard"
latitude = 51.5
longitude = -30.5
[site.weather]
source = "demo"
climate = "cool-inland-north"
"""
LATER = """
[species."Pinus thunbergii".marker.candles_moving]
kind = "heat_after"
label = "candles begin to move"
bbch = 1
after = "midwinter"
need = 150
unit = "growing degree days above 5 degC"
sd_days = 9
from = "memory"
"""
NEW = """
[species."Juniperus fictilis"]
group = "juniper"
common = ["clay juniper"]
"""


def yard(folder: Path, settings: str = "", **files: str) -> Path:
    (folder / "season.toml").write_text(settings + YARD, "utf-8")
    for name, text in files.items():
        (folder / f"{name}.toml").write_text(text, "utf-8")
    return folder


def test_the_file_beside_season_toml_adds_a_species_to_a_group(tmp_path: Path) -> None:
    catalogue = catalogue_of(load_workspace(yard(tmp_path, catalogue=NEW)))
    found = catalogue.find("clay juniper")
    juniper = load_catalogue().find("Juniperus chinensis")
    assert (found.group, found.windows) == ("juniper", juniper.windows)


def test_files_are_named_in_season_toml_and_the_last_one_wins(tmp_path: Path) -> None:
    settings = 'catalogue = ["mine.toml", "more.toml"]\n'
    folder = yard(
        tmp_path, settings, mine=NEW + LATER, more=LATER.replace("150", "160"), catalogue="not read"
    )
    catalogue = catalogue_of(load_workspace(folder))
    pine = catalogue.find("black pine")
    assert catalogue.get("clay juniper")
    assert (pine.markers["candles_moving"].need, pine.files["candles_moving"]) == (160, "more.toml")
    # Whole tables: what they don't speak of is as it was.
    ours = load_catalogue().find("black pine")
    assert pine.windows == ours.windows
    assert pine.markers["needles_through"] == ours.markers["needles_through"]


def test_a_window_of_ours_replaced_and_one_added(tmp_path: Path) -> None:
    window = """
[[species."Olea europaea".window]]
job = "repotting"
name = "spring"
opens = ["root_zone_warm"]
closes = ["in_full_growth"]
[[species."Olea europaea".window]]
job = "repotting"
name = "my own"
opens = ["spring_order"]
closes = ["in_full_growth"]
"""
    olive = catalogue_of(load_workspace(yard(tmp_path, catalogue=window))).find("olive")
    repotting = {one.name: one for one in olive.windows if one.job == "repotting" and not one.severity}
    assert repotting["spring"].opens == ("root_zone_warm",)
    assert list(repotting) == ["spring", "my own"]


def test_a_group_of_ones_own(tmp_path: Path) -> None:
    from tests.species.test_catalogue import GROUP

    catalogue = catalogue_of(load_workspace(yard(tmp_path, catalogue=GROUP)))
    assert catalogue.find("made-up oak").group == "trial"


def test_a_species_of_ours_moved_to_another_group(tmp_path: Path) -> None:
    text = '[species."Pinus radiata"]\ngroup = "single-flush pine"\ncommon = ["coast pine"]\n'
    pine = catalogue_of(load_workspace(yard(tmp_path, catalogue=text))).find("Monterey pine")
    assert (pine.group, pine.common[0]) == ("single-flush pine", "coast pine")
    assert "decandling" not in pine.jobs


@pytest.mark.parametrize(
    ("text", "line", "field", "said"),
    [
        (NEW.replace('group = "juniper"\n', ""), 2, "species.Juniperus fictilis.group", "which group it"),
        (NEW.replace('"juniper"', '"junipr"'), 3, "species.Juniperus fictilis.group", 'mean "juniper"?'),
        (NEW.replace('common = ["clay juniper"]', ""), 2, "species.Juniperus fictilis", "a common name"),
        (LATER.replace('"midwinter"', '"moon"'), 2, None, 'counted from "moon"'),
        (LATER.replace("150", "-3"), 7, None, "greater than 0"),
    ],
)
def test_faults_are_told_with_file_line_and_field(
    tmp_path: Path, text: str, line: int, field: str | None, said: str
) -> None:
    workspace = load_workspace(yard(tmp_path, catalogue=text))
    with pytest.raises(GrowerError) as caught:
        assert catalogue_of(workspace).species
    error = getattr(caught.value, "errors", [caught.value])[0]
    assert (error.file, error.line) == ("catalogue.toml", line)
    assert field in (None, error.field)
    assert said in str(error)


def test_a_named_file_that_is_missing(tmp_path: Path) -> None:
    with pytest.raises(GrowerError, match=r"mine\.toml: This file does not exist"):
        load_workspace(yard(tmp_path, 'catalogue = ["mine.toml"]\n'))


def test_the_trail_shows_which_file_won(tmp_path: Path) -> None:
    yard(tmp_path, catalogue=LATER)
    call = ["check", "repotting", "--species", "black pine", "--on", "2026-04-01", "--explain", "--json"]
    done = CliRunner().invoke(main, [*call, "--workspace", str(tmp_path)])
    files = {step["marker"]: step["file"] for step in json.loads(done.stdout)["explanation"]["steps"]}
    assert files["candles_moving"] == "catalogue.toml"
    assert files["midwinter"] == "species/shared/seasons.toml"
    assert files["candles_long"] == "species/groups/multi_flush_pine.toml"


def test_trees_go_by_the_grower_s_species_and_by_cultivars(tmp_path: Path) -> None:
    yard(tmp_path, catalogue=NEW)
    rows = "id,site,species\nj,yard,clay juniper\nm,yard,Acer palmatum 'Deshojo'\n"
    (tmp_path / "trees.csv").write_text(rows, "utf-8")
    call = ["report", "--on", "2026-04-01", "--json", "--workspace", str(tmp_path)]
    site = json.loads(CliRunner().invoke(main, call).stdout)["sites"][0]
    assert {one["species"] for one in site["trees"]} == {"Juniperus fictilis", "Acer palmatum"}
    assert site["not_covered"] == []
    noted = ["journal", "add", "maple not yet open", "--on", "2026-04-01", "--workspace", str(tmp_path)]
    assert CliRunner().invoke(main, noted).exit_code == 0
    assert ",m,,11,," in (tmp_path / "journal.csv").read_text("utf-8"), "the one maple that is kept"


def test_a_growers_own_hours_stand_before_a_practised_persons(tmp_path: Path) -> None:
    hours = "[hours.repotting]\nlarge = 6\n"
    catalogue = catalogue_of(load_workspace(yard(tmp_path, catalogue=hours)))
    assert catalogue.hours("repotting", "large") == 6
    assert catalogue.hours("repotting", "small") == load_catalogue().hours("repotting", "small") == 0.7


@pytest.mark.parametrize("row", ["[hours.repotting]\nlarge = 0\n", "[hours.raking]\nlarge = 1\n"])
def test_hours_of_no_job_or_no_length_are_refused_with_their_line(tmp_path: Path, row: str) -> None:
    with pytest.raises(GrowerError) as caught:
        catalogue_of(load_workspace(yard(tmp_path, catalogue=row)))
    assert "catalogue.toml" in str(caught.value)
