"""A few kills at random moments; `tests/benchmarks/bench_kills.py` does hundreds."""

from __future__ import annotations

from pathlib import Path

from tests.benchmarks.bench_kills import READERS, kill_rounds


def test_killed_runs_leave_whole_reports_and_one_mail_each(tmp_path: Path) -> None:
    tally = kill_rounds(tmp_path, 1)
    assert tally.wrong == []
    assert tally.kills == 1
    assert tally.once + tally.repeated == len(READERS) * (tally.kills + tally.ended_before)
    assert tally.repeated <= tally.kills  # a stop can fall between one answer and its record only
