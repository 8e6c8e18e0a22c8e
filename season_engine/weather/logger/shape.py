"""How a text is laid out as a table: its separator, what stands above, and which lines are readings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from season_engine.weather.logger.date_parts import row_test
from season_engine.weather.logger.head import Head, head_of
from season_engine.weather.logger.headings import Dated, with_dates
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import Layout, Numbered, RowTest, cells_or_none, layout_of, sample
from season_engine.weather.logger.named_files import Told, told_by

_FEW_ROWS = 3  # fewer may be titles with dates in them


@dataclass(frozen=True)
class Shape:
    """A text and how it falls into cells."""

    text: str
    source: Callable[[], str]  # the same text, had again where it is needed
    how: ReadAs
    lines: Numbered  # the first
    layout: Layout
    head: Head | None  # None: no line reads as a reading
    is_row: RowTest
    rows: list[list[str]]  # readings among the first lines


def shape_of(source: Callable[[], str], file: str, how: ReadAs) -> Shape:
    """The shape of a text, with a date on each line where dates stand in headings; raises BrokenCsv."""
    text = source()
    shape = _shape(text, source, how)
    if shape.head is not None and len(shape.rows) >= _FEW_ROWS:
        return shape
    told = told_by(file) if how.year is None else Told(how.year)
    dated = with_dates(text, told)
    if dated is None or _is_unsure(dated, how):
        return shape

    def again() -> str:
        found = with_dates(source(), told)
        return found.text if found else ""

    other = _shape(dated.text, again, how)
    if other.head is not None and dated.column_more:
        other = replace(other, head=replace(other.head, columns_more=1))
    return other if len(other.rows) > len(shape.rows) else shape


def _shape(text: str, source: Callable[[], str], how: ReadAs) -> Shape:
    lines = sample(text)
    is_row = row_test(lines, how)
    layout = layout_of(lines, is_row)
    head = head_of(lines, layout, is_row)
    rows = [] if head is None else _first_rows(lines, layout, head, is_row)
    return Shape(text, source, how, lines, layout, head, is_row, rows)


def _first_rows(lines: Numbered, layout: Layout, head: Head, is_row: RowTest) -> list[list[str]]:
    cells = (cells_or_none(layout, line) for number, line in lines if number > head.below)
    return [row for row in cells if is_row(row)]


def lacks_only_a_year(text: str, file: str) -> bool:
    """Whether a text's lines would have dates if its year were known."""
    dated = with_dates(text, told_by(file))
    if dated is not None:
        return _is_unsure(dated, ReadAs())
    return with_dates(text, Told(2004)) is not None


def _is_unsure(dated: Dated, how: ReadAs) -> bool:
    """Whether a record goes over new year, and only the file's name says a year: its first, or its last."""
    return how.year is None and dated.turned and not dated.told_within
