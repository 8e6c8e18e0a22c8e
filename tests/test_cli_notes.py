"""`notes export` and `fit-catalogue` from the command line, from a yard's folder to a catalogue that wins."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import zipfile
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands import notes_export
from season_engine.verify.station_files import Event
from tests.schemas import assert_valid
from tests.verify.exports import given_yard, write_exports
from tests.verify.simple import made_records, season_softened
from tests.workspaces import make_two_yards, make_workspace

BUDS = Event("Acer palmatum", 1)
ON = ("--on", "2025-12-01")
SECRETS = (
    "nagano",
    "Nagano",
    "Kettle",
    "Rust",
    "Thimble",
    "Stranger",
    "m1",
    "p1",
    "buds fat",
    "36.66",
    "418",
)


def run(*arguments: object, typed: str = "") -> Result:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments], input=typed)
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result


def said(result: Result) -> str:
    return " ".join(result.stderr.split())


def unpacked(file: Path) -> dict[str, str]:
    with zipfile.ZipFile(file) as packed:
        return {name: packed.read(name).decode() for name in packed.namelist()}


def header(table: str) -> list[str]:
    return table.splitlines()[0].split(",")


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_workspace(tmp_path_factory.mktemp("yard"))


def test_a_yard_s_file_explains_itself_and_holds_no_name(yard: Path, tmp_path: Path) -> None:
    done = run("notes", "export", "--workspace", yard, "--out", tmp_path / "mine.zip", *ON)
    assert (done.exit_code, done.stdout) == (0, ""), done.stderr
    files = unpacked(tmp_path / "mine.zip")
    assert set(files) == {"README.txt", "sites.csv", "events.csv", "weather.csv"}
    text = "\n".join(files.values())
    assert [secret for secret in SECRETS if secret in text] == []
    assert files["events.csv"].splitlines()[1:] == [
        "yard,Acer palmatum,01,2020-03-28,seen,1",
        "yard,Acer palmatum,09,2023-04-01,seen,1",
    ]
    columns = {column for name in files if name.endswith(".csv") for column in header(files[name])}
    assert len(columns) == 11 and all(column in files["README.txt"] for column in columns)


def test_what_goes_into_it_and_what_does_not_is_said_first(yard: Path, tmp_path: Path) -> None:
    told = said(run("notes", "export", "--workspace", yard, "--out", tmp_path / "mine.zip", *ON))
    for words in (
        '"yard", at 36.7, 138.2, 400 m (rounded to 0.1 degrees and 50 m): two notes of growth stages',
        "one numbered tree, one species, 2020-03-28 to 2023-04-01",
        "each day of 2019/20, 2022/23, mended, to 0.1 degC",
        "Not in it: names of yards, trees and people, ids, your words",
        "Nothing is sent",
    ):
        assert words in told
    assert told.endswith(f"wrote {tmp_path / 'mine.zip'}")


@pytest.mark.parametrize(
    ("typed", "option", "written"), [("y\n", (), True), ("n\n", (), False), ("", ("--yes",), True)]
)
def test_at_a_terminal_it_asks_unless_told_not_to(
    yard: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    typed: str,
    option: tuple[str, ...],
    written: bool,
) -> None:
    monkeypatch.setattr(notes_export, "sys", SimpleNamespace(stdin=SimpleNamespace(isatty=lambda: True)))
    call = ("--workspace", yard, "--out", tmp_path / "mine.zip", *ON, *option)
    done = run("notes", "export", *call, typed=typed)
    assert (done.exit_code, (tmp_path / "mine.zip").exists()) == (0, written)
    assert ("Nothing was written." in done.stderr) is not written


def test_nothing_of_a_day_after_the_one_asked_for(yard: Path, tmp_path: Path) -> None:
    call = ("notes", "export", "--on", "2020-05-01")
    cut = make_workspace(tmp_path / "cut", cut_on=dt.date(2020, 5, 1))
    for name, folder in (("whole", yard), ("cut", cut)):
        assert run(*call, "--workspace", folder, "--out", tmp_path / f"{name}.zip").exit_code == 0
    assert (tmp_path / "whole.zip").read_bytes() == (tmp_path / "cut.zip").read_bytes()
    assert unpacked(tmp_path / "whole.zip")["weather.csv"].splitlines()[-1].startswith("yard,2020-05-01,")


def test_a_line_taken_back_stays_here(tmp_path: Path) -> None:
    folder = make_workspace(tmp_path / "yard")
    assert run("journal", "undo", "2", "--workspace", folder).exit_code == 0
    done = run("notes", "export", "--workspace", folder, "--out", tmp_path / "mine.zip")
    assert done.exit_code == 0, done.stderr
    assert "2020-03-28" not in unpacked(tmp_path / "mine.zip")["events.csv"]


def test_several_yards_are_numbered_and_one_may_be_named(tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path / "yards")
    with (folder / "journal.csv").open("a", encoding="utf-8") as file:
        file.write("2021-03-01,kagoshima,,Acer palmatum,01,,\n")
    assert run("notes", "export", "--workspace", folder, "--out", tmp_path / "all.zip", *ON).exit_code == 0
    sites = unpacked(tmp_path / "all.zip")["sites.csv"].splitlines()
    assert sites[1:] == ["yard-1,36.7,138.2,400", "yard-2,31.6,130.6,0"]
    call = ("--site", "kagoshima", "--code", "K7", "--out", tmp_path / "one.zip")
    assert run("notes", "export", "--workspace", folder, *call, *ON).exit_code == 0
    assert unpacked(tmp_path / "one.zip")["sites.csv"].splitlines()[1:] == ["K7,31.6,130.6,0"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--on", "2019-01-01"), "Up to 2019-01-01 no growth stage is noted as seen"),
        (("--site", "nogano"), 'Did you mean "nagano"?'),
        (("--code", "my yard"), '"my yard" is no code; write up to 40 letters, digits and hyphens'),
        (("--out", "season.toml"), "There is such a file already"),
    ],
)
def test_what_can_t_be_given_away_is_told(
    yard: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], told: str
) -> None:
    monkeypatch.chdir(yard)
    before = {path: path.read_bytes() for path in yard.iterdir() if path.is_file()}
    done = run("notes", "export", *arguments)
    assert (done.exit_code, done.stdout) == (2, "")
    assert told in said(done)
    assert {path: path.read_bytes() for path in yard.iterdir() if path.is_file()} == before


def test_invented_weather_and_the_demo_are_not_given_away(tmp_path: Path) -> None:
    assert "the demo's yards are invented" in said(run("notes", "export", "--workspace", tmp_path))
    place = ("--latitude", "45", "--longitude", "-30", "--tree", "Acer palmatum")
    assert run("init", tmp_path / "new", *place).exit_code == 0
    done = run("notes", "export", "--workspace", tmp_path / "new", "--out", tmp_path / "new.zip")
    assert (done.exit_code, "The weather of my-yard is invented" in said(done)) == (2, True)
    assert not (tmp_path / "new.zip").exists()


# --- fit-catalogue -----------------------------------------------------------------------------------------


@cache
def exports(folder: Path) -> tuple[Path, ...]:
    """Files of four yards with six seasons each of a made rule, later than the catalogue has it."""
    records, _ = made_records(4, need=52.0, sd_days=2.0, levels=season_softened)
    some = [
        replace(one, observed={year: one.observed[year] for year in sorted(one.observed)[-6:]})
        for one in records
    ]
    return tuple(write_exports(folder, {one.site.name: given_yard(one, BUDS) for one in some}))


@pytest.fixture(scope="module")
def fitted(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    folder = tmp_path_factory.mktemp("fitted")
    files = exports(folder)
    shutil.copy(files[0], folder / "copy.zip")
    call = (*files, folder / "copy.zip", "--jobs", "1", "--json", "--out", folder / "fitted.toml")
    return run("fit-catalogue", *call), folder / "fitted.toml"


def test_files_of_yards_become_a_catalogue_file(fitted: tuple[Result, Path]) -> None:
    done, file = fitted
    assert done.exit_code == 0, done.stderr
    document = json.loads(done.stdout)
    assert_valid(document, "fit-catalogue")
    assert (document["yards"], document["file"], document["train_until"]) == (4, str(file), None)
    (event,) = document["events"]
    assert (event["species"], event["bbch"], event["marker"]) == ("Acer palmatum", 1, "buds_swelling")
    assert (event["outcome"], event["yards"], event["dates"], event["slips"]) == ("fitted", 4, 24, [])
    assert event["errors"]["left_out"] < event["errors"]["mean_date"]
    assert "yard (copy.zip): the same yard as yard (site-0.zip); counted once." in done.stderr
    assert f"wrote {file}" in done.stderr


def test_the_catalogue_file_wins_in_a_workspace_and_check_says_so(
    fitted: tuple[Result, Path], tmp_path: Path
) -> None:
    folder = make_workspace(tmp_path / "yard")
    call = ("check", "repotting", "--species", "Acer palmatum", "--explain", "--workspace", folder)
    ours = run(*call, "--on", "2024-03-20").stdout
    shutil.copy(fitted[1], folder / "catalogue.toml")
    mine = " ".join(run(*call, "--on", "2024-03-20").stdout.split())
    assert "softened forcings" not in ours
    assert "buds_swelling (softened forcings, counted with cool_season)" in mine
    assert "Acer palmatum in 4 yards, years to 2025, n = 24; mean error" in mine
    assert "in catalogue.toml" in mine


def test_the_table_tells_each_stage_and_why_it_is_left(tmp_path: Path) -> None:
    files = exports(tmp_path)
    done = run("fit-catalogue", files[0], "--out", tmp_path / "fitted.toml")
    assert done.exit_code == 0, done.stderr
    assert "Acer palmatum, BBCH 01: left: it takes 10 dates of two yards\n" in done.stdout
    assert all(len(line) <= 80 for line in done.stdout.splitlines())
    assert "so nothing was written" in done.stderr and not (tmp_path / "fitted.toml").exists()


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((), "Missing argument 'EXPORT...'"),
        (("none.zip",), "none.zip: This file does not exist."),
        (("season.toml",), "This is neither a folder nor a .zip that can be read"),
        ((".",), "sites.csv: This file does not exist."),
        ((".", "--out", "season.toml"), "There is such a file already"),
    ],
)
def test_what_can_t_be_fitted_on_is_told(
    yard: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], told: str
) -> None:
    monkeypatch.chdir(yard)
    done = run("fit-catalogue", *arguments)
    assert (done.exit_code, done.stdout) == (2, "")
    assert told in said(done)


def test_files_without_a_known_species_leave_nothing_to_fit(tmp_path: Path) -> None:
    (file,) = exports(tmp_path)[:1]
    shutil.unpack_archive(file, tmp_path / "odd")
    events = tmp_path / "odd" / "events.csv"
    events.write_text(events.read_text("utf-8").replace("Acer palmatum", "Arbor ficta"), "utf-8")
    done = run("fit-catalogue", tmp_path / "odd")
    assert done.exit_code == 2
    assert 'the catalogue has no species "Arbor ficta"; six dates left out.' in said(done)
    assert "no date of a species of the catalogue is left" in said(done)
