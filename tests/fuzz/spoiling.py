"""Ways to spoil a good file, drawn from a seeded source: bytes, cells, lines, and values of TOML and JSON."""

from __future__ import annotations

import gzip
import json
import re
import zlib
from collections.abc import Callable
from random import Random
from typing import Any

# What files, sensors, spreadsheets and ill will put where a plain value belongs.
CELLS = (
    *("", " ", "-", "?", "0", "-0", "1", "-1"),
    *("1e1", "1e999", "-1e-999", "nan", "inf", "-inf", "0x10", "1_000"),
    *("9" * 400, "9" * 5_000, "0" * 3_000 + "1", "1" + "." * 50, "3,5"),
    *("3.5.1", "+", "12:00", "99", "100", "-999"),
    *("999999", "1e308", "\N{MINUS SIGN}4", "٣", "½", "²"),
    *("true", "null", "None", "=1+1", "2023-02-30", "2023-13-01"),
    *("0000-00-00", "0001-01-01", "1849-12-31"),
    *("2200-01-01", "9999-12-31", "99999-01-01", "2023-03-15T25:00"),
    *("2023-03-15 06:00+99:00", "2023-W01-1", "20230315"),
    *("15/03/2023", "2023-03-15Z", "24:00", "-2023-01-01"),
    *('"', '""', '"a', 'a"b', '"a\nb"', '"a\r\nb', "\r", "\n"),
    *("\r\n", "\t", ";", ",", ",,,,", "'", "\\", "#", "sep=;"),
    *("\x00", "\x07", "\x1b[31m", "\x85", "\u2028", "\ufeff"),
    *("\u202e", "😀", "e\u0301" * 20, "ﬁ", "İ", "ß", "\x1a"),
    *(" " * 3_000, "_" * 3_000, "a" * 30_000, "x" * 140_000, '"' + "y\n" * 70_000 + '"', "( " * 2_000),
    *("../../../etc/passwd", "/dev/null", "/", ".", "..", "~"),
    *("CON", "<b>", "&amp;", "{x}", "%s", "%n", "{{ 7 }}"),
    *("Acer palmatum", "repotting", "nagano", "m1", "degF"),
    *("logger", "station", "nearest", "demo", "north"),
)
VALUES: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1, 99, 10**9, 10**30, -0.0, 1e308, float("inf"), float("nan"), 0.5),
    *("", "x", "2023-02-30", "9999-12-31T23:59:59"),
    *("0001-01-01", "2026-04-13T06:00:00+14:00", "\x1b[31m", "../x"),
    *([], {}, [[]], [None], {"": None}, [1, 2], {"a": {"b": []}}, "9" * 500, "2023-03-15"),
)
RAW = ("[" * 100_000, "{" * 3_000, "1" * 5_000, "1e99999", "NaN", '"\\ud800"', "[1,]", "// x", "")
TOML = (
    *("[]", "{}", '""', "1e999", "nan"),
    *("-nan", "0x" + "f" * 4_500, "1979-05-27", "07:32:00", "[[1]]", '["", 1]'),
    *("true", "[[]]", "1979-05-27T07:32:00Z", "'''"),
    *('"\\u001b[31m"', "{a = {a = 1}}", "[" * 5_000, "0b1", "-0.0"),
)
SPOT = re.compile(r"(?<==)[^\n]*|(?<=\n)\[[^\n]*")  # a value of TOML, or a table's header

Spoil = Callable[[Random, bytes], bytes]


def spoilt(random: Random, content: bytes, ways: tuple[Spoil, ...]) -> bytes:
    """The content after one to three of these ways."""
    for _ in range(random.choice((1, 1, 1, 2, 3))):
        content = random.choice(ways)(random, content)
    return content


def raw_bytes(random: Random, content: bytes) -> bytes:
    """Bytes changed, lost, doubled or put in, as disks and cables do."""
    at = random.randrange(len(content) + 1)
    end = min(len(content), at + random.choice((1, 1, 2, 10, 200)))
    put = random.choice((b"", random.randbytes(1), content[at:end] * 2, b"\r", b"\x00", b"\xff\xfe"))
    return random.choice((content[:at] + put + content[end:], content[:at], content[at:], put + content))


def line_ways(random: Random, content: bytes) -> bytes:
    """Lines swapped, lost, doubled, emptied or ended otherwise."""
    lines = content.split(b"\n")
    one, other = random.randrange(len(lines)), random.randrange(len(lines))
    way = random.randrange(6)
    if way == 0:
        lines[one], lines[other] = lines[other], lines[one]
    elif way == 1:
        del lines[one]
    elif way == 2:
        lines.insert(one, lines[other])
    elif way == 3:
        half = lines[one][: len(lines[one]) // 2]
        lines[one] = random.choice((b"", b"  ", b",,,,", b"#", lines[one] + b"\r", half))
    return random.choice((b"\r", b"\r\n")).join(lines) if way == 4 else b"\n".join(lines)


def cell(random: Random, content: bytes) -> bytes:
    """One cell of a table replaced, of the header as likely as of all rows together."""
    lines = content.split(b"\n")
    at = 0 if random.random() < 0.2 else random.randrange(len(lines))
    delimiter = max(b",;\t", key=lambda mark: lines[0].count(bytes([mark])))
    cells = lines[at].split(bytes([delimiter]))
    cells[random.randrange(len(cells))] = random.choice(CELLS).encode("utf-8", "surrogatepass")
    lines[at] = bytes([delimiter]).join(cells)
    return b"\n".join(lines)


def other_alphabet(random: Random, content: bytes) -> bytes:
    """The text as another program would save it."""
    text = content.decode("utf-8", "replace")
    return text.encode(random.choice(("utf-16", "utf-16-le", "utf-8-sig", "cp1252", "utf-32")), "replace")


def toml_value(random: Random, content: bytes) -> bytes:
    """One value, or one header of a table, replaced."""
    text = content.decode("utf-8", "replace")
    spots = list(SPOT.finditer(text))
    if not spots:
        return content
    spot = random.choice(spots)
    quoted = json.dumps(random.choice(CELLS))
    put = random.choice((random.choice(TOML), quoted, quoted, random.choice(spots)[0]))
    return (text[: spot.start()] + put + text[spot.end() :]).encode("utf-8", "surrogatepass")


def json_value(random: Random, content: bytes) -> bytes:
    """One value anywhere in a JSON document replaced or lost, or a text that is none put in its place."""
    document = json.loads(content)
    places: list[tuple[Any, Any]] = []

    def walk(node: Any) -> None:
        if isinstance(node, dict | list):
            for key in list(node) if isinstance(node, dict) else range(len(node)):
                places.append((node, key))
                walk(node[key])

    walk(document)
    if not places:
        return content
    node, key = random.choice(places)
    if random.random() < 0.2:
        del node[key]
    else:
        node[key] = random.choice((*VALUES, random.choice(CELLS), "\ue000"))
    put = json.dumps(document).replace('"\\ue000"', random.choice(RAW))
    return put.encode()


def packed(ways: tuple[Spoil, ...]) -> tuple[Spoil, ...]:
    """The same ways inside a gzipped file, and bytes of the packed file itself."""

    def inside(random: Random, content: bytes) -> bytes:
        try:
            plain = gzip.decompress(content)
        except (OSError, EOFError, zlib.error):  # spoilt before
            return raw_bytes(random, content)
        return gzip.compress(random.choice(ways)(random, plain), compresslevel=1)

    return (inside, inside, inside, raw_bytes)


def of_json(random: Random, content: bytes) -> bytes:
    """As `json_value`, or bytes where it is no JSON any more."""
    try:
        return json_value(random, content)
    except (ValueError, RecursionError):
        return raw_bytes(random, content)


TABLE: tuple[Spoil, ...] = (cell, cell, cell, line_ways, raw_bytes, other_alphabet)
SETTINGS: tuple[Spoil, ...] = (toml_value, toml_value, toml_value, line_ways, raw_bytes, other_alphabet)
DOCUMENT: tuple[Spoil, ...] = (of_json, of_json, of_json, raw_bytes)
BINARY: tuple[Spoil, ...] = (raw_bytes,)
