"""Change the engine's code in one place at a time, and tell which changes the tests let through.

Run by ``make mutants MUTANTS=200 SEED=1``, or ``python -m tests.mutants.run`` where cosmic-ray is
installed. The tests themselves run with `--python`, in copies of the project. From all places where code
may be changed (a number, an operator, a comparison, a keyword) a sample is drawn by the seed, each place as
likely as another, and changed in one of its ways. A change is killed where a test of its room fails or
takes far too long. Else it survived: a test is missing there, or the change makes no difference.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PROJECT = Path(__file__).resolve().parents[2]
# The quick tests that hold each room, under a minute in all. Some facts are held only where they are told.
TOLD = ("tests/documents/test_document.py", "tests/prints/test_report.py", "tests/test_cli_check.py")
PROVED = ("tests/verify/test_said_and_proved.py", "tests/verify/test_rules.py")
LAWS = (
    "tests/windows/test_catalogue_laws.py",
    "tests/windows/test_learnt_trail.py",
    "tests/windows/test_mirror_law.py",
    "tests/windows/test_practice_dates.py",
    "tests/test_cut_law.py",
)
ROOMS: Mapping[str, tuple[str, ...]] = {
    "windows": ("tests/windows", "tests/advice", "tests/test_cut_law.py", *TOLD),
    "phenology": ("tests/phenology", *PROVED, *LAWS),
    "advice": ("tests/advice", "tests/test_cut_law.py", *TOLD),
}
# Seconds each, and others hold the same code.
TOO_SLOW = (
    "tests/windows/test_teaching.py::"
    "test_the_engines_three_beat_three_at_random_on_seasons_made_from_real_weather",
    "tests/windows/test_mirror_law.py::test_windows_move_by_half_a_year_and_verdicts_stay[kagoshima]",
    "tests/windows/test_not_yet.py::test_looking_on_the_usual_date_makes_the_forecast_no_worse",
)
NOT_COPIED = shutil.ignore_patterns(".*", "build", "dist", "*.egg-info", "reports", "data_cache")
PYTEST = ("-m", "pytest", "-q", "-x", "-n", "0", "--no-header", "--tb=no", "-p", "no:cacheprovider")
DURATION = re.compile(r"^(\d+\.\d+)s (?:call|setup|teardown) +(tests/[^:]+\.py)::", re.MULTILINE)
TOO_LONG = 4.0  # times what the unchanged code takes
MOST_MEMORY = 6 << 30  # bytes of address space: a changed size must not take the machine
LEFT_ALONE = ("RemoveDecorator",)  # a property taken apart fails at once
SHOWN = {"killed": "killed", "import": "killed on import", "timeout": "timed out", "survived": "SURVIVED"}


@dataclass(frozen=True)
class Room:
    """What holds a room: files of tests, in the order they are run, and how long all take as the code is."""

    files: tuple[str, ...]
    spent_s: float


@dataclass(frozen=True)
class Result:
    """What became of one change."""

    outcome: str  # one of SHOWN
    place: str  # file:line
    before: str
    after: str
    spent_s: float

    def __str__(self) -> str:
        return f"{SHOWN[self.outcome]:17} {self.spent_s:5.0f} s  {self.change}"

    @property
    def change(self) -> str:
        return f"{self.place}\n    - {self.before}\n    + {self.after}"


class _WhatIsTried(ast.NodeTransformer):
    """Leaves out what isn't tried: annotations, which arguments go by name or place alone, frozen classes."""

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.AST:
        node.annotation = ast.Constant(None)
        return self.generic_visit(node)

    def visit_arguments(self, node: ast.arguments) -> ast.AST:
        every = [*node.posonlyargs, *node.args, *node.kwonlyargs]
        defaults = [*node.defaults, *(default for default in node.kw_defaults if default)]
        for argument in every:
            argument.annotation = None
        node = ast.arguments([], every, node.vararg, [], [], node.kwarg, defaults)
        return self.generic_visit(node)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        node.returns = None
        return self.generic_visit(node)

    def visit_ClassDef(self, node: ast.ClassDef) -> ast.AST:
        node.decorator_list = []
        return self.generic_visit(node)


def meaning(source: str) -> str | None:
    """What the source does, the same for two that differ in nothing we try; None where it is no Python."""
    try:
        return ast.dump(_WhatIsTried().visit(ast.parse(source)))
    except SyntaxError:
        return None


def family(operator: str) -> str:
    """An operator's name without what it puts in place: all of a family change the same places."""
    kind, _, change = operator.rpartition("/")[2].partition("_")
    return f"{kind}_{change.rpartition('_')[0]}" if kind.startswith("Replace") else kind


def places_of(mutations: Iterable[Any]) -> dict[tuple[Any, ...], list[Any]]:
    """The ways to change each place, by module, position and family."""
    places: dict[tuple[Any, ...], list[Any]] = {}
    for mutation in mutations:
        kind = family(mutation.operator_name)
        if kind not in LEFT_ALONE:
            where = (mutation.module_path.as_posix(), mutation.start_pos, kind)
            places.setdefault(where, []).append(mutation)
    return places


def drawn(places: Mapping[tuple[Any, ...], list[Any]], seed: int) -> Iterator[list[Any]]:
    """All places in an order that hangs on the seed, each with its ways in an order of their own."""
    chance = random.Random(seed)
    for where in chance.sample(sorted(places), len(places)):
        yield chance.sample(places[where], len(places[where]))


def changed(mutation: Any, source: str) -> str | None:
    """The source with one place changed; None where what is run stays the same, or it is no Python."""
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator

    operator = get_operator(mutation.operator_name)(**mutation.operator_args)
    text: str | None = mutate_code(source, operator, mutation.occurrence)
    after = meaning(text) if text is not None else None
    return text if after is not None and after != meaning(source) else None


def sample(rooms: Sequence[str], count: int, seed: int) -> tuple[list[Any], int, int]:
    """The changes to try (all, where `count` is 0), the number of places, and that of all changes there."""
    from cosmic_ray.commands import init
    from cosmic_ray.work_db import WorkDB, use_db

    modules = [path for room in rooms for path in sorted(Path(f"season_engine/{room}").rglob("*.py"))]
    with tempfile.TemporaryDirectory() as away, use_db(f"{away}/all.sqlite", WorkDB.Mode.create) as database:
        init(modules, database, {})
        places = places_of(mutation for item in database.work_items for mutation in item.mutations)
    chosen: list[Any] = []
    for ways in drawn(places, seed):
        source = ways[0].module_path.read_text("utf-8")
        chosen += next(([way] for way in ways if changed(way, source) is not None), [])
        if count and len(chosen) == count:
            break
    return chosen, len(places), sum(len(ways) for ways in places.values())


def tests_of(module: Path, files: Sequence[str]) -> list[str]:
    """What judges a module of a room with these files of tests: the one named for it first."""
    own = f"tests/{module.parts[1]}/test_{module.stem}.py"
    return sorted(files, key=lambda file: file != own)


def test_command(python: str, tests: Sequence[str]) -> list[str]:
    skipped = [f"--deselect={test}" for test in TOO_SLOW]
    return [python, *PYTEST, *skipped, *tests]


def last_line(output: str) -> str:
    return (output.strip().splitlines() or [""])[-1]


def judged(mutation: Any, python: str, room: Room) -> Result:
    """Make the change in the copy that this process works in, run the tests, and take it back."""
    from cosmic_ray.mutating import mutate_and_test
    from cosmic_ray.work_item import TestOutcome, WorkerOutcome

    start = time.perf_counter()
    command = " ".join(test_command(python, tests_of(mutation.module_path, room.files)))
    result = mutate_and_test([mutation], command, TOO_LONG * room.spent_s)
    if result.worker_outcome != WorkerOutcome.NORMAL or result.test_outcome == TestOutcome.INCOMPETENT:
        raise RuntimeError(f"no judgement on {mutation}:\n{result.output}")
    before, after = (
        "; ".join(
            line[1:].strip() for line in result.diff.splitlines() if re.match(rf"{sign}(?!{sign})", line)
        )
        for sign in ("-", r"\+")
    )
    outcome = "survived" if result.test_outcome == TestOutcome.SURVIVED else "killed"
    if outcome == "killed" and result.output == "timeout":
        outcome = "timeout"
    elif outcome == "killed" and not re.search(r"\d+ (passed|failed)", last_line(result.output)):
        outcome = "import"
    place = f"{mutation.module_path.as_posix()}:{mutation.start_pos[0]}"
    return Result(outcome, place, before, after, time.perf_counter() - start)


def copy_project(source: Path, to: Path) -> None:
    """Copy the project and work there: the changed code is imported from the copy and from nowhere else."""
    shutil.copytree(source, to, ignore=NOT_COPIED)
    os.chdir(to)
    os.environ["PYTHONPATH"] = str(to)


def own_copy(source: Path, root: Path) -> None:
    """What each process begins with; it leaves stopping to the one that started it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    copy_project(source, Path(tempfile.mkdtemp(dir=root)) / "project")


def as_it_is(python: str, name: str) -> Room:
    """Run a room's tests on the unchanged code, which also leaves byte code behind; ends where one fails."""
    files = files_of(ROOMS[name])
    command = [*test_command(python, files), "--durations=0"]
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    run = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
    if run.returncode:
        sys.exit(f"The tests of {name} fail on the unchanged code:\n{run.stdout}{run.stderr}")
    say(f"{name}: {last_line(run.stdout)} on the unchanged code")
    return Room(quickest_first(files, run.stdout), time.perf_counter() - start)


def files_of(tests: Iterable[str]) -> list[str]:
    """Files of tests, those of folders included; pytest would run a file named beside its folder in place."""
    every = (path for test in tests for path in (Path(test), *sorted(Path(test).rglob("test_*.py"))))
    return [path.as_posix() for path in every if path.is_file()]


def quickest_first(files: Iterable[str], output: str) -> tuple[str, ...]:
    """The files in the order of what pytest says of their tests' durations, so that most faults show soon."""
    spent_s: dict[str, float] = defaultdict(float)  # what pytest leaves out took next to nothing
    for seconds, file in DURATION.findall(output):
        spent_s[file] += float(seconds)
    return tuple(sorted(files, key=lambda file: (spent_s[file], file)))


def refuse_other_code(python: str) -> None:
    """End where the tests would import the package from elsewhere than this copy."""
    ask = [python, "-c", "import season_engine; print(season_engine.__file__)"]
    found = subprocess.run(ask, capture_output=True, text=True, check=True).stdout.strip()
    if not Path(found).is_relative_to(Path.cwd()):
        sys.exit(f"The tests would import {found}, which isn't the copy that is changed.")


def summary(results: Sequence[Result], spent_s: float) -> Iterator[str]:
    """Counts, score and survivors."""
    count = Counter(result.outcome for result in results)
    tried, caught = len(results), len(results) - count["survived"]
    if not tried:
        yield "Nothing was tried."
        return
    counts = ", ".join(f"{SHOWN[outcome].lower()} {count[outcome]}" for outcome in SHOWN)
    each_s = sum(result.spent_s for result in results) / tried
    yield f"\n{tried} changes in {spent_s:.0f} s, with {each_s:.1f} s of tests each: {counts}"
    yield f"Score: {100 * caught / tried:.0f} % caught"
    on_time = tried - count["import"]
    if on_time and count["import"]:
        yield f"Of those that could be imported: {100 * (on_time - count['survived']) / on_time:.0f} %"
    survivors = sorted((r for r in results if r.outcome == "survived"), key=lambda r: r.change)
    yield f"\n{len(survivors)} survivors"
    yield from (result.change for result in survivors)


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def try_all(chosen: Sequence[Any], python: str, rooms: Sequence[str], jobs: int) -> Iterator[Result]:
    """Judge each change in copies of the project, `jobs` side by side."""
    with tempfile.TemporaryDirectory(prefix="season-engine-mutants-") as root:
        base = Path(root) / "base"
        copy_project(PROJECT, base)
        refuse_other_code(python)
        judges = {name: as_it_is(python, name) for name in rooms}
        judge_of = [judges[mutation.module_path.parts[1]] for mutation in chosen]
        pool = ProcessPoolExecutor(jobs, initializer=own_copy, initargs=(base, Path(root)))
        try:
            yield from pool.map(judged, chosen, [python] * len(chosen), judge_of)
        finally:
            pool.shutdown(cancel_futures=True)
            os.chdir(PROJECT)


def main() -> None:
    parser = argparse.ArgumentParser(
        description="Change code in one place at a time and see which tests notice."
    )
    parser.add_argument("--python", default=sys.executable, help="the one that runs the tests")
    parser.add_argument("--mutants", type=int, default=200, help="how many changes; 0 for one in every place")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rooms", nargs="+", choices=ROOMS, default=list(ROOMS))
    parser.add_argument("--jobs", type=int, default=2, help="how many at once")
    asked = parser.parse_args()
    python = str(Path(asked.python).absolute())  # not resolved, since a link is what makes an environment
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    os.chdir(PROJECT)
    chosen, places, ways = sample(asked.rooms, asked.mutants, asked.seed)
    say(
        f"{len(chosen)} changes of seed {asked.seed}, from {places} places that can be changed in {ways} ways"
    )
    results: list[Result] = []
    start = time.perf_counter()
    try:
        for result in try_all(chosen, python, asked.rooms, asked.jobs):
            results.append(result)
            say(str(result))
    except KeyboardInterrupt:
        say("Stopped; so far:")
    for line in summary(results, time.perf_counter() - start):
        say(line)


if __name__ == "__main__":
    main()
