"""The help keeps its word: every command has examples, and each of them runs as it stands."""

from __future__ import annotations

import gzip
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from joblib.externals.loky import get_reusable_executor

from season_engine.cli import WIDEST, main
from season_engine.commands import clock
from season_engine.man_page import PAGE, page
from tests.workspaces import STATIONS

DAY = "2025-04-08T07:00:00+00:00"
SETTINGS = "".join(
    f'[[site]]\nname = "{name}"\nlatitude = {latitude}\nlongitude = {longitude}\nelevation_m = {height}\n'
    f'[site.weather]\nsource = "logger"\nfile = "{station}.csv"\n'
    for name, latitude, longitude, height, station in (
        ("my-yard", 36.66, 138.19, 418, "nagano"),
        ("hilltop", 31.55, 130.55, 4, "kagoshima"),
    )
)
TREES = "id,name,site,species\nj1,Rust,my-yard,Japanese maple\np1,Kettle,hilltop,Pinus thunbergii\n"
JOURNAL = "date,site,tree,species,bbch,job,note\n2020-03-28,my-yard,j1,,01,,buds fat\n"
TWELVE = STATIONS / "twelve"
# Of `check` on that day; of `ready` on a machine that runs no report by itself; of `init` with nobody to ask.
ANSWERS = {"check": {0, 10, 11, 13}, "ready": {0, 4}, "init": {0, 2}}
Named = tuple[str, click.Command]


def all_commands(command: click.Command = main, path: str = "season-engine") -> Iterator[Named]:
    yield path, command
    if isinstance(command, click.Group):
        ctx = click.Context(command)
        for name in command.list_commands(ctx):
            below = command.get_command(ctx, name)
            assert below is not None
            yield from all_commands(below, f"{path} {name}")


COMMANDS = dict(all_commands())


def helped(*arguments: str) -> str:
    done = CliRunner().invoke(main, [*arguments, "--help"])
    assert done.exit_code == 0, done.output
    return done.stdout


@pytest.mark.parametrize("path", COMMANDS)
def test_every_command_says_what_it_does_and_shows_how(path: str) -> None:
    command = COMMANDS[path]
    examples = command.examples
    assert 1 <= len(examples) <= 3
    text = helped(*path.split()[1:])
    assert 10 < len(command.get_short_help_str(200)) < 120
    assert all(f"\n  {one}\n" in text for one in examples), "each on a line of its own"
    assert all(one.startswith(path) for one in examples)


def the_yard(folder: Path) -> Path:
    for name in ("nagano", "kagoshima"):  # sixteen years, to be quick
        head, *rows = (STATIONS / f"{name}.csv").read_text("utf-8").splitlines()
        rows = [row for row in rows if "2008" <= row < DAY]
        (folder / f"{name}.csv").write_text("\n".join([head, *rows]) + "\n", "utf-8")
    shutil.copy(folder / "nagano.csv", folder / "readings.csv")
    files = {"season.toml": SETTINGS, "trees.csv": TREES, "journal.csv": JOURNAL}
    for name, text in {**files, "reply.txt": "pine candles long\n> quoted\n"}.items():
        (folder / name).write_text(text, "utf-8")
    (folder / "yards.csv").write_text(
        "site,latitude,longitude,elevation_m\nmy-yard,36.66,138.19,418\n", "utf-8"
    )
    (folder / "readings").mkdir()
    shutil.copy(folder / "nagano.csv", folder / "readings" / "my-yard.csv")
    for name, ours in (("sites", "Aomori"), ("events", "Aomori,Prunus mume"), ("weather", "Aomori")):
        file = TWELVE / f"{name}.csv"
        text = (
            file.read_text("utf-8") if file.exists() else gzip.decompress(_packed(file).read_bytes()).decode()
        )
        head, *rows = text.splitlines()
        kept = "\n".join([head, *(row for row in rows if row.startswith(ours))]) + "\n"
        (folder / file.name).write_text(kept, "utf-8")
    _packed(folder / "weather.csv").write_bytes(gzip.compress((folder / "weather.csv").read_bytes()))
    for path in folder.iterdir():
        os.utime(path, (1_700_000_000, 1_700_000_000))
    return folder


def _packed(file: Path) -> Path:
    return file.with_name(f"{file.name}.gz")


def run(line: str) -> Result:
    call, _, typed = line.partition(" < ")
    name, *arguments = shlex.split(call)
    assert name == "season-engine"
    given = Path(typed).read_text("utf-8") if typed else ""
    done = CliRunner().invoke(main, arguments, input=given)
    assert done.exit_code in ANSWERS.get(arguments[0], {0}), f"{line}\n{done.output}"
    assert "season-engine-error.log" not in done.stderr, done.stderr
    if arguments[:2] == ["notes", "export"] and Path("my-notes.zip").exists():
        shutil.copy("my-notes.zip", "neighbour.zip")
    return done


def test_every_example_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In one yard, in the order of the help."""
    monkeypatch.chdir(the_yard(tmp_path))
    monkeypatch.setenv(clock.VARIABLE, DAY)
    get_reusable_executor().shutdown(wait=True)  # processes of tests before stand in other folders
    shown: list[str] = []
    monkeypatch.setattr(click, "launch", lambda page: shown.append(page) or 0)
    lines = dict.fromkeys(line for command in COMMANDS.values() for line in command.examples)
    first_yard = [line for line in lines if line.startswith("season-engine init")]
    for number, line in enumerate(first_yard):
        (tmp_path / f"{number}").mkdir()
        run(line.replace("my-yard", f"{number}/my-yard"))
    for line in lines:
        if line not in first_yard:
            assert run(line).output, line
    assert shown == [str(tmp_path / "reports" / "2025-W15" / "report.html")]
    assert Path(shown[0]).exists()


def test_the_page_that_cant_be_shown_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(click, "launch", lambda _page: 1)
    done = CliRunner().invoke(main, ["report", "--open", "--workspace", str(tmp_path), "--site", "dune-yard"])
    (week,) = (tmp_path / "reports").glob("2*-W*")
    assert done.exit_code == 0
    assert f"No browser can be started here. The page is {week / 'report.html'}" in done.stderr
    assert f"wrote {week}\n" in done.stderr


def test_help_is_as_wide_as_the_terminal() -> None:
    def widest(columns: int) -> int:
        call = [sys.executable, "-m", "season_engine.cli", "report", "--help"]
        environment = {**os.environ, "COLUMNS": str(columns)}
        done = subprocess.run(call, env=environment, capture_output=True, text=True, check=True)
        return max(map(len, done.stdout.partition("\nExamples:")[0].splitlines()))

    assert widest(60) <= 60 < widest(100) <= 100
    assert widest(300) <= WIDEST


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("repot",), 'There is no command "repot". Did you mean "report"?'),
        (("bactest", "--own"), 'Did you mean "backtest"?'),
        (("journal", "lst"), "Did you mean 'list'?"),
        (("zzz",), "The commands are init, report"),
        (("report", "--sit", "x"), "Did you mean"),
        (("check", "repoting", "Ember"), 'Did you mean "repotting"?'),
        (("check", "repotting", "Lanten"), 'Did you mean "The Lantern"?'),
        (("check", "repotting", "maple", "--site", "lower-yrd"), 'Did you mean "lower-yard"?'),
    ],
)
def test_what_is_misspelt_is_offered_rightly(tmp_path: Path, typed: tuple[str, ...], said: str) -> None:
    more = ("--workspace", str(tmp_path)) if len(typed) > 2 else ()
    done = CliRunner().invoke(main, [*typed, *more])
    assert done.exit_code == 2
    assert said in " ".join(done.stderr.split())


def test_the_manual_page_is_made_of_this_help() -> None:
    """`make man` writes it anew."""
    assert PAGE.read_text("utf-8") == page()


def test_the_manual_page_has_every_command_option_and_example() -> None:
    text = page().replace("\\-", "-").replace("\\(ti", "~")
    for path, command in COMMANDS.items():
        assert path == "season-engine" or f'.SH "{path.removeprefix("season-engine ").upper()}"' in text
        assert all(f"\n{one}\n" in text for one in command.examples)
        options = [one for one in command.params if isinstance(one, click.Option)]
        assert all(f".B {one.opts[0]}" in text for one in options)


CHECK = ("check", "repotting", "--species", "Pinus thunbergii", "--site", "lower-yard", "--on", "2026-04-05")
MARK = "\x1b["


def in_colour(*arguments: str, **environment: str) -> Result:
    """As on a terminal that shows colours."""
    kept = {"NO_COLOR": "", "TERM": "xterm", **environment}
    return CliRunner(env=kept).invoke(main, [*arguments], color=True)


def test_the_verdict_and_a_mistake_are_coloured_where_that_is_wanted(tmp_path: Path) -> None:
    here = ("--workspace", str(tmp_path))
    answer = in_colour(*CHECK, *here)
    assert answer.exit_code == 0
    assert f"\n{MARK}32m{MARK}1mLast call" in answer.stdout
    assert f"{MARK}33mNo season.toml here" in answer.stderr
    plain = CliRunner().invoke(main, [*CHECK, *here])
    assert MARK not in plain.output and click.unstyle(answer.stdout) == plain.stdout
    for name, value in (("NO_COLOR", "1"), ("TERM", "dumb")):
        assert in_colour(*CHECK, *here, **{name: value}).output == plain.output
    assert in_colour("compare", "x", *here).stderr.splitlines()[-1].startswith(f"{MARK}31m")


def test_json_and_files_hold_no_colour(tmp_path: Path) -> None:
    here = ("--workspace", str(tmp_path))
    assert MARK not in in_colour(*CHECK, "--json", *here).stdout
    assert MARK not in in_colour("weather", "--json", *here).stdout
    table = tmp_path / "measures.csv"
    in_colour("measures", "--site", "lower-yard", "--from", "2026-01-01", "--csv", str(table), *here)
    assert MARK not in table.read_text("utf-8") and table.stat().st_size > 1000
