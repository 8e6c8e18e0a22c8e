"""What is drawn and how it is told; that the tests judge rightly shows only in a trial."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.mutants import run

SOURCE = """
@dataclass(frozen=True)
class A:
    x: int | None = 3

    def f(self, a: int | str, *, b: bool = True) -> int | None:
        return a - self.x if b else None
"""


def mutation(operator: str, line: int, column: int = 0) -> SimpleNamespace:
    return SimpleNamespace(
        operator_name=f"core/{operator}",
        module_path=Path("season_engine/windows/odds.py"),
        start_pos=(line, column),
    )


def test_only_what_is_run_counts_as_a_change() -> None:
    same = run.meaning(SOURCE)
    unseen = (
        ("int | None = 3", "int & None = 3"),
        ("int | str", "int ^ str"),
        ("-> int | None", "-> int - None"),
    )
    for old, new in (*unseen, ("*, b", "/, b"), ("frozen=True", "frozen=False")):
        assert run.meaning(SOURCE.replace(old, new)) == same, new
    for old, new in (
        ("= 3", "= 4"),
        ("a - self", "a + self"),
        ("bool = True", "bool = False"),
        ("if b", "if not b"),
    ):
        assert run.meaning(SOURCE.replace(old, new)) not in (same, None), new
    assert run.meaning("x = = 1") is None


def test_a_place_is_drawn_once_and_the_same_seed_draws_the_same() -> None:
    ways = [mutation(f"ReplaceBinaryOperator_Add_{to}", 3, 4) for to in ("Sub", "Mul", "Div")]
    places = run.places_of([*ways, mutation("NumberReplacer", 3, 8), mutation("RemoveDecorator", 1)])
    assert [len(some) for some in places.values()] == [3, 1]
    orders = {
        seed: [[way.operator_name for way in some] for some in run.drawn(places, seed)] for seed in range(9)
    }
    again = [[way.operator_name for way in some] for some in run.drawn(places, 4)]
    assert orders[4] == again
    assert len({str(order) for order in orders.values()}) > 1


def test_every_test_named_is_there() -> None:
    root = run.PROJECT
    for room, tests in run.ROOMS.items():
        assert (root / "season_engine" / room).is_dir()
        assert all((root / test).exists() for test in tests)
    for test in run.TOO_SLOW:
        file, _, name = test.partition("::")
        assert f"def {name.partition('[')[0]}(" in (root / file).read_text("utf-8")


def test_a_modules_own_tests_come_first_then_the_quickest() -> None:
    output = """
0.30s setup    tests/windows/test_odds.py::test_b
0.10s call     tests/windows/test_odds.py::test_b
0.20s call     tests/windows/test_looks.py::test_a[1.5s call-x]
0.25s call     tests/test_cut_law.py::test_c
"""
    odds, looks, untimed = (f"tests/windows/test_{name}.py" for name in ("odds", "looks", "told"))
    law = "tests/test_cut_law.py"
    files = run.quickest_first([odds, looks, law, untimed], output)
    assert files == (untimed, looks, law, odds)
    module = Path("season_engine/windows/odds.py")
    assert run.tests_of(module, files) == [odds, untimed, looks, law]
    assert run.tests_of(module.with_name("sizes.py"), files) == list(files)


def test_no_file_of_a_rooms_tests_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(run.PROJECT)
    files = run.files_of(("tests/mutants", "tests/test_moved.py", "tests/nowhere"))
    assert files == ["tests/mutants/test_mutants.py", "tests/test_moved.py"]


def test_the_summary() -> None:
    def result(outcome: str, line: int) -> run.Result:
        return run.Result(outcome, f"season_engine/windows/odds.py:{line}", "a < b", "a <= b", 4.0)

    results = [
        result(outcome, n) for n, outcome in enumerate(("survived", "killed", "import", "timeout", "killed"))
    ]
    told = list(run.summary(results, 10.0))
    counts = "killed 2, killed on import 1, timed out 1, survived 1"
    assert told[0] == f"\n5 changes in 10 s, with 4.0 s of tests each: {counts}"
    assert told[1:3] == ["Score: 80 % caught", "Of those that could be imported: 75 %"]
    assert told[-1] == "season_engine/windows/odds.py:0\n    - a < b\n    + a <= b"
    assert list(run.summary([], 1.0)) == ["Nothing was tried."]
