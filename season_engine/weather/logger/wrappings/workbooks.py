"""Sheets of workbooks, .xlsx and .ods, as lines of text: a row is a line, a date as ISO 8601 has it."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from collections.abc import Iterator, Sequence
from xml.etree import ElementTree

from season_engine.errors import GrowerError
from season_engine.weather.logger.layout import reads_as_data
from season_engine.weather.logger.sensors import speaks_of_elsewhere
from season_engine.weather.logger.wrappings.rows_as_text import as_text

Named = tuple[str, bytes]
Rows = list[list[str]]
_FEWEST = 3  # readings in a sheet that holds any
_MOST_COLUMNS = 400
_DATE_STYLES = frozenset(
    [*range(14, 23), *range(27, 37), 45, 46, 47, *range(50, 59)]
)  # ECMA-376, 18.8.30, from memory
_NOT_FORMAT = re.compile(r'"[^"]*"|\\.|\[(?!h|m|s)[^\]]*\]|_.', re.IGNORECASE)
_EPOCH, _EPOCH_1904 = dt.datetime(1899, 12, 30), dt.datetime(1904, 1, 1)
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"


def xlsx_sheets(packed: zipfile.ZipFile, name: str) -> list[Named]:
    """The sheets of an .xlsx that hold readings, each with its name; raises GrowerError."""
    book = _xml(packed, "xl/workbook.xml", name)
    epoch = _EPOCH
    if any(one.get("date1904") in ("1", "true") for one in _all(book, "workbookPr")):
        epoch = _EPOCH_1904
    targets = {
        one.get("Id"): one.get("Target", "") for one in _xml(packed, "xl/_rels/workbook.xml.rels", name)
    }
    shared = _shared(packed, name)
    dated = _dated_styles(packed, name)
    sheets = []
    for sheet in _all(book, "sheet"):
        target = targets.get(sheet.get(_RELATION), "").lstrip("/")
        path = target if target.startswith("xl/") else f"xl/{target}"
        if path in packed.namelist() and "worksheet" in path:
            try:
                rows = _xlsx_rows(_xml(packed, path, name), shared, dated, epoch)
            except (ValueError, OverflowError):
                raise _damaged(name) from None
            sheets.append((sheet.get("name", ""), rows))
    return _with_readings(sheets, name)


def _with_readings(sheets: Sequence[tuple[str, Rows]], name: str) -> list[Named]:
    """Those sheets in which lines read as readings; where none does, the first, of which that is told."""
    held = [(title, rows) for title, rows in sheets if sum(map(reads_as_data, rows)) >= _FEWEST]
    if not held:
        held = [max(sheets, key=lambda one: len(one[1]))] if sheets else []
    if not held:
        raise GrowerError("this workbook has no sheet.", file=name)
    alone = len(held) == 1 and not speaks_of_elsewhere(held[0][0], labelled=False)
    return [(name if alone else f"{name}/{title}", as_text(rows)) for title, rows in held]


def _xml(packed: zipfile.ZipFile, path: str, name: str) -> ElementTree.Element:
    try:
        content = packed.read(path)
        if b"<!ENTITY" in content:
            raise ValueError
        return ElementTree.fromstring(content)
    except (KeyError, ValueError, ElementTree.ParseError):
        raise _damaged(name) from None


def _damaged(name: str) -> GrowerError:
    return GrowerError("this workbook is damaged.", hint="Save it again, or as CSV.", file=name)


def _all(root: ElementTree.Element, tag: str) -> Iterator[ElementTree.Element]:
    return root.iterfind(f".//{{*}}{tag}")


def _shared(packed: zipfile.ZipFile, name: str) -> list[str]:
    """The texts that cells of an .xlsx name by number."""
    if "xl/sharedStrings.xml" not in packed.namelist():
        return []
    return [
        "".join(text.text or "" for text in _all(one, "t"))
        for one in _xml(packed, "xl/sharedStrings.xml", name)
    ]


def _dated_styles(packed: zipfile.ZipFile, name: str) -> set[int]:
    """Which styles of cells show a number as a date or a time."""
    if "xl/styles.xml" not in packed.namelist():
        return set()
    styles = _xml(packed, "xl/styles.xml", name)
    own = {one.get("numFmtId"): one.get("formatCode", "") for one in _all(styles, "numFmt")}
    dated = {
        number
        for number, code in own.items()
        if re.search(r"[dyhs]|mm", _NOT_FORMAT.sub("", code), re.IGNORECASE)
        and "general" not in code.casefold()
    }
    dated |= {str(number) for number in _DATE_STYLES if str(number) not in own}
    formats = next(_all(styles, "cellXfs"), None)
    found = [] if formats is None else [one.get("numFmtId") for one in formats]
    return {at for at, number in enumerate(found) if number in dated}


def _xlsx_rows(
    sheet: ElementTree.Element, shared: Sequence[str], dated: set[int], epoch: dt.datetime
) -> Rows:
    rows: Rows = []
    for row in _all(sheet, "row"):
        number = int(row.get("r") or len(rows) + 1)
        cells: list[str] = []
        for cell in row:
            at = _column(cell.get("r", ""), len(cells))
            if at < _MOST_COLUMNS:
                cells += [""] * (at - len(cells))
                cells.append(_xlsx_cell(cell, shared, dated, epoch))
        if any(cells):
            rows += [[]] * (number - 1 - len(rows))
            rows.append(cells)
    return rows


def _column(place: str, usual: int) -> int:
    """The position from 0 of "C7"."""
    letters = place.rstrip("0123456789")
    at = 0
    for letter in letters:
        at = at * 26 + ord(letter) - 64
    return at - 1 if letters else usual


def _xlsx_cell(cell: ElementTree.Element, shared: Sequence[str], dated: set[int], epoch: dt.datetime) -> str:
    kind = cell.get("t", "n")
    text = "".join(one.text or "" for one in _all(cell, "t" if kind == "inlineStr" else "v"))
    if kind == "s":
        return shared[int(text)] if text.isdigit() and int(text) < len(shared) else ""
    if kind != "n" or not text:
        return text
    number = float(text)
    if not abs(number) < 1e15:
        return text
    if int(cell.get("s", 0)) in dated:
        return moment(number, epoch)
    return f"{round(number, 9):.10g}"  # 4.3 is kept as 4.2999999999999998


def moment(days: float, epoch: dt.datetime) -> str:
    """A workbook's number of days as a date with its time, or as a time of day alone, to the second."""
    seconds = round(days * 86_400)
    if not 0 <= seconds < 100_000 * 86_400:
        return f"{days:.10g}"
    at = epoch + dt.timedelta(seconds=seconds)
    if seconds < 86_400:
        return f"{at:%H:%M:%S}"
    return f"{at:%Y-%m-%d %H:%M:%S}"


def ods_sheets(packed: zipfile.ZipFile, name: str) -> list[Named]:
    """The sheets of an .ods that hold readings, each with its name; raises GrowerError."""
    content = _xml(packed, "content.xml", name)
    return _with_readings([(_own(one, "name"), _ods_rows(one)) for one in _all(content, "table")], name)


def _own(element: ElementTree.Element, attribute: str) -> str:
    return next((text for key, text in element.attrib.items() if key.rpartition("}")[2] == attribute), "")


def _times(element: ElementTree.Element, attribute: str) -> int:
    told = _own(element, attribute)
    return int(told) if told.isdigit() else 1


def _ods_rows(table: ElementTree.Element) -> Rows:
    rows: Rows = []
    blank = 0
    for row in _all(table, "table-row"):
        cells: list[str] = []
        for cell in row:
            times = min(_times(cell, "number-columns-repeated"), _MOST_COLUMNS - len(cells))
            cells += [_ods_cell(cell)] * times
        while cells and not cells[-1]:
            cells.pop()
        times = _times(row, "number-rows-repeated")
        if not cells:
            blank += times
            continue
        rows += [[]] * min(blank, 10_000)
        rows += [cells] * min(times, 10_000)
        blank = 0
    return rows


def _ods_cell(cell: ElementTree.Element) -> str:
    kind = _own(cell, "value-type")
    if kind == "date":
        return _own(cell, "date-value").replace("T", " ")
    if kind == "time" and (
        found := re.fullmatch(r"PT(\d+)H(\d+)M(\d+)(?:\.\d+)?S", _own(cell, "time-value"))
    ):
        return f"{int(found[1]):02d}:{found[2]}:{found[3]}"
    if kind in ("float", "percentage") and (value := _own(cell, "value")):
        return value
    return " ".join("".join(one.itertext()) for one in _all(cell, "p"))
