"""Rows of foreign CSV with their lines, one kind of error for what is no table; numbers and years."""

from __future__ import annotations

import csv
import io
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.files.foreign_csv import (
    CHUNK_ROWS,
    LONGEST_LINE,
    BrokenCsv,
    delimiter_of,
    fields_of,
    header_of,
    records_of,
    row_chunks,
    rows_of,
)
from season_engine.files.foreign_values import decimal_number, whole_number, year_served


def one_by_one(text: str, below: int = 0) -> list[tuple[int, list[str]]]:
    return [pair for lines, rows in row_chunks(text, below=below) for pair in zip(lines, rows, strict=True)]


FIELDS = st.text(st.sampled_from('ab ,;"\n\r\t\u2028é'), max_size=5)


@settings(max_examples=50)
@given(st.lists(st.lists(FIELDS, min_size=1, max_size=3), max_size=8), st.sampled_from(["\n", "\r\n", "\r"]))
def test_what_the_standard_library_writes_is_read_back(rows: list[list[str]], end: str) -> None:
    file = io.StringIO(newline="")
    csv.writer(file, lineterminator=end, quoting=csv.QUOTE_ALL).writerows(rows)
    text = file.getvalue()
    assert [row for _, row in rows_of(text)] == rows
    assert one_by_one(text) == list(rows_of(text))


def test_each_row_has_the_line_it_starts_on_in_chunks_as_well() -> None:
    """Quoted lines in the second chunk only, so that the quick way is left in the middle."""
    plain = [f"{number},x\n" for number in range(CHUNK_ROWS + 5)]
    text = "a,b\n" + "".join(plain) + '"one\ntwo",y\n\nlast,z\n'
    assert one_by_one(text, below=1) == list(rows_of(text, below=1))
    assert one_by_one(text)[-3:] == [
        (CHUNK_ROWS + 7, ["one\ntwo", "y"]),
        (CHUNK_ROWS + 9, []),
        (CHUNK_ROWS + 10, ["last", "z"]),
    ]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('a,b\n1,"2\n', 2),
        ('a,b\n1,"2"x\n3,4\n', 2),
        ("a,b\n1," + "9" * LONGEST_LINE + "\n", 2),
        ('a,b\n1,"' + "9\n" * 70_000 + '"\n', 2),  # a cell the standard library refuses
    ],
)
def test_what_is_no_table_is_one_error_with_its_line(text: str, line: int) -> None:
    for read in (rows_of, one_by_one, records_of):
        with pytest.raises(BrokenCsv) as caught:
            list(read(text))
        assert caught.value.line == line
        assert str(caught.value.told("yard.csv")).startswith(f"yard.csv, line {line}: ")


def test_stray_carriage_returns_end_a_line() -> None:
    assert list(rows_of("a,b\r1,2\r\n\r3,4")) == [(1, ["a", "b"]), (2, ["1", "2"]), (3, []), (4, ["3", "4"])]
    assert header_of("a,b\rc") == ["a", "b"]
    with pytest.raises(BrokenCsv):
        fields_of("a,b\rc")


def test_records_are_whole() -> None:
    assert list(records_of("a,b\n1,2,\n\n3,\n")) == [{"a": "1", "b": "2"}, {"a": "3", "b": ""}]
    assert list(records_of("")) == []
    for row in ("1", "1,2,3"):
        with pytest.raises(BrokenCsv, match="where the header has 2"):
            list(records_of(f"a,b\n{row}\n"))


def test_the_delimiter_is_that_of_the_first_line() -> None:
    assert [delimiter_of(text) for text in ("\na;b,c;d\n1,2,3,4", "a\tb", "a", "")] == [";", "\t", ",", ","]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("4", 4.0),
        (" -4.50 ", -4.5),
        ("4,5", 4.5),
        (".5", 0.5),
        ("4.", 4.0),
        ("+1", 1.0),
        ("\N{MINUS SIGN}7", -7.0),
        *[
            (text, None)
            for text in ("", "-", ".", "1e1", "nan", "inf", "0x10", "1_0", "1.2.3", "٣", "9" * 400)
        ],
    ],
)
def test_a_decimal_number(text: str, number: float | None) -> None:
    assert decimal_number(text) == number


def test_exponents_are_for_programs() -> None:
    assert decimal_number("-5.5e-17", exponents=True) == -5.5e-17
    assert [decimal_number(text, exponents=True) for text in ("1e999", "e5", "1e1e1", "1e9999")] == [None] * 4


@given(st.floats(-1e6, 1e6))
def test_what_python_prints_of_a_number_is_read_back(number: float) -> None:
    assert math.isclose(decimal_number(repr(number), exponents=True) or 0.0, number)


def test_a_whole_number() -> None:
    assert [whole_number(text, 0, 99) for text in ("0", "07", "007", "99")] == [0, 7, 7, 99]
    for text in ("", "-1", "100", "1.0", "٣", "²", " 1", "9" * 5_000):
        assert whole_number(text, 0, 99) is None


def test_the_years_that_are_served() -> None:
    assert [year for year in (1, 1849, 1850, 2026, 2199, 2200, 9999) if year_served(year)] == [
        1850,
        2026,
        2199,
    ]
