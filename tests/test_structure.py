"""Small modules, small functions, and a command line that starts without the heavy libraries."""

from __future__ import annotations

import ast
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import COMMANDS, main

PROJECT = Path(__file__).parent.parent
PACKAGE = PROJECT / "season_engine"
MODULES = sorted(PACKAGE.rglob("*.py"))
LONGEST_MODULE = 400  # lines
LONGEST_FUNCTION = 40  # lines of code: without docstring, comments and blank lines

HEAVY = {"pandas", "sklearn", "requests", "requests_cache", "meteostat", "matplotlib", "numba", "joblib"} | {
    *("pyarrow", "scipy", "fsspec", "dask", "distributed", "xarray", "zarr", "h5netcdf"),
}
# Runs the command line as the console script does, and at exit leaves a list of what was imported.
PROBE = """
import atexit, pathlib, sys
leave = pathlib.Path(sys.argv.pop(1))
atexit.register(lambda: leave.write_text("\\n".join(sys.modules), encoding="utf-8"))
from season_engine.cli import main
sys.argv[0] = "season-engine"
sys.exit(main())
"""


def functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef, lines: list[str]) -> int:
    """Count a function's lines from `def` on that hold code."""
    docstring: set[int] = set()
    first = function.body[0]
    if ast.get_docstring(function, clean=False) is not None:
        docstring = set(range(first.lineno, (first.end_lineno or first.lineno) + 1))
    numbers = range(function.lineno, (function.end_lineno or function.lineno) + 1)
    texts = (lines[number - 1].strip() for number in numbers if number not in docstring)
    return sum(1 for text in texts if text and not text.startswith("#"))


def test_code_lines_counts_code_only() -> None:
    source = 'def f(x):\n    """Say.\n\n    More.\n    """\n\n    # why\n    y = x\n    return y\n'
    (function,) = functions(ast.parse(source))
    assert code_lines(function, source.splitlines()) == 3


def test_size_of_modules() -> None:
    lengths = {
        path.relative_to(PROJECT).as_posix(): len(path.read_text("utf-8").splitlines()) for path in MODULES
    }
    assert lengths, "no module found"
    assert {name: length for name, length in lengths.items() if length > LONGEST_MODULE} == {}


def test_size_of_functions() -> None:
    too_long = {}
    for path in MODULES:
        source = path.read_text("utf-8")
        for function in functions(ast.parse(source)):
            length = code_lines(function, source.splitlines())
            if length > LONGEST_FUNCTION:
                too_long[f"{path.relative_to(PROJECT).as_posix()}: {function.name}"] = length
    assert too_long == {}


def test_every_folder_of_modules_is_a_package() -> None:
    """The import check and type checker pass over a folder without `__init__.py` in silence."""
    folders = {path.parent for path in MODULES}
    assert [str(folder) for folder in sorted(folders) if not (folder / "__init__.py").exists()] == []


REACHED_BY_NOTHING = {
    "season_engine.documents.schemas": "for whoever writes a program that reads the documents",
}


def module_name(path: Path) -> str:
    parts = path.relative_to(PROJECT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(tree: ast.Module) -> set[str]:
    """All that is imported, in functions too; of `from a import b` both a and a.b, which may be a module."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.module and not node.level, "imports are written whole"
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def reached(roots: Iterable[str], graph: dict[str, set[str]]) -> set[str]:
    """What importing `roots` loads, at once or in a function; a module loads the packages it lies in."""
    found: set[str] = set()
    waiting = list(roots)
    while waiting:
        name = waiting.pop()
        if name in graph and name not in found:
            found.add(name)
            waiting += [*graph[name], name.rpartition(".")[0]]
    return found


def test_reached_follows_imports_in_functions_and_packages() -> None:
    tree = ast.parse("import a.b\n\ndef f():\n    from c import d, e\n")
    graph = {"top": imports(tree), "a": {"x"}, "left": {"top"}}
    graph |= {name: set() for name in ("a.b", "c", "c.d", "x")}
    assert reached(["top"], graph) == set(graph) - {"left"}


def test_every_module_is_reached_from_a_command_or_from_python() -> None:
    """Or from a program that `make` runs; what only tests reach is of use to nobody.

    An exception that is reached by now fails too: take it off the list.
    """
    graph = {module_name(path): imports(ast.parse(path.read_text("utf-8"))) for path in MODULES}
    made = re.findall(r"-m (season_engine[.\w]+)", (PROJECT / "Makefile").read_text("utf-8"))
    commands = [f"season_engine.commands.{name.replace('-', '_')}" for name in COMMANDS]
    found_where_they_stand = {name for name in graph if name.startswith("season_engine.markers.kinds.")}
    roots = {"season_engine", "season_engine.cli", *commands, *made, *found_where_they_stand}
    assert made and roots <= set(graph)
    left = set(graph) - reached(roots, graph)
    assert left == set(REACHED_BY_NOTHING)


CLOCK = PACKAGE / "commands" / "clock.py"
READS_THE_CLOCK = {"now", "today", "utcnow", "time", "time_ns", "localtime", "gmtime", "ctime"}


def clock_calls(tree: ast.Module) -> list[int]:
    """Lines that call the clock of `datetime` or `time` as a module or class gives it."""
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in READS_THE_CLOCK
        and ast.unparse(node.func.value) in {"dt.datetime", "dt.date", "datetime", "date", "time"}
    ]


def test_the_clock_is_read_in_one_place() -> None:
    read = {path: clock_calls(ast.parse(path.read_text("utf-8"))) for path in MODULES}
    assert [path for path, lines in read.items() if lines] == [CLOCK]


CHECK = ("check", "repotting", "--species", "Pinus thunbergii", "--site", "lower-yard")


def run_cli(folder: Path, *arguments: str) -> tuple[subprocess.CompletedProcess[str], set[str]]:
    """Run the command in `folder`; return how it went and the modules it imported."""
    imported = folder / "imported.txt"
    command = [sys.executable, "-c", PROBE, str(imported), *arguments]
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, encoding="utf-8"
    )
    assert "Traceback" not in done.stderr, done.stderr
    return done, set(imported.read_text("utf-8").splitlines())


def test_help_imports_nothing_heavy(tmp_path: Path) -> None:
    done, imported = run_cli(tmp_path, "--help")
    assert done.returncode == 0
    assert "check" in done.stdout
    assert imported & HEAVY == set()


def test_check_on_a_warm_cache_imports_nothing_heavy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    CliRunner().invoke(main, [*CHECK, "--json"])
    done, imported = run_cli(tmp_path, *CHECK, "--json")
    assert done.returncode in {0, 10, 11, 13}, done.stderr
    assert json.loads(done.stdout)["species"] == "Pinus thunbergii"
    assert imported & HEAVY == set()


def test_check_for_a_reader_makes_no_models_of_documents(tmp_path: Path) -> None:
    done, imported = run_cli(tmp_path, *CHECK)
    assert "Japanese black pine" in done.stdout
    assert "season_engine.prints.answer" in imported
    assert "season_engine.documents" not in imported


def test_the_probe_sees_what_is_imported(tmp_path: Path) -> None:
    """A probe that saw nothing would pass everything above."""
    imported = tmp_path / "imported.txt"
    probe = PROBE.replace("from season_engine.cli import main", "import pandas\ndef main(): pass")
    subprocess.run([sys.executable, "-c", probe, str(imported)], check=True)
    assert "pandas" in imported.read_text("utf-8").splitlines()


CORE = (
    *("measures", "weather", "traces", "tables", "markers", "species", "phenology", "trees", "windows"),
    *("advice", "verify", "maps", "report", "facts.py", "site.py", "tree.py", "note.py"),
)
# Errors are said where they are found, since they name file, line and field: these read what people wrote.
READERS = (
    *("weather/logger/", "weather/forecast/file", "tables/", "verify/station_files", "verify/weather_file"),
    *(
        "maps/batch_files",
        "species/build",
        "species/catalogue",
        "species/files",
        "species/jobs",
        "species/names",
    ),
)
# These have a table of what they hold, each with its source.
TABLES = ("measures/heat_models", "weather/quality/examine")
# Elsewhere, what goes into an error before it is raised.
MAKES_AN_ERROR = {
    "season_engine/weather/hemisphere.py": {"told"},
    "season_engine/weather/fitness.py": {"_other_source", "_refuse_short", "_dates"},
    "season_engine/weather/http.py": {"_cause"},
}
LETTERS = r"[a-z']{2,}"
ENDS_AS_ONE = re.compile(rf"{LETTERS}[ ,]+{LETTERS}.*[.!?]$", re.IGNORECASE | re.DOTALL)
RUNS_AS_ONE = re.compile(rf"{LETTERS} {LETTERS} {LETTERS} {LETTERS}")  # where values are put in


def errors(tree: ast.Module, more: Iterable[str] = ()) -> Iterator[ast.AST]:
    """All that goes into an error; and docstrings, sources, what a thing tells of itself to its makers."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
            yield from (one.value for one in node.body if isinstance(one, ast.Expr))
        name = getattr(node, "func", None) and (
            getattr(node.func, "id", "") or getattr(node.func, "attr", "")
        )
        is_error = isinstance(node, ast.Call) and (name.endswith("Error") or name == "fault")
        named = {"__str__", "__repr__", "numbers", *more}
        of_its_own = isinstance(node, ast.FunctionDef) and node.name in named
        told_of = isinstance(node, ast.keyword) and node.arg in {"source", "description", "title"}
        if isinstance(node, ast.Raise) or is_error or of_its_own or told_of:
            yield from ast.walk(node)


def sentences(tree: ast.Module, more: Iterable[str] = ()) -> Iterator[tuple[int, str]]:
    """Strings that read as a sentence, with their lines, where they go into no error."""
    left = set(errors(tree, more))
    for node in ast.walk(tree):
        if node in left:
            continue
        if isinstance(node, ast.JoinedStr):
            left |= set(ast.walk(node))
            text = "".join(
                str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values
            )
            if ENDS_AS_ONE.search(text) or RUNS_AS_ONE.search(text):
                yield node.lineno, text
        elif (
            isinstance(node, ast.Constant) and isinstance(node.value, str) and ENDS_AS_ONE.search(node.value)
        ):
            yield node.lineno, node.value


def test_a_sentence_is_known_from_a_name_and_an_error() -> None:
    told = 'x = "The window has closed."\ny = f"{a} days later than usual"\n'
    assert [line for line, _ in sentences(ast.parse(told))] == [1, 2]
    none = 'x = "chill portions"\nraise WeatherError(f"{a}: nothing can be said of it.")\ny = f"{a}-{b}"\n'
    assert list(sentences(ast.parse(none))) == []


def test_the_core_makes_no_sentence() -> None:
    """It states facts, and `words` says them."""
    found = {}
    rooms = [
        path for name in CORE for path in sorted(PACKAGE.glob(f"{name}/**/*.py" if "." not in name else name))
    ]
    assert len(rooms) > 150
    for path in rooms:
        where = path.relative_to(PROJECT).as_posix()
        if path.relative_to(PACKAGE).as_posix().startswith((*READERS, *TABLES)):
            continue
        tree = ast.parse(path.read_text("utf-8"))
        for line, text in sentences(tree, MAKES_AN_ERROR.get(where, ())):
            found[f"{where}:{line}"] = text
    assert found == {}
