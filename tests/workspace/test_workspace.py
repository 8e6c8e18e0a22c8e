from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from season_engine.errors import EXIT_BAD_INPUT, GrowerError, InputErrors
from season_engine.site import Site
from season_engine.weather.sources.invented import InventedWeather
from season_engine.weather.sources.logger_file import LoggerFile, ReadingsFile
from season_engine.workspace.workspace import Workspace, load_workspace

SEASON = """\
[[site]]
name = "Ridge"
latitude = -45.0
longitude = 169.0
elevation_m = 120
timezone = "Etc/UTC"
[site.weather]
source = "logger"
file = "ridge.csv"
[[site]]
name = "hut"
latitude = 0
longitude = 0
[site.weather]
source = "demo"
"""
TREES = "id,site,species\nT1,ridge,Larix decidua\n"
JOURNAL = "date,tree,bbch\n2024-03-09,t1,07\n"

SLACK = dt.timedelta(days=14)
# Month and day a job is usually begun and ended, north and south, to two weeks; common practice, no source.
USUAL = {
    ("Acer palmatum", "repotting"): ("03-05 04-10", "08-01 09-10"),
    ("Acer buergerianum", "repotting"): ("02-20 03-25", "07-15 08-25"),
    ("Ulmus parvifolia", "repotting"): ("03-05 04-10", "08-01 09-10"),
    ("Larix laricina", "repotting"): ("03-01 04-05", "08-01 09-05"),
    ("Larix laricina", "sectional-repotting"): ("03-01 04-05", "08-01 09-05"),
    ("Pinus thunbergii", "repotting"): ("03-15 04-30", "07-25 09-15"),
    ("Pinus densiflora", "repotting"): ("03-15 04-30", "07-25 09-15"),
    ("Pinus radiata", "repotting"): ("03-15 04-30", "07-01 08-31"),
    ("Pinus parviflora", "repotting"): ("03-25 05-10", "08-10 09-25"),
    ("Pinus sylvestris", "repotting"): ("03-25 05-10", "08-10 09-25"),
    ("Picea glauca", "repotting"): ("03-25 05-10", "08-10 09-25"),
    ("Juniperus chinensis", "repotting"): ("04-01 05-31", "08-20 10-31"),
    ("Rhododendron indicum", "repotting"): ("03-15 06-30", "08-10 12-05"),
    ("Olea europaea", "repotting"): ("04-15 06-10", "09-05 11-20"),
    ("Ficus microcarpa", "repotting"): ("06-01 07-25", "11-20 02-15"),
    ("Pinus thunbergii", "decandling"): ("06-08 07-05", "12-10 01-25"),
    ("Pinus radiata", "decandling"): ("06-08 07-05", "11-25 01-25"),
    ("Pinus parviflora", "candle-shortening"): ("05-10 06-10", "10-01 11-05"),
    ("Pinus thunbergii", "needle-work"): ("10-15 11-30", "05-01 07-20"),
}


def lay(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        path = folder / {"season": "season.toml"}.get(name, f"{name}.csv")
        path.write_text(text, "utf-8")
    return folder


def test_a_whole_workspace(tmp_path: Path) -> None:
    workspace = load_workspace(lay(tmp_path, season=SEASON, trees=TREES, journal=JOURNAL))
    ridge, hut = workspace.sites
    assert ridge.site == Site("Ridge", -45.0, 169.0, 120)
    assert ridge.weather == LoggerFile(ReadingsFile(tmp_path, "ridge.csv"))
    assert (ridge.timezone, hut.timezone) == ("Etc/UTC", None)
    assert hut.weather == InventedWeather()
    assert [(tree.id, tree.site) for tree in workspace.trees] == [("T1", "Ridge")]
    assert [(note.tree, note.site, note.species) for note in workspace.notes] == [
        ("T1", "Ridge", "Larix decidua")
    ]
    assert not workspace.demo
    assert workspace.invented_sites == ("hut",)
    assert workspace.cache_folder == tmp_path / "data_cache"
    assert workspace.reports_folder == tmp_path / "reports"


def test_trees_and_journal_may_be_missing(tmp_path: Path) -> None:
    workspace = load_workspace(lay(tmp_path, season=SEASON + '[report]\nout = "weekly"\n'))
    assert (workspace.trees, workspace.notes) == ((), ())
    assert workspace.reports_folder == tmp_path / "weekly"


def test_names_are_found_in_any_case_and_guessed_at(tmp_path: Path) -> None:
    workspace = load_workspace(lay(tmp_path, season=SEASON, trees=TREES))
    assert workspace.site_named(" ridge ").site.name == "Ridge"
    assert workspace.tree_named("t1").id == "T1"
    with pytest.raises(GrowerError) as caught:
        workspace.site_named("rigde")
    assert caught.value.problem == 'There is no site "rigde".'
    assert caught.value.hint == 'Did you mean "Ridge"? The sites are "Ridge" and "hut".'
    with pytest.raises(GrowerError, match='There is no tree "zz"') as caught:
        workspace.tree_named("zz")
    assert caught.value.field == "tree"


def test_an_empty_folder_gets_the_demo(tmp_path: Path) -> None:
    workspace = load_workspace(tmp_path)
    assert workspace.demo
    assert workspace.folder == tmp_path
    assert workspace.cache_folder == tmp_path / "data_cache"
    assert workspace.invented_sites == tuple(entry.site.name for entry in workspace.sites)
    assert workspace.email is None
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("files", "named"),
    [
        ({"trees": TREES}, '"trees.csv"'),
        ({"journal": JOURNAL}, '"journal.csv"'),
        ({"trees": TREES, "journal": JOURNAL}, '"trees.csv" and "journal.csv"'),
    ],
)
def test_trees_or_journal_without_season_toml_is_an_error(
    tmp_path: Path, files: dict[str, str], named: str
) -> None:
    with pytest.raises(GrowerError) as caught:
        load_workspace(lay(tmp_path, **files))
    assert caught.value.exit_code == EXIT_BAD_INPUT
    assert caught.value.problem == f"{named} without a season.toml beside it."
    assert caught.value.file == str(tmp_path / "season.toml")


def test_a_link_that_leads_nowhere_is_not_an_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "season.toml").symlink_to(tmp_path / "gone.toml")
    with pytest.raises(GrowerError, match="does not exist"):
        load_workspace(tmp_path)


@pytest.mark.parametrize("name", ["gone", "file.txt", "nul\0", "x" * 300])
def test_a_folder_that_is_none(tmp_path: Path, name: str) -> None:
    (tmp_path / "file.txt").write_text("")
    with pytest.raises(GrowerError, match="no such folder"):
        load_workspace(tmp_path / name)


def test_a_wrong_tree_is_told_with_its_file(tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as caught:
        load_workspace(lay(tmp_path, season=SEASON, trees=TREES + "b,barn,Larix\n"))
    (error,) = caught.value.errors
    assert (error.file, error.line, error.field) == (str(tmp_path / "trees.csv"), 3, "site")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    return load_workspace(tmp_path_factory.mktemp("nowhere"))


def test_the_demo_has_a_yard_in_either_hemisphere_with_trees_and_notes(demo: Workspace) -> None:
    assert sorted(entry.site.hemisphere for entry in demo.sites) == ["north", "south"]
    assert len(demo.trees) >= 25
    assert len({tree.species for tree in demo.trees}) >= 12
    assert len(demo.notes) >= 20
    for entry in demo.sites:
        assert any(tree.site == entry.site.name for tree in demo.trees)
        assert any(note.site == entry.site.name for note in demo.notes)


def test_the_demo_works_its_trees_in_season(demo: Workspace) -> None:
    """Every repotting and candle or needle job falls where growers of that hemisphere do it."""
    done = [(note.site, note.species, note.job, note.date) for note in demo.notes]
    done += [(tree.site, tree.species, "repotting", tree.last_repotted) for tree in demo.trees]
    checked = 0
    for site, species, job, date in done:
        if (species, job) not in USUAL or date is None or date.day == 1:  # the 1st stands for a month alone
            continue
        south = demo.site_named(site).site.hemisphere == "south"
        assert in_season(date, *USUAL[species, job][south].split()), (site, species, job, date)
        checked += 1
    assert checked > 40


def in_season(date: dt.date, first: str, last: str) -> bool:
    """Whether `date` lies between two month-days, which may span the new year, give or take the slack."""
    for year in (date.year - 1, date.year):
        begin = dt.date.fromisoformat(f"{year}-{first}") - SLACK
        end = dt.date.fromisoformat(f"{year + (last < first)}-{last}") + SLACK
        if begin <= date <= end:
            return True
    return False


def test_the_demo_journal_agrees_with_its_trees(demo: Workspace) -> None:
    """A tree's last repotting is never before one in the journal."""
    for note in demo.notes:
        if note.job in ("repotting", "sectional-repotting") and note.tree:
            repotted = demo.tree_named(note.tree).last_repotted
            assert repotted is not None and repotted >= note.date, note
