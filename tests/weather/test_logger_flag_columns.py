"""Columns of marks in a table without a header, behind both extremes."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from season_engine.weather.logger.flag_columns import flag_columns

FOUND = {"tmin 0": 1, "tmax 0": 3}


def found(lows: list[str], highs: list[str]) -> dict[str, int]:
    """What is taken for marks of extremes in columns 0 and 2."""
    rows = [["1.5", low, "9.5", high] for low, high in zip(lows, highs, strict=True)]
    kinds = SimpleNamespace(head=SimpleNamespace(line=None), texts=lambda at: [row[at] for row in rows])
    return flag_columns(kinds, {"tmin": 0, "tmax": 2}, None)


@pytest.mark.parametrize("mark", ["B", "8", "*"])
def test_marks_that_few_cells_have_are_marks_digits_too(mark: str) -> None:
    assert found([mark, "", "", "", ""], ["", "", "", "", ""]) == FOUND


def test_columns_of_numbers_are_none() -> None:
    assert found(["3", "0", "4", "", ""], ["", "", "", "", ""]) == {}
    assert found(["12", "", "", "", ""], ["", "", "", "", ""]) == {}
    assert found(["remark", "", "", "", ""], ["", "", "", "", ""]) == {}
