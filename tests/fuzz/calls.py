"""Odd command lines, and commands on workspaces with one file spoilt. Nothing is written outside a folder."""

from __future__ import annotations

import datetime as dt
import json
import os
from collections.abc import Iterator
from pathlib import Path
from random import Random
from unittest import mock

from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands.own_fault import DETAILS
from season_engine.verify.own_record import OwnRecord, Statement, add_to_record, said_of
from season_engine.weather.station.provider import URL_VARIABLE
from tests.factories import an_assessment
from tests.fuzz.spoiling import CELLS, DOCUMENT, SETTINGS, TABLE, Spoil, spoilt
from tests.fuzz.targets import CATALOGUE, workspace_with
from tests.workspaces import make_workspace

WRITTEN = dt.date(2024, 3, 18)
NOWHERE = "http://127.0.0.1:9"  # the discard port: nobody answers
LONGEST_ARGUMENT = 100_000  # more than a system takes for all of them together

DAYS = ("2024-03-25", "2024-02-29", "1850-01-01", "2199-12-31", "1979-06-01", "2026-12-31")
NUMBERS = ("-1", "0", "1", "1e308", "nan", "inf", "-inf", "1e-320", "7,5", "9" * 400, "")
JOBS = ("repotting", "decandling", "candle-shortening", "after-bloom-pruning", "feeding", "repoting")
SPECIES = ("Pinus thunbergii", "maple", "Acer palmatum 'Deshojo'", "Larix", "Nothing known", "fig")
SITES = ("hut", "ridge", "HUT", "nagano", "lower-yard", "dune-yard")
MODELS = ("legave_2008", "haenninen_1990,cesaraccio_2004", "Double-Sine, single_sine", "utah", ",")
LEADS = ("6,4,2,1,0", "0", "40", "41", "1,1", "nan", "1e9", ",", "-1", "0.5,0.25")

# Options by command and what they may sensibly hold; half the time they hold something else.
OPTIONS: dict[str, dict[str, tuple[str, ...]]] = {
    "report": {"--on": DAYS, "--site": SITES, "--json": (), "--email": (), "--again": (), "--preview": ()},
    "check": {
        **{"--on": DAYS, "--species": SPECIES, "--tree": ("p1", "m1", "zz"), "--site": SITES, "--json": ()},
        **{"--size": ("small", "large"), "--window": ("spring", "late"), "--explain": ()},
    },
    "compare": {"--on": DAYS, "--job": JOBS, "--species": SPECIES, "--json": ()},
    "weather": {"--on": DAYS, "--site": SITES, "--refresh": (), "--json": ()},
    "species": {"--on": DAYS, "--site": SITES, "--json": ()},
    "ready": {"--json": ()},
    "measures": {
        **{"--on": DAYS, "--site": SITES, "--from": DAYS, "--to": DAYS},
        **{"--base": NUMBERS, "--upper": NUMBERS, "--chill": MODELS, "--heat": MODELS},
        **{"--degree-days": MODELS, "--cutoff": ("vertical", "diagonal"), "--missing": ("leave-out", "drop")},
    },
    "journal": {
        **{"--on": DAYS, "--species": SPECIES, "--tree": ("p1", "m1", "zz"), "--site": SITES},
        **{"--bbch": ("0", "07", "99", "100"), "--job": JOBS, "--note": ("buds fat", "")},
    },
    "backtest": {
        **{"--on": DAYS, "--site": SITES, "--own": (), "--json": (), "--train-until": ("2005", "1850")},
        **{"--log-years": NUMBERS, "--lead-weeks": LEADS},
    },
}
ARGUMENTS = {
    "check": JOBS,
    "compare": SITES,
    "species": SPECIES,
    "journal": ("trident open", "repotted p1; all", "not yet"),
}
# Of a real station's workspace. season.toml names folders that are written to: no report is asked for then.
FILES: dict[str, tuple[Spoil, ...]] = {
    **{"nagano.csv": TABLE, "trees.csv": TABLE, "journal.csv": TABLE, "season.toml": SETTINGS},
    **{"catalogue.toml": SETTINGS, "reports/record.jsonl": DOCUMENT},
}
QUESTIONS = (
    *(["check", "repotting", "--tree", "p1", "--explain"], ["check", "repotting", "--species", "Larix"]),
    *(
        ["species", "black pine"],
        ["ready"],
        ["weather"],
        ["measures"],
        ["backtest", "--own"],
        ["report"],
        ["report", "--json"],
    ),
    *(
        ["check", "decandling", "--species", "Pinus thunbergii", "--json"],
        *(["journal", "add", "larch not yet open"], ["journal", "list", "--all"], ["journal", "undo"]),
    ),
)


def one_call(random: Random, folder: Path, *, spoil: bool | None = None) -> str:
    """What isn't held of one call, its first line the kind of it; nothing where all is well."""
    folder.mkdir()
    if random.random() < 0.5 if spoil is None else spoil:
        call = _on_spoilt_files(random, folder)
    else:
        workspace_with(folder, {})
        call = list(_odd_arguments(random))
    said = " ".join(one[:80] for one in call)
    before = {path: path.read_bytes() for path in folder.rglob("journal.csv")}
    with mock.patch.dict(os.environ, {URL_VARIABLE: NOWHERE}):
        result = CliRunner().invoke(main, [*call, "--workspace", str(folder)], input="buds open on p1\n")
    trouble = next(_troubles(result, folder, before), "")
    return f"{trouble}\n{said}" if trouble else ""


def _troubles(result: Result, folder: Path, before: dict[Path, bytes]) -> Iterator[str]:
    if (details := folder / DETAILS).exists():
        trail = details.read_text("utf-8")
        yield f"{trail.rstrip().rpartition(chr(10))[2]}\n{trail}"
    elif not isinstance(result.exception, SystemExit | None) or result.exit_code == 1:
        yield f"exit {result.exit_code}: {result.exception!r}"
    if "Traceback" in result.stderr:
        yield f"a trail on stderr\n{result.stderr}"
    for path, content in before.items():
        if _lost(content, path.read_bytes()):
            yield "the journal lost something"
    for path in folder.rglob("*.json"):
        if path.parent.name.startswith("20"):
            json.loads(path.read_text("utf-8"))
    left = [
        path.name for path in folder.rglob(".*") if ".lock" not in path.name and path.name != ".gitignore"
    ]
    if left:
        yield f"left {left}"


def _lost(before: bytes, after: bytes) -> bool:
    """Whether a journal holds less than it did; one line of it, the header, may have grown."""
    *old, last = before.split(b"\n")
    *new, _ = [*after.split(b"\n"), b""]
    if len(new) <= len(old) or not new[len(old)].startswith(last):
        return True
    changed = [(was, now) for was, now in zip(old, new, strict=False) if was != now]
    return len(changed) > 1 or any(not now.startswith(was.rstrip(b"\r,; \t")) for was, now in changed)


def _odd_arguments(random: Random) -> Iterator[str]:
    command = random.choice(sorted(OPTIONS))
    yield command
    if command == "journal":
        yield random.choice(("add", "add", "list", "undo"))
    for name, values in random.sample(sorted(OPTIONS[command].items()), random.randrange(4)):
        yield name
        if values or random.random() < 0.05:
            yield _value(random, values or NUMBERS)
        if name == "--email":
            yield "--preview"  # a run that sends, or asks the server, leaves the machine
    if "--log-years" not in OPTIONS[command]:
        for _ in range(random.choice((0, 1, 1, 2))):
            yield _value(random, ARGUMENTS.get(command, SITES))


def _value(random: Random, sensible: tuple[str, ...]) -> str:
    odd = random.choice(CELLS).replace("\x00", "?")  # no system passes that on
    return random.choice(sensible) if random.random() < 0.6 else odd[:LONGEST_ARGUMENT]


def _on_spoilt_files(random: Random, folder: Path) -> list[str]:
    make_workspace(folder)
    (folder / "catalogue.toml").write_text(CATALOGUE, "utf-8")
    name = random.choice(sorted(FILES))
    question = random.choice(QUESTIONS)
    while name == "season.toml" and question[0] == "report":
        question = random.choice(QUESTIONS)
    file = folder / name
    if name.endswith("record.jsonl"):
        said = said_of(an_assessment(as_of=WRITTEN, species="Pinus thunbergii", season="2023/24"))
        add_to_record(file, OwnRecord(), [Statement(WRITTEN, WRITTEN, "nagano", (said,))])
    file.write_bytes(spoilt(random, file.read_bytes(), FILES[name]))
    return [*question, *(("--on", "2024-03-25") if random.random() < 0.7 else ())]
