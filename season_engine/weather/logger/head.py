"""What stands above a logger's readings: names of columns, units, and what the logger says of itself."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from season_engine.files.foreign_csv import BrokenCsv
from season_engine.weather.logger.cells import DEGREES, is_number
from season_engine.weather.logger.clocks import zone_said
from season_engine.weather.logger.dates import parts_of
from season_engine.weather.logger.grid_lines import hours_across
from season_engine.weather.logger.layout import (
    Layout,
    Numbered,
    RowTest,
    is_rule,
    reads_as_data,
    stamp_kind,
)
from season_engine.weather.logger.legends import meanings
from season_engine.weather.logger.vocabulary import LONGEST_NAME, plain, says, tokens

_UNIT_CELL = re.compile(
    r"[(\[]?\s*(?:(?:0[.,]1|1/10|0[.,]01|1/100)[\s_]*)?(?:(?:deg(?:rees?)?|[°º˚])?\s*[cf]|°|celsius|fahrenheit|%|%\s*r\.?[hf]\.?|m?v|hpa|mbar|k?pa|mm|cm|km/h|m/s|mph|kts?|knots|in|inhg|w/m2|lux|lx"
    r"|dbm?|ppm|h|min|s|時間|dag|tag|day|days|date|utc|local|yyyy|hhmm|hh:mm|count|no|nr|index|volts?|avg|smp|min|max|ts|rn|percent|degree|degrees?|-|—|\s)*\s*[)\]]?"
)
_FRACTION = re.compile(r"^(?:0[.,]1|1/10|0[.,]01|1/100)[\s_]*")
_LONGEST_UNIT = 24
_NEAR = 4  # lines within which the next reading follows
_DATE_PARTS = ("year", "month", "day", "hour", "minute", "second")
_BESIDE = ("time", "hour", "flag", "note", "date")  # what may stand beside a value, under one name with it
_LONGEST_ABOUT = 300  # characters that are looked at of a line about the logger
_ABOUT_CLOCKS = (
    "time zone",
    "timezone",
    "clock",
    "time",
    "tz",
    "zeit",
    "zeitzone",
    "uhr",
    "hora",
    "horario",
    "heure",
    "fuseau",
    "ora",
    "fuso",
    "orario",
    "tijd",
    "tijdzone",
    "tid",
    "tidszon",
    "tidssone",
    "aika",
    "aikavyohyke",
    "cas",
    "czas",
    "strefa",
    "ido",
    "horas",
    "klok",
    "zone",
    "utc",
    "gmt",
    "タイムゾーン",
    "時刻",
    "时区",
    "час",
)
_TENTHS = re.compile(
    r"(?:x\s?10|[*\xd7·]\s?10|(?:1/10|0[.,]1)\s?(?:deg|°|c\b|f\b|grad)|tenths|zehntel|dixiemes?|decimas|decimi|dezimas|tiondel|d[°]?c\b|deci)"
)
# On a line about the table: "TN = minimum in 0.1 degrees", but not how fine the sensor is
_SAID_TENTHS = re.compile(
    r"\b(?:in|en|em|w|v)\s+(?:0[.,]1|1/10)|tenths|zehntel|dixiemes|decimas|decimi|tiondel"
)
_TITLE_TENTHS = re.compile(
    r"^\W*[^\W\d_][^\d]{2,40}[,(\[]\s*(?:0[.,]1|1/10)\s?(?:deg\w*|\xb0)?\s?[cf]?\s*[)\]]?\W*$"
)
_FINENESS = re.compile(r"resol|accura|genau|auflos|preci|exact|step|alarm|interval|schritt")
_HUNDREDTHS = re.compile(
    r"(?:x\s?100|[*\xd7·]\s?100|(?:1/100|0[.,]01)\s?(?:deg|°|c\b|f\b)|hundredths|centi(?:deg|c\b)|m(?:illi)?deg|\b(?:mc|millicelsius)\b)"
)


@dataclass(frozen=True)
class Head:
    """The lines above the readings."""

    names: list[str]  # one a column, "" where there is none
    units: list[str]  # "C", "F", "" or another quantity's, one a column
    line: int | None  # of the names; None: there are none
    text: str = ""  # that line as it stands
    below: int = 0  # lines above the first reading
    about: Numbered = field(default_factory=list)  # what the logger says of itself
    groups: list[str] = field(default_factory=list)  # a line of names above the names, spread over columns
    again: frozenset[tuple[str, ...]] = frozenset()  # rows that are the header, if they come again
    columns_more: int = 0  # columns that stand before the file's own
    below_names: list[str] = field(default_factory=list)  # cells of a line of units, one a column

    def name(self, column: int) -> str:
        """A column's name; "" where it has none."""
        return self.names[column] if column < len(self.names) else ""

    def title(self, column: int) -> str:
        """A column's name with that of its group, as far as it has them."""
        group = self.groups[column] if column < len(self.groups) else ""
        return f"{group} {self.name(column)}".strip()

    def number(self, column: int) -> int:
        """A column's number in the file, from 1."""
        return column + 1 - self.columns_more

    def unit(self, column: int) -> str:
        """A column's unit: "C", "F", "" where it isn't told, or another quantity's."""
        return self.units[column] if column < len(self.units) else ""

    def scale(self, column: int) -> float:
        """What a column's numbers must be divided by: 10 where it, or a line above, speaks of tenths."""
        unit = self.below_names[column] if column < len(self.below_names) else ""
        return scale_of(f"{self.title(column)} {unit}", [line for _, line in self.about])

    @cached_property
    def meanings(self) -> dict[str, str]:
        """What the lines about the logger say of columns, by their names."""
        return meanings([line for _, line in self.about], self.names)

    @property
    def zone(self) -> tuple[str, int, int] | None:
        """A zone that a line about the logger names for its clock: its name, minutes, and line."""
        for number, line in self.about:
            said = plain(line[:_LONGEST_ABOUT])
            if any(re.search(rf"(?<![^\W\d_]){word}(?![^\W\d_])", said) for word in _ABOUT_CLOCKS):
                found = zone_said(line)
                if found and not any(parts_of(word) for word in re.split(r"[\s,;\t\"]+", line) if word):
                    return (*found, number)
        return None

    @property
    def told_unit(self) -> str:
        """The one unit of temperature that the lines about the logger name; "" where none or both."""
        found = {unit for _, line in self.about if (unit := _unit_of_line(line[:_LONGEST_ABOUT]))}
        return found.pop() if len(found) == 1 else ""


def head_of(lines: Numbered, layout: Layout, is_row: RowTest = reads_as_data) -> Head | None:
    """What stands above the first line that reads as data; None where no line does."""
    at = _first_row(lines, layout, is_row)
    if at is None:
        return None
    above = [(number, line) for number, line in lines[:at] if not is_rule(line) and not _is_mark(line)]
    first = lines[at][0]
    width = len(_cells(layout, lines[at][1]))
    again: set[tuple[str, ...]] = set()
    units: list[str] = []
    told: list[str] = []
    while above and _is_units(cells := _header_cells(layout, above[-1][1]), width):
        units = [_unit(cell) for cell in cells]
        told = cells
        again.add(tuple(_cells(layout, above[-1][1])))
        above.pop()
    title = _title_below_names(above, layout, width)
    below = _names_below(above, layout, width)
    again |= {tuple(_cells(layout, above.pop()[1])) for _ in range(bool(below))}
    if not above or not _is_names(cells := _header_cells(layout, above[-1][1]), width):
        return Head([""] * width, units, None, "", first - 1, above, [], frozenset(again), below_names=told)
    number, text = above.pop()
    again.add(tuple(_cells(layout, text)))
    groups = _groups(cells, above, layout, width)
    if groups:
        again.add(tuple(_cells(layout, above.pop()[1])))
    names = below or [cell.strip()[:LONGEST_NAME] for cell in cells]
    named = [name_unit(cell[:LONGEST_NAME]) for cell in cells]
    above += title
    units = [named[at] or (units[at] if at < len(units) else "") for at in range(len(names))]
    return Head(
        names, units, number, text.strip(), first - 1, above, groups, frozenset(again), below_names=told
    )


def _title_below_names(above: Numbered, layout: Layout, width: int) -> Numbered:
    """A heading of one cell between the names of columns and the first row, taken out of the lines above."""
    if len(above) < 2 or sum(bool(cell.strip()) for cell in _cells(layout, above[-1][1])) != 1:
        return []
    return [above.pop()] if _is_names(_header_cells(layout, above[-2][1]), width) else []


def _names_below(above: Numbered, layout: Layout, width: int) -> list[str]:
    """Names of columns of which a second line names some, "max,,min," over ",time,,time"; else none."""
    if len(above) < 2 or layout.separator is None:
        return []
    upper, lower = (_header_cells(layout, line) for _, line in above[-2:])
    if len(upper) != len(lower) or not any(lower) or not _is_names(upper, width):
        return []
    if any(under and (over or not says(under, *_BESIDE)) for over, under in zip(upper, lower, strict=True)):
        return []
    names, last = [], ""
    for over, under in zip(upper, lower, strict=True):
        last = over or last
        names.append(f"{last} {under}".strip()[:LONGEST_NAME] if under else over[:LONGEST_NAME])
    return names


def _first_row(lines: Numbered, layout: Layout, is_row: RowTest) -> int | None:
    """The place of the first reading: not a line that names a span of days, among others that are none."""
    rows = {
        place: len(cells)
        for place, (_, line) in enumerate(lines)
        if is_row(cells := _cells(layout, line)) and not (place < _NEAR and hours_across(cells))
    }
    if not rows:
        return None
    usual = Counter(rows.values()).most_common(1)[0][0]
    for place, width in rows.items():
        following = next((other for other in rows if place < other <= place + _NEAR), None)
        between = lines[place + 1 : following]
        if width == usual or (
            following is not None
            and not any(_is_names(_header_cells(layout, line), usual) for _, line in between)
        ):
            return place
    return min(rows)


def _cells(layout: Layout, line: str) -> list[str]:
    try:
        return layout.cells(line)
    except BrokenCsv:
        return [line]


def _header_cells(layout: Layout, line: str) -> list[str]:
    try:
        return [cell.strip() for cell in layout.header_cells(line)]
    except BrokenCsv:
        return [line]


def _is_mark(line: str) -> bool:
    return line.startswith("sep=")


def _is_units(cells: Sequence[str], width: int) -> bool:
    """Whether a line holds units below names, in several cells or over a column of temperatures."""
    filled = [plain(cell).strip("\"' ") for cell in cells if cell.strip("\"' ")]
    return (
        bool(filled)
        and len(cells) > 1
        and all(len(cell) <= _LONGEST_UNIT and _UNIT_CELL.fullmatch(cell) for cell in filled)
        and any(DEGREES.fullmatch(_FRACTION.sub("", cell.strip("()[] "))) or "%" in cell for cell in filled)
        and len(cells) <= width + 1
    )


def _unit(cell: str) -> str:
    """The unit in a cell of a line of units: "C", "F", "" or as it stands."""
    said = plain(cell).strip("\"'()[] ")
    if not said or said in ("smp", "avg", "-", "date", "ts", "rn", "dag", "tag", "day", "min", "max"):
        return ""
    found = DEGREES.fullmatch(_FRACTION.sub("", said))
    if found:
        return (found[1] or found[2] or "").upper()
    return said


_BRACKETED = re.compile(r"[(\[{]\s*([^()\[\]{}]{1,20})\s*[)\]}]")
_JOINED = re.compile(r"[a-z](C|F)$")  # "TemperatureC"
_BEHIND = re.compile(
    r"(?:[\s_,/\-]|(?<=temp)|(?<=[a-z])(?=[CF]$)|(?=[°℃℉]))(?:in )?"
    r"((?:deg(?:rees?)?|grad|[°º˚])?[\s_.]*(?:c|f|celsius|fahrenheit)|%|m?v|hpa|mm|mbar)\s*$"
)


def name_unit(name: str) -> str:
    """The unit that a column's name tells: "C", "F", another quantity's, or ""."""
    if joined := _JOINED.search(name.strip()):
        return joined[1]
    said = plain(name).replace("x10", "").strip(" _")
    for inside in _BRACKETED.findall(said):
        for part in re.split(r"[,;/]\s+", inside):
            if DEGREES.fullmatch(part.strip()) or re.fullmatch(
                r"(?:1/10|0[.,]1)\s?(?:deg|°)?\s?[cf]", part.strip()
            ):
                return part.strip(" .")[-1].upper() if part.strip()[-1] in "cf" else _unit(part)
            if re.fullmatch(
                r"%|%\s?r\.?[hf]\.?|m?v|k?w|hpa|mbar|k?pa|mm|cm|km/h|m/s|mph|kn|kts?|in|inhg|w/m2|lux|lx|db|dbm|ppm|h|min|volts?",
                part.strip(),
            ):
                return part.strip()
    found = _BEHIND.search(said)
    if found is None:
        spelt = {word[0].upper() for word in tokens(name) if word in ("celsius", "fahrenheit")}
        return spelt.pop() if len(spelt) == 1 else ""
    unit = found[1]
    return (
        unit if unit in ("%", "v", "mv", "hpa", "mm", "mbar") else (_unit(unit) if unit.strip(" _.") else "")
    )


def scale_of(name: str, about: Sequence[str] = ()) -> float:
    """What a column's numbers must be divided by: 10 where its name, or a line about it, says tenths."""
    said = plain(name).replace("_", " ")
    lines = [plain(line) for line in about]
    for text in (said, *filter(_tells_tenths, lines)):
        if _HUNDREDTHS.search(text):
            return 1000.0 if re.search(r"m(?:illi)?deg|\b(?:mc|millicelsius)\b", text) else 100.0
        if _TENTHS.search(text):
            return 10.0
    return 1.0


def _tells_tenths(line: str) -> bool:
    """Whether a line about the table says that its temperatures are in tenths, and not only its rain."""
    if _FINENESS.search(line) or not (_SAID_TENTHS.search(line) or _TITLE_TENTHS.search(line)):
        return False
    return not says(line, "other") or says(line, "temperature", "minimum", "maximum")


def _is_names(cells: Sequence[str], width: int) -> bool:
    """Whether a line holds names of columns: two or more, no reading, about as wide as the readings."""
    filled = [cell for cell in cells if cell.strip("\"' ")]
    if hours_across([cell.strip("\"' ") for cell in cells]):
        return len(cells) <= width + 3
    if len(filled) < 2 or len(cells) > width + 3 or len(filled) * 2 < min(width, 6) - 1:
        return False
    odd = sum(is_number(cell) or stamp_kind(cell) is not None for cell in filled)
    return odd == 0 or (odd * 4 <= len(filled) and says(" ".join(filled), "date", "time", "temperature"))


def _groups(names: Sequence[str], above: Numbered, layout: Layout, width: int) -> list[str]:
    """Names above names ("Inside", "Outside"), each spread to the next, where the names alone are twins."""
    filled = [plain(name) for name in names if name.strip() and not says(name, *_DATE_PARTS)]
    if len(set(filled)) == len(filled) or not above:
        return []
    if layout.separator is None:
        return _groups_by_place(above[-1][1], layout)
    cells = _cells(layout, above[-1][1])
    if sum(bool(cell.strip()) for cell in cells) < 2 or len(cells) > width + 1:
        return []
    spread, last = [], ""
    for cell in cells:
        last = cell.strip() or last
        spread.append(last)
    return spread


def _groups_by_place(line: str, layout: Layout) -> list[str]:
    """The same for columns by place: each has the name that stands over it, or starts to the left of it."""
    words = [(found.start(), found.end(), found[0]) for found in re.finditer(r"\S+(?: \S+)*", line)]
    if len(words) < 2:
        return []
    groups = []
    for start, end in layout.spans:
        over = [(min(end, stop) - max(start, begin), word) for begin, stop, word in words]
        best = max(over)
        left = [word for begin, _, word in words if begin <= end]
        groups.append(best[1] if best[0] > 0 else (left[-1] if left and start >= words[0][0] else ""))
    return groups


def _unit_of_line(line: str) -> str:
    said = plain(line)
    celsius = re.search(r"\btemp\w* in c\b|(?:deg(?:rees?)?|[°º˚])\s?c\b|celsius", said)
    fahrenheit = re.search(r"\btemp\w* in f\b|(?:deg(?:rees?)?|[°º˚])\s?f\b|fahrenheit", said)
    if bool(celsius) == bool(fahrenheit):
        short = re.search(r"(?:units?|einheit|unite|unidad|unita|enhet)\b\W*(c|f)\b", said)
        return short[1].upper() if short and not celsius else ""
    return "C" if celsius else "F"
