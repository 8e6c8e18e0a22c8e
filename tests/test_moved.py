"""The arithmetic of `tests.benchmarks.moved`, on folders made by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.benchmarks import moved

MAPLE = ("nagano", "Acer palmatum", "repotting", "spring", "")


def window(
    opens: str | None, *, verdict: str = "wait", season: str = "2023/24", tree: str | None = None
) -> dict:
    late = {"p10": None, "p50": None, "p90": None}
    judged = {
        "site": "nagano",
        "species": "Acer palmatum",
        "job": "repotting",
        "window": "spring",
        "tree": tree,
    }
    judged |= {"season": season, "verdict": verdict, "today": "no"}
    return judged | {"opens": {"p10": "2024-03-01", "p50": opens, "p90": "2024-04-01"}, "closes": late}


def folder(path: Path, check: dict, report: dict | None = None) -> Path:
    (path / "check").mkdir(parents=True)
    (path / "check" / "maple.json").write_text(json.dumps(check), encoding="utf-8")
    (path / "report.json").write_text(
        json.dumps({"sites": [{"windows": [report or check]}]}), encoding="utf-8"
    )
    return path


def test_the_same_folders(tmp_path: Path) -> None:
    found = moved.between(*(folder(tmp_path / name, window("2024-03-10")) for name in "ab"))
    assert found.identical
    assert (found.same, found.judged, list(found.keys)) == (2, 2, [])
    assert [move.days for move in found.moves["checks"]] == [0, 0, 0]


def test_a_move_over_the_leap_day_and_a_verdict(tmp_path: Path) -> None:
    before = folder(tmp_path / "before", window("2024-02-28"))
    after = folder(tmp_path / "after", window("2024-03-02", verdict="open"), window("2024-02-27"))
    (after / "more.txt").touch()
    found = moved.between(before, after)
    assert found.differ == ["check/maple.json", "report.json"]
    assert (found.only_before, found.only_after) == ([], ["more.txt"])
    middle = {
        kind: [m.days for m in moves if m.date == ("opens", "p50")] for kind, moves in found.moves.items()
    }
    assert middle == {"checks": [3], "reports": [-1]}
    assert +found.changed == {("verdict", "wait -> open"): 1}
    assert found.keys == {"opens": 2, "verdict": 1}
    (first,) = moved.largest(move for moves in found.moves.values() for move in moves)
    assert (first.file, first.window, first.days) == ("check/maple.json", MAPLE, 3)
    told = "\n".join(moved.lines(found, all_files=False))
    assert "+3 days  opens p50  2024-02-28 -> 2024-03-02  nagano, Acer palmatum, repotting, spring" in told


def test_what_is_no_move_of_a_date(tmp_path: Path) -> None:
    before = folder(tmp_path / "before", window("2024-02-28"), window("2024-02-28"))
    after = folder(tmp_path / "after", window(None), window("2025-02-28", season="2024/25"))
    found = moved.between(before, after)
    assert {m.date for m in found.moves["checks"]} == {("opens", "p10"), ("opens", "p90")}
    assert found.moves["reports"] == []
    assert +found.changed == {("opens p50", "a date -> none"): 1, ("season", "2023/24 -> 2024/25"): 1}


def test_distribution() -> None:
    # By hand: the tenths of -4, 0, 0, 2, 7 lie 0.4 and 3.6 steps in.
    assert moved.distribution([7, 0, -4, 2, 0]) == pytest.approx([5, 40, -4, -2.4, 0, 5, 7, 2.6])
    assert moved.distribution([]) == [0]
