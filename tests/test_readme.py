"""The README keeps its word: its commands run in its order, end as it says, and leave what it says."""

from __future__ import annotations

import csv
import datetime as dt
import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.commands.check import EXIT_BY_VERDICT, EXIT_HOLD
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.own_numbers import own_number_warnings
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import load_workspace
from tests.yards import NORTH, SOUTH, view

PROJECT = Path(__file__).parent.parent
README = PROJECT / "README.md"
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```", re.MULTILINE | re.DOTALL)
SAID_EXIT = re.compile(r"#\s*exits\s+(.+)$")
INSTALLED = os.environ.get("SEASON_ENGINE_INSTALLED")  # the folder of another environment's programs
PROGRAMS = Path(INSTALLED) if INSTALLED else Path(sys.executable).parent


@dataclass(frozen=True)
class Command:
    """One `$ ` line; `exits` holds the codes a trailing comment such as `# exits 0, 10 or 11` allows."""

    text: str
    exits: frozenset[int]


@cache
def readme() -> str:
    return README.read_text("utf-8")


def blocks(markdown: str, language: str, holding: str = "") -> list[str]:
    """The blocks of a language, without their fences, that hold a text."""
    return [text for found, text in BLOCK.findall(markdown) if found == language and holding in text]


def commands(markdown: str) -> Iterator[Command]:
    for block in blocks(markdown, "console"):
        for line in block.splitlines():
            if line.startswith("$ "):
                said = SAID_EXIT.search(line)
                exits = {int(code) for code in re.findall(r"\d+", said[1])} if said else {0}
                yield Command(line.removeprefix("$ "), frozenset(exits))


def in_folder(folder: Path, command: str) -> tuple[subprocess.CompletedProcess[str], Path]:
    """Run one command as a shell in `folder` would; return how it went and the folder it ends in."""
    where = folder / ".where"
    script = f'{command}\ncode=$?\npwd > "{where}"\nexit $code\n'
    environment = {**os.environ, "PATH": os.pathsep.join([str(PROGRAMS), os.environ["PATH"]])}
    if INSTALLED:  # nothing may lead back to the checkout
        environment.pop("PYTHONPATH", None)
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, env=environment, capture_output=True, text=True, encoding="utf-8"
    )
    ends_in = Path(where.read_text("utf-8").strip())
    where.unlink()
    return done, ends_in


def test_commands_are_found_with_their_exit_codes() -> None:
    text = "```console\n$ one --x 1\noutput\n$ two  # exits 0, 10 or 13\n```\n```toml\n$ no\n```\n"
    assert list(commands(text)) == [
        Command("one --x 1", frozenset({0})),
        Command("two  # exits 0, 10 or 13", frozenset({0, 10, 13})),
    ]


def test_the_commands_run_the_package_that_is_meant(tmp_path: Path) -> None:
    """Of the checkout, or of the wheel that was installed elsewhere."""
    assert Path(shutil.which("season-engine", path=PROGRAMS) or "").parent == PROGRAMS
    done, _ = in_folder(tmp_path, "python -c 'import season_engine; print(season_engine.__file__)'")
    root = Path(done.stdout.strip()).parent.parent
    if INSTALLED:
        assert root.name == "site-packages" and root.is_relative_to(PROGRAMS.parent)
    else:
        assert root == PROJECT


def journal_lines(folder: Path) -> list[dict[str, str]]:
    with (folder / "journal.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _report_is_whole(folder: Path, said: str) -> None:
    (week,) = (folder / "reports").glob("2*-W*")
    assert {"report.html", "report.txt", "report.json", "windows.csv"} <= {one.name for one in week.iterdir()}
    assert (folder / "reports" / "index.html").exists()
    assert (folder / "reports" / "season-calendar.ics").exists()


def _measures_are_written(folder: Path, said: str) -> None:
    head, *rows = (folder / "measures.csv").read_text("utf-8").splitlines()
    assert head.startswith("date,tmin_c,tmax_c") and len(rows) > 1


def _a_workspace_is_written(folder: Path, said: str) -> None:
    found = {one.name for one in (folder / "my-yard").iterdir()}
    assert {"season.toml", "trees.csv", "journal.csv"} <= found


def _names(*words: str) -> Callable[[Path, str], None]:
    def named(folder: Path, said: str) -> None:
        assert all(word in " ".join(said.split()) for word in words), said

    return named


def _a_note_is_kept(folder: Path, said: str) -> None:
    assert len(journal_lines(folder)) == said.count("noted: ") == 1


def _nothing_is_sent(folder: Path, said: str) -> None:
    assert "invented" in said
    assert not (folder / "outbox").exists()


def _mails_are_written(folder: Path, said: str) -> None:
    (mails,) = (folder / "reports").glob("2*-W*-mail")
    assert {one.name for one in mails.iterdir()} == {"mail-1.html", "mail-1.eml"}
    assert "to nobody yet" in said


# What each command leaves or says, by how it begins; the longest beginning counts.
EFFECTS: dict[str, Callable[[Path, str], None]] = {
    "cd": _names(),
    "season-engine init": _a_workspace_is_written,
    "season-engine weather": _names("my-yard"),
    "season-engine report": _report_is_whole,
    "season-engine report --email --preview": _mails_are_written,
    "season-engine report --email --dry-run": _nothing_is_sent,
    "season-engine check": _names("Japanese black pine, repotting", "Today: "),
    "season-engine measures": _measures_are_written,
    "season-engine journal add": _a_note_is_kept,
    "season-engine compare": _names("at dune-yard than at lower-yard"),
}


def test_every_command_runs_as_the_readme_says_and_leaves_what_it_should(tmp_path: Path) -> None:
    folder = tmp_path
    ran = []
    for command in commands(readme()):
        if command.text.startswith("make "):
            continue
        before = folder
        done, folder = in_folder(folder, command.text)
        assert done.returncode in command.exits, f"$ {command.text}\n{done.stdout}\n{done.stderr}"
        assert "Traceback" not in done.stderr, f"$ {command.text}\n{done.stderr}"
        begins = max((one for one in EFFECTS if command.text.startswith(one)), key=len)
        EFFECTS[begins](before, done.stdout + done.stderr)
        ran.append(shlex.split(command.text)[:2])
    for shown in ("init", "report", "check", "measures", "weather", "compare", "journal"):
        assert ["season-engine", shown] in ran


def a_yard(folder: Path) -> Path:
    """A yard with the trees that the README's notes are about."""
    folder.mkdir()
    (folder / "season.toml").write_text(
        '[[site]]\nname = "my-yard"\nlatitude = 51.5\nlongitude = 11.5\n[site.weather]\nsource = "demo"\n',
        "utf-8",
    )
    trees = "id,site,species\np1,my-yard,Pinus thunbergii\nj1,my-yard,Acer palmatum\n"
    (folder / "trees.csv").write_text(trees, "utf-8")
    return folder


TODAY = "today"
# The README's notes, in its order, as they are kept: date, tree, species, stage, job, note.
KEPT = [
    (TODAY, "j1", "", "01", "", "buds swelling on the maple"),
    (TODAY, "", "Acer buergerianum", "11", "", "not yet: trident not yet open"),
    ("2026-03-28", "p1", "", "", "sectional-repotting", "repotted p1; a third of the root ball"),
    (TODAY, "j1", "", "01", "", "buds fat"),
    (TODAY, "p1", "", "07", "", "pine candles long; rain on Tuesday"),
    (TODAY, "j1", "", "", "wiring", "wired j1"),
]
REPLY = "pine candles long; rain on Tuesday\n\n> Look at the maple:\n>  are its buds moving?\nwired j1\n"


def test_the_notes_shown_are_kept_as_they_say(tmp_path: Path) -> None:
    folder = a_yard(tmp_path / "yard")
    shown = [one.text for one in commands(readme()) if one.text.startswith("season-engine journal add")]
    shown += [line for block in blocks(readme(), "sh", "journal add") for line in block.splitlines()]
    days = set()
    for line in shown:
        call, _, typed = line.removeprefix("season-engine ").partition(" < ")
        days.add(dt.date.today().isoformat())
        done = CliRunner().invoke(
            main, [*shlex.split(call), "--workspace", str(folder)], input=REPLY if typed else ""
        )
        assert done.exit_code == 0, f"{line}\n{done.output}"
    days.add(dt.date.today().isoformat())
    kept = [
        tuple(row[name] for name in ("date", "tree", "species", "bbch", "job", "note"))
        for row in journal_lines(folder)
    ]
    assert [(TODAY if day in days else day, *rest) for day, *rest in kept] == KEPT


def own_catalogue() -> TomlText:
    (text,) = blocks(readme(), "toml", '[species."')
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
    folder = a_yard(tmp_path / "yard")
    (choice,) = blocks(readme(), "toml", "[[school]]")
    settings = (folder / "season.toml").read_text("utf-8")
    (folder / "season.toml").write_text(settings + choice, "utf-8")
    kind = catalogue_of(load_workspace(folder)).find("satsuki")
    assert [one.name for one in kind.full_windows if one.job == "repotting"] == ["after bloom"]


SAID_CODES = dict(re.findall(r"^\| (\d+) \| `check`: (.+) \|$", README.read_text("utf-8"), re.MULTILINE))


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


def test_make_lines_name_targets_of_the_makefile() -> None:
    """Not run for real: `make test` would start this test again."""
    lines = [command.text for command in commands(readme()) if command.text.startswith("make ")]
    assert {"make report", "make test"} <= set(lines)
    for line in lines:
        done = subprocess.run(
            ["make", "-n", *shlex.split(line, comments=True)[1:]], cwd=PROJECT, capture_output=True, text=True
        )
        assert done.returncode == 0, f"$ {line}\n{done.stderr}"


def test_cautions_stand_before_the_first_command_that_leads_to_work() -> None:
    text = README.read_text("utf-8")
    section = text.partition("\n## Work safely\n")[2].partition("\n## ")[0]
    assert text.index("## Work safely") < text.index("$ season-engine")
    assert len(section.strip().splitlines()) <= 6
    for word in (
        "25 kg",
        "mask",
        "saws",
        "wire",
        "poisonous",
        "sap",
        "sprays",
        "owner's written leave",
        "35 °C",
    ):
        assert word in section
    assert text.count("trolley") == text.count("never with an acid") == 1, "said once"
