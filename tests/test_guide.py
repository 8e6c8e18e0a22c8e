"""The guide keeps its word: what its pages show can be run, and does what stands beside it."""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import os
import re
import shlex
import subprocess
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from joblib.externals.loky import get_reusable_executor

from season_engine.cli import main
from season_engine.commands.check import EXIT_BY_VERDICT, EXIT_HOLD
from season_engine.documents import settings_page
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.verify.station_files import Event
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.own_numbers import own_number_warnings
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import load_workspace
from tests.shown import GUIDE, PROJECT, README, a_yard, blocks, commands, journal_lines
from tests.verify.exports import given_yard, write_exports
from tests.verify.simple import made_records, season_softened
from tests.yards import NORTH, SOUTH, view

DOCS = PROJECT / "docs"
PAGES = [*sorted(GUIDE.glob("*.md")), DOCS / "measures.md"]
ALL_PAGES = [README, *sorted(DOCS.glob("*.md")), *sorted(GUIDE.glob("*.md"))]
NOT_OURS = ("pipx", "podman", "python3")  # other programs; what they are given has tests of its own
OLIVE = "id,species\no1,Olea europaea\n"  # of few windows, to look back on quickly
STATIONS = "Aomori", "Nagano", "Tokyo"


# --- what pages need beside the yard ------------------------------------------------------------------------


def _reply(folder: Path) -> None:
    (folder / "reply.txt").write_text(REPLY, "utf-8")


def _old_notes(folder: Path) -> None:
    """Notes to give away, and files of others to fit on."""
    (folder / "journal.csv").write_text("date,tree,bbch\n2020-03-28,j1,01\n", "utf-8")
    records, _ = made_records(4, need=52.0, sd_days=2.0, levels=season_softened)
    some = [replace(one, observed=dict(sorted(one.observed.items())[-6:])) for one in records]
    write_exports(folder, {one.site.name: given_yard(one, Event("Acer palmatum", 1)) for one in some})


def _few_stations(folder: Path) -> None:
    """Of the twelve a few, and few years, so that it takes seconds."""
    twelve = "tests/data/japan/twelve"
    there, here = PROJECT / twelve, folder / twelve
    here.mkdir(parents=True)
    wanted: dict[str, Callable[[dict[str, str]], bool]] = {
        "sites.csv": lambda _row: True,
        "weather.csv.gz": lambda row: "1985" < row["date"] < "2009",
        "events.csv": lambda row: "1988" < row["date"] < "2009" and row["species"] == "Prunus mume",
    }
    for name, keep in wanted.items():
        open_ = gzip.open if name.endswith(".gz") else open
        with open_(there / name, "rt", encoding="utf-8", newline="") as file:
            rows = [row for row in csv.DictReader(file) if row["site"] in STATIONS and keep(row)]
        with open_(here / name, "wt", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows[0])
            writer.writeheader()
            writer.writerows(rows)


def the_place(page: Path, folder: Path) -> Path:
    """Where a page's first command is given."""
    if page.stem == "set-up":  # which makes a yard
        return folder
    if page.stem == "how-good":
        yard = a_yard(folder / "my-yard", since=2019, trees=OLIVE)
        _few_stations(yard)
        return yard
    yard = a_yard(folder / "my-yard")
    if page.stem == "journal":
        _reply(yard)
    if page.stem == "share-notes":
        _old_notes(yard)
    return yard


# --- what each command leaves or says -----------------------------------------------------------------------


def _says(*words: str) -> Callable[[str], None]:
    def says(said: str) -> None:
        assert all(word in " ".join(said.split()) for word in words), said

    return says


def _writes(*patterns: str) -> Callable[[str], None]:
    """Each pattern finds files in the folder, none of them empty."""

    def writes(said: str) -> None:
        for pattern in patterns:
            found = [*Path().glob(pattern)]
            assert found and all(path.stat().st_size for path in found), pattern

    return writes


def _sends_nothing(said: str) -> None:
    assert "Nobody is named to get the report" in said and not Path("outbox").exists()


# By how a command begins; the longest beginning counts.
EFFECTS: dict[str, Callable[[str], None]] = {
    "init": _writes("*/season.toml", "*/trees.csv"),
    "weather": _says("my-yard", "readings"),
    "report": _writes("reports/2*-W*/report.html", "reports/index.html", "reports/season-*.ics"),
    "report --email --preview": _writes("reports/2*-W*-mail/mail-1.html", "reports/2*-W*-mail/mail-1.eml"),
    "report --email --dry-run": _sends_nothing,
    "check": _says("Today: "),
    "check repotting trident": _says("trident maple", "Today: "),
    "measures": _says("date,tmin_c,tmax_c", "cesaraccio_2004_chill_days"),
    "measures --site my-yard --csv": _writes("measures.csv"),
    "journal add": _says("noted: "),
    "journal list": _says("repotted p1"),
    "journal undo": _says("wired j1"),
    "compare": _says("at dune-yard than at lower-yard"),
    "backtest --site": _says("olive, repotting (spring)", "CRPS"),
    "backtest --own": _says("No report is old enough yet"),
    "backtest --sites": _says("Prunus mume, BBCH 61, by the catalogue's rule"),
    "notes export": _writes("my-notes.zip"),
    "fit-catalogue": _writes("fitted.toml"),
}


def run(text: str) -> Result:
    """Run one line as a shell would, with its files found and its input read."""
    call, _, typed = text.partition(" < ")
    words = shlex.split(call, comments=True)[1:]
    found = [name for word in words for name in (sorted(map(str, Path().glob(word))) or [word])]
    return CliRunner().invoke(main, found, input=Path(typed).read_text("utf-8") if typed else "")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_command_of_a_page_runs_in_its_order(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(the_place(page, tmp_path))
    get_reusable_executor().shutdown(wait=True)  # processes of tests before stand in other folders
    for command in commands(page.read_text("utf-8"), "sh"):
        program = shlex.split(command.text, comments=True)[0]
        if program in NOT_OURS:
            continue
        if program == "cd":
            os.chdir(command.text.removeprefix("cd "))
            continue
        assert program == "season-engine", command.text
        done = run(command.text)
        assert done.exit_code in command.exits, f"{command.text}\n{done.output}"
        begins = [one for one in EFFECTS if command.text.startswith(f"season-engine {one}")]
        EFFECTS[max(begins, key=len)](done.output)


def spans() -> Iterator[tuple[str, str]]:
    """Commands within sentences, each with its page; options too that stand alone."""
    for page in ALL_PAGES:
        prose = re.sub(r"^```.*?^```", "", page.read_text("utf-8"), flags=re.MULTILINE | re.DOTALL)
        for span in re.findall(r"`season-engine ([^`]+)`", prose):
            yield page.name, span


@pytest.mark.parametrize(("page", "span"), sorted(set(spans())))
def test_a_command_named_in_a_sentence_has_that_name_and_those_options(page: str, span: str) -> None:
    command: click.Command = main
    words = shlex.split(span)
    with click.Context(main) as context:
        while words and isinstance(command, click.Group) and not words[0].startswith("-"):
            found = command.get_command(context, words.pop(0))
            assert found is not None, span
            command = found
    known = {name for option in command.params for name in option.opts} | {"--help", "--version"}
    assert {word for word in words if word.startswith("--")} <= known


def test_make_lines_name_targets_of_the_makefile() -> None:
    named = {name for page in ALL_PAGES for name in re.findall(r"`make ([a-z-]+)", page.read_text("utf-8"))}
    assert {"report", "wheel", "settings", "docs"} <= named
    done = subprocess.run(["make", "-n", *sorted(named)], cwd=PROJECT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


# --- settings -----------------------------------------------------------------------------------------------


def test_the_page_of_settings_is_up_to_date() -> None:
    """`make settings` writes it."""
    assert settings_page.PAGE.read_text("utf-8") == settings_page.page()


def test_every_setting_and_column_says_what_it_is() -> None:
    rows = re.findall(r"^\| (`\w+`) \|(.*)\|$", settings_page.page(), re.MULTILINE)
    assert len(rows) > 200
    assert [key for key, cells in rows if not cells.rpartition("|")[2].strip()] == []


def keys(table: object) -> Iterator[str]:
    if isinstance(table, dict):
        for key, value in table.items():
            yield key
            yield from keys(value)
    elif isinstance(table, list):
        for value in table:
            yield from keys(value)


@pytest.mark.parametrize("page", ALL_PAGES, ids=lambda page: page.stem)
def test_settings_that_a_page_shows_are_there(page: Path) -> None:
    settings = settings_page.PAGE.read_text("utf-8")
    names = {"Juniperus occidentalis", "Pinus thunbergii", "candles_moving"}
    shown = {key for block in blocks(page, "toml") for key in keys(tomllib.loads(block))}
    assert {key for key in shown - names if f"| `{key}` |" not in settings} == set()


# --- the journal --------------------------------------------------------------------------------------------

TODAY = "today"
# The page's notes, in its order, as they are kept: date, tree, species, stage, job, note.
KEPT = [
    (TODAY, "j1", "", "01", "", "buds swelling on the maple"),
    (TODAY, "", "Acer buergerianum", "11", "", "not yet: trident not yet open"),
    ("2026-03-28", "p1", "", "", "sectional-repotting", "repotted p1; a third of the root ball"),
    (TODAY, "j1", "", "01", "", "buds fat"),
    (TODAY, "p1", "", "07", "", "pine candles long; rain on Tuesday"),
    (TODAY, "j1", "", "", "wiring", "wired j1"),
]
REPLY = "pine candles long; rain on Tuesday\n\n> Look at the maple:\n>  are its buds moving?\nwired j1\n"


def test_the_notes_shown_are_kept_as_they_say(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    yard = a_yard(tmp_path / "my-yard", since=2024)
    _reply(yard)
    monkeypatch.chdir(yard)
    text = (GUIDE / "journal.md").read_text("utf-8")
    shown = [one.text for one in commands(text, "sh") if one.text.startswith("season-engine journal add")]
    days = {dt.date.today().isoformat()}
    for line in shown:
        done = run(line)
        assert done.exit_code == 0, f"{line}\n{done.output}"
    days.add(dt.date.today().isoformat())
    kept = [
        tuple(row[name] for name in ("date", "tree", "species", "bbch", "job", "note"))
        for row in journal_lines(yard)
    ]
    assert [(TODAY if day in days else day, *rest) for day, *rest in kept] == KEPT
    assert blocks(README, "console", "journal add") == [
        '$ season-engine journal add "buds swelling on the maple"\n'
    ]


# --- species and schools ------------------------------------------------------------------------------------


def own_catalogue() -> TomlText:
    (text,) = blocks(GUIDE / "species.md", "toml", '[species."')
    return TomlText("catalogue.toml", text)


def repotting(kind: Species, site: object) -> Assessment:
    (window,) = (one for one in kind.full_windows if (one.job, one.name) == ("repotting", "spring"))
    return assess(Prospect(view(site, dt.date(2025, 4, 10)), kind), window)


def test_the_species_shown_is_missing_from_ours_and_has_all_of_its_group() -> None:
    ours, mine = load_catalogue(), load_catalogue((own_catalogue(),))
    (new,) = set(mine.species) - set(ours.species)
    assert ours.get(mine.find(new).common[0]) is None
    assert mine.find(new).windows == ours.find("Juniperus chinensis").windows


@pytest.mark.parametrize("site", [NORTH, SOUTH], ids=lambda site: site.name)
def test_the_number_shown_moves_its_date_a_little_the_way_it_says_and_nothing_else(site: object) -> None:
    """More warmth wanted: an opening some days later, a closing no earlier, the same answer on 10 April."""
    ours, mine = (
        catalogue.find("Pinus thunbergii")
        for catalogue in (load_catalogue(), load_catalogue((own_catalogue(),)))
    )
    (changed,) = (name for name, marker in mine.markers.items() if marker != ours.markers[name])
    said = ours.markers[changed].model_copy(update={"need": 100.0, "provenance": "memory"})
    assert mine.markers[changed] == said
    assert f"ours says {ours.markers[changed].need:g}" in own_catalogue().text
    before, after = repotting(ours, site), repotting(mine, site)
    assert 2 <= (after.usual.opens_p50 - before.usual.opens_p50).days <= 10
    assert 0 <= (after.usual.closes_p50 - before.usual.closes_p50).days <= 10
    assert (after.verdict, after.today) == (before.verdict, before.today)
    assert own_number_warnings(Prospect(view(site, dt.date(2025, 4, 10)), mine)) == ()


def test_the_school_shown_is_the_one_that_is_followed(tmp_path: Path) -> None:
    folder = a_yard(tmp_path / "yard", since=2025)
    (choice,) = blocks(GUIDE / "species.md", "toml", "[[school]]")
    settings = (folder / "season.toml").read_text("utf-8")
    (folder / "season.toml").write_text(settings + choice, "utf-8")
    kind = catalogue_of(load_workspace(folder)).find("satsuki")
    assert [one.name for one in kind.full_windows if one.job == "repotting"] == ["after bloom"]


def test_the_rule_shown_is_a_grower_s_own() -> None:
    (rule,) = blocks(GUIDE / "due.md", "toml", "[[spacing]]")
    pine = load_catalogue((TomlText("catalogue.toml", rule),)).find("Pinus thunbergii")
    assert [one.name for one in pine.spacing] == [tomllib.loads(rule)["spacing"][0]["name"]]


# --- exit codes ---------------------------------------------------------------------------------------------

SAID_CODES = dict(
    re.findall(r"^\| (\d+) \| `check`: (.+) \|$", (GUIDE / "trouble.md").read_text("utf-8"), re.MULTILINE)
)


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        ("repotting --species 'Pinus thunbergii' --site lower-yard --on 2026-04-05", 0),
        ("repotting Ember --on 2026-01-12", 10),
        ("repotting Ember --on 2026-05-30", 11),
        ("needle-work 'black pine' --site dune-yard --window 'late winter' --on 2026-06-01", 12),
        ("repotting Shale --on 2026-05-04", 13),
    ],
)
def test_check_ends_with_the_codes_of_the_table(tmp_path: Path, asked: str, code: int) -> None:
    done = CliRunner().invoke(main, ["check", *shlex.split(asked), "--workspace", str(tmp_path)])
    assert done.exit_code == code, done.output
    assert code == 0 or str(code) in SAID_CODES


def test_the_table_of_exit_codes_has_check_s_own() -> None:
    words = {"too early": "wait", "too late": "closed", "no such window here": "not-here"}
    table = {words.get(said): int(code) for code, said in SAID_CODES.items()}
    assert table.pop(None) == EXIT_HOLD
    assert table == {verdict: EXIT_BY_VERDICT[verdict] for verdict in words.values()}
