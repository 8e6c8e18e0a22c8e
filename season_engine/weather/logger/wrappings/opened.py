"""A logger's export as plain text, whatever it is wrapped in: packed, JSON, markup, a workbook."""

from __future__ import annotations

import gzip
import io
import re
import zipfile
from collections.abc import Callable

from season_engine.errors import GrowerError
from season_engine.files.packed import DAMAGED, MOST_BYTES
from season_engine.files.text import listed
from season_engine.weather.logger.wrappings.json_tables import json_text
from season_engine.weather.logger.wrappings.markup import markup_text
from season_engine.weather.logger.wrappings.workbooks import ods_sheets, xlsx_sheets

Named = tuple[str, bytes]  # a file's name, as errors give it, and its bytes
_GZIP, _ZIP, _OLD_WORKBOOK, _PDF = b"\x1f\x8b", b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF"
_DEPTH = 3  # a .csv.gz in a .zip
_SAVE_AS = 'Save it again as "CSV UTF-8", or as .xlsx.'
_BLANK = b" \t\r\n"
_JSON = re.compile(rb"\s*(?:\[\s*[\[{]|\{\s*\")")


def opened(name: str, content: bytes, depth: int = 0) -> list[Named]:
    """The texts in a file, each with its name; a row of a workbook or of a table is a line there.

    A file that is text already is its own. Raises GrowerError for what can't be opened.
    """
    if depth < _DEPTH and content.startswith((_GZIP, _ZIP)):
        unpack = _unzipped if content.startswith(_ZIP) else _unpacked
        try:
            found = unpack(name, content)
        except (OSError, *DAMAGED) as error:
            raise GrowerError(f"this file can't be unpacked: {error}.", file=name) from None
        return [text for one in found for text in (opened(*one, depth + 1) if unpack is _unpacked else [one])]
    if content.startswith((_OLD_WORKBOOK, _PDF)):
        what = "a PDF" if content.startswith(_PDF) else "a workbook of an old kind"
        raise GrowerError(f"this is {what}, not a table.", hint=_SAVE_AS, file=name)
    return [(name, _as_text(name, content))]


def _as_text(name: str, content: bytes) -> bytes:
    start = content[:2000].removeprefix(b"\xef\xbb\xbf").lstrip(_BLANK)
    if _JSON.match(start):
        return json_text(content, name)
    if start[:1] == b"<":
        return markup_text(content, name)
    return content


def _unpacked(name: str, content: bytes) -> list[Named]:
    with gzip.GzipFile(fileobj=io.BytesIO(content)) as packed:
        found = packed.read(MOST_BYTES + 1)
    _check_size(name, len(found))
    return [(name.removesuffix(".gz"), found)]


def _check_size(name: str, size: int) -> None:
    if size > MOST_BYTES:
        raise GrowerError(f"this file has over {MOST_BYTES:,} bytes; no more are read.", file=name)


def _unzipped(name: str, content: bytes) -> list[Named]:
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        names = packed.namelist()
        for one in packed.infolist():
            _check_size(name, one.file_size)
        sheets: Callable[[zipfile.ZipFile, str], list[Named]] | None = None
        if "xl/workbook.xml" in names:
            sheets = xlsx_sheets
        elif "content.xml" in names:
            sheets = ods_sheets
        if sheets is not None:
            return sheets(packed, name)
        inside = [
            one for one in names if not one.endswith("/") and not re.search(r"(?:^|/)(?:\.|__MACOSX)", one)
        ]
        if len(inside) == 1:
            return opened(f"{name}/{inside[0]}", packed.read(inside[0]), 1)
    problem = f"this .zip holds {listed(inside[:6], 'and') or 'no file'}."
    raise GrowerError(problem, hint="Unpack it, and name the file of the sensor outdoors.", file=name)
