"""The engine's own record: what is kept, what is read back, and what counts as foresight."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from season_engine.verify.own_record import Statement, add_to_record, read_record, said_of
from tests.factories import an_assessment

MONDAY = dt.date(2026, 8, 10)
LATER = dt.date(2030, 1, 1)


def statement(as_of: dt.date = MONDAY, written: dt.date | None = None, **changes) -> Statement:
    one = said_of(an_assessment(as_of=as_of, **changes))
    tree = said_of(an_assessment(as_of=as_of, tree="M1", **changes))
    return Statement(as_of, written or as_of, "ridge", (one, tree))


def keep(file: Path, *statements: Statement) -> None:
    for one in statements:
        add_to_record(file, read_record(file, LATER), [one])


def test_what_was_said_comes_back(tmp_path: Path) -> None:
    file = tmp_path / "reports" / "record.jsonl"
    keep(file, statement())
    record = read_record(file, LATER)
    assert record.statements == (statement(),)
    (window, tree) = record.statements[0].said
    assert (window.tree, tree.tree) == (None, "M1")
    assert window.opens == an_assessment().opens
    assert window.markers["bud_swell"] == dt.date(2026, 8, 14)
    assert record.statements[0].by_key()[tree.key] == tree
    assert not read_record(tmp_path / "none.jsonl", LATER).statements


def test_the_last_report_of_a_day_counts_and_the_first_day_of_a_week(tmp_path: Path) -> None:
    file = tmp_path / "record.jsonl"
    again = statement(chance_open_now=0.3)
    keep(file, statement(), statement(), again, statement(MONDAY + dt.timedelta(days=3)))
    assert len(file.read_text("utf-8").splitlines()) == 2
    assert read_record(file, LATER).statements == (again,)
    keep(file, statement(MONDAY + dt.timedelta(days=7)))
    assert len(read_record(file, LATER).statements) == 2


def test_a_report_made_later_never_stands_in_for_one_of_its_day(tmp_path: Path) -> None:
    file = tmp_path / "record.jsonl"
    later = statement(written=MONDAY + dt.timedelta(days=90), chance_open_now=1.0)
    keep(file, statement(), later)
    record = read_record(file, LATER)
    assert len(record.statements) == 2
    assert record.foreseen("ridge") == (statement(),)
    assert record.previous(MONDAY + dt.timedelta(days=7), "ridge") == statement()


def test_last_week_s_statement(tmp_path: Path) -> None:
    file = tmp_path / "record.jsonl"
    days = [MONDAY + dt.timedelta(days=n) for n in (0, 9, 14)]
    keep(file, *map(statement, days), replace(statement(days[1]), site="valley"))
    record = read_record(file, LATER)
    found = {on: record.previous(on, "ridge") for on in (*days, MONDAY + dt.timedelta(days=70))}
    assert [one and one.as_of for one in found.values()] == [None, days[0], days[1], days[2]]
    assert record.previous(days[2], "elsewhere") is None


def test_nothing_said_after_a_day_is_read(tmp_path: Path) -> None:
    file = tmp_path / "record.jsonl"
    keep(file, statement(), statement(MONDAY + dt.timedelta(days=7)))
    assert read_record(file, MONDAY + dt.timedelta(days=6)).statements == (statement(),)


@pytest.mark.parametrize("cut", [1, 40, 300])
def test_a_torn_line_loses_no_other(tmp_path: Path, cut: int) -> None:
    file = tmp_path / "record.jsonl"
    keep(file, statement(), statement(MONDAY + dt.timedelta(days=7)))
    file.write_bytes(file.read_bytes()[:-cut])
    third = statement(MONDAY + dt.timedelta(days=14))
    keep(file, third)
    record = read_record(file, LATER)
    assert record.torn == (cut > 1)  # only the end of the line was lost
    assert record.statements[0] == statement()
    assert record.statements[-1] == third
    assert len(record.statements) == 3 - record.torn


def test_what_is_no_statement_is_counted(tmp_path: Path) -> None:
    file = tmp_path / "record.jsonl"
    file.write_bytes(
        b'{"as_of": "2026-08-10"}\n[1]\n"x"\n\xff\xfe\n\n{"as_of": 5, "written": 1, "site": 1}\nnull\n'
    )
    assert read_record(file, LATER).torn == 6
