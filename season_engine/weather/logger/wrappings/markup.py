"""Tables of pages, which programs save as .xls, and readings in XML."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import Any
from xml.etree import ElementTree

from season_engine.errors import GrowerError
from season_engine.weather.logger.wrappings.json_tables import Found, found_text, gather
from season_engine.weather.logger.wrappings.rows_as_text import as_text

_CHARSET = re.compile(rb"""(?:charset|encoding)\s*=\s*["']?\s*([\w.:-]+)""", re.IGNORECASE)
_SILENT = ("script", "style", "head")
_MOST_SPAN = 100


def markup_text(content: bytes, file: str) -> bytes:
    """The tables of a page, or the readings of an XML text, as lines; raises GrowerError."""
    if not re.search(rb"<Workbook\b", content) and re.search(rb"<(?:table|html)\b", content, re.IGNORECASE):
        page = _Page()
        page.feed(_decoded(content))
        page.close()
        return as_text(page.rows)
    if b"<!ENTITY" in content:
        raise GrowerError("this is not a table.", hint="Export it as CSV.", file=file)
    try:
        root = ElementTree.fromstring(content)  # no entities but XML's own
    except (ElementTree.ParseError, ValueError, LookupError) as error:
        line = getattr(error, "position", (1, 0))[0]
        problem = "from this line on it is no XML that can be read."
        raise GrowerError(problem, hint="Export it again, whole, or as CSV.", file=file, line=line) from None
    if _bare(root.tag) == "Workbook":
        return as_text(_sheet_rows(root))
    found = Found()
    gather({_bare(root.tag): _node(root)}, {}, found, 0)
    return found_text(found, file)


def _decoded(content: bytes) -> str:
    told = _CHARSET.search(content[:2000])
    for alphabet in (told[1].decode("ascii", "replace") if told else "utf-8-sig", "utf-8-sig", "cp1252"):
        try:
            return content.decode(alphabet).removeprefix("\ufeff")
        except (UnicodeDecodeError, LookupError):
            continue
    return content.decode("latin-1")


class _Page(HTMLParser):
    """Rows of a page's tables; a line of text outside them is a row of one cell."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self._row: list[str] | None = None
        self._in_cell = False
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._silent += tag in _SILENT
        if tag == "tr":
            self._end_row()
            self._row = []
        elif tag in ("td", "th") and self._row is not None:
            span = dict(attrs).get("colspan") or "1"
            self._row += [""] * (min(int(span), _MOST_SPAN) if span.isdigit() else 1)
            self._in_cell = True
        elif tag == "br" and self._in_cell and self._row:
            self._row[-1] += " "

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in _SILENT
        if tag in ("td", "th"):
            self._in_cell = False
        elif tag in ("tr", "table"):
            self._end_row()

    def handle_data(self, data: str) -> None:
        if self._silent > 0:
            return
        if self._in_cell and self._row:
            self._row[-1] += data
        elif self._row is None and data.strip():
            self.rows.append([data])

    def _end_row(self) -> None:
        if self._row is not None:
            self.rows.append(self._row)
        self._row, self._in_cell = None, False


def _bare(name: str) -> str:
    """A name without its namespace."""
    return name.rpartition("}")[2]


def _node(element: ElementTree.Element) -> Any:
    """An element as JSON would have it: elements of one name are a list."""
    node: dict[str, Any] = {_bare(name): text for name, text in element.attrib.items()}
    several: dict[str, list[Any]] = {}
    for child in element:
        several.setdefault(_bare(child.tag), []).append(_node(child))
    node |= {name: found[0] if len(found) == 1 else found for name, found in several.items()}
    text = (element.text or "").strip()
    if not node:
        return text
    return node | ({"value": text} if text else {})


def _sheet_rows(root: ElementTree.Element) -> list[list[str]]:
    """The rows of a workbook in XML; a cell may say at which place it stands."""
    rows: list[list[str]] = []
    for row in root.iter():
        if _bare(row.tag) != "Row":
            continue
        cells: list[str] = []
        for cell in row:
            at = next((text for name, text in cell.attrib.items() if _bare(name) == "Index"), "")
            cells += [""] * (min(int(at), _MOST_SPAN) - 1 - len(cells) if at.isdigit() else 0)
            cells.append("".join(cell.itertext()).strip())
        rows.append(cells)
    return rows
