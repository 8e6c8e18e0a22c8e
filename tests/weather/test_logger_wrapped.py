"""Logger exports that come packed, as JSON, as markup or as a workbook."""

from __future__ import annotations

import datetime as dt
import gzip
import io
import json
import zipfile
from collections.abc import Sequence

import pytest

from season_engine.errors import GrowerError
from season_engine.weather.logger.reading import LoggerRecord, record_of
from tests.weather.readings_made import DAYS, READINGS, YARD, says, says_days, spelt

TEXT = spelt("time,temp", lambda at, value: f"{at},{value}")
EPOCH_1900, EPOCH_1904 = dt.datetime(1899, 12, 30), dt.datetime(1904, 1, 1)


def taken(content: bytes | str, name: str = "yard.csv") -> LoggerRecord:
    return record_of([(name, content.encode() if isinstance(content, str) else content)], site=YARD)


def zipped(**members: str | bytes) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as into:
        for name, content in members.items():
            into.writestr(name if "/" in name else name.replace("__", "/").replace("_dot_", "."), content)
    return packed.getvalue()


def records() -> list[dict[str, object]]:
    return [{"time": at.isoformat(), "temperature": value, "humidity": 80} for at, value in READINGS]


def utc(at: dt.datetime) -> str:
    return f"{at - dt.timedelta(hours=2):%Y-%m-%dT%H:%M:%S}Z"


def test_packed_files_are_unpacked() -> None:
    assert says(taken(gzip.compress(TEXT.encode()), "yard.csv.gz"))
    assert says(taken(zipped(export_dot_csv=TEXT), "mail.zip"))
    assert says(taken(zipped(export_dot_csv_dot_gz=gzip.compress(TEXT.encode())), "mail.zip"))


def test_what_can_not_be_unpacked_is_told() -> None:
    with pytest.raises(GrowerError, match=r"holds .a\.csv. and .b\.csv.*sensor outdoors"):
        taken(zipped(a_dot_csv=TEXT, b_dot_csv=TEXT), "mail.zip")
    for broken in (gzip.compress(TEXT.encode())[:-40], zipped(a_dot_csv=TEXT)[:-30], b"\x1f\x8bxx"):
        with pytest.raises(GrowerError, match="can't be unpacked"):
            taken(broken)
    for content, what in ((b"%PDF-1.7 ", "a PDF"), (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old kind")):
        with pytest.raises(GrowerError, match=what):
            taken(content)


def test_holes_of_a_power_cut_and_marks_of_joined_files() -> None:
    lines = TEXT.splitlines(keepends=True)
    holed = "".join(lines[:100]).encode() + b"\0" * 64 + b"\n" + "".join(lines[100:]).encode() + b"\0" * 300
    assert says(taken(holed))
    with pytest.raises(GrowerError, match="not a text file"):  # within a line a digit may be lost
        taken(
            "".join(lines[:100]).encode() + b"2025-04-05\0\0\0\0 01:00,7.1\n" + "".join(lines[100:]).encode()
        )
    assert says(taken("".join(lines[:300]) + "\ufeff" + lines[0] + "\ufeff" + "".join(lines[300:])))


JSON = {
    "a record a line": "\n".join(map(json.dumps, records())),
    "a list": json.dumps(records()),
    "a list over lines": json.dumps(records(), indent=2),
    "deeper": json.dumps({"device": "Garden", "data": {"readings": records()}}),
    "records of records": json.dumps(
        [{"time": one["time"], "out": {"temperature": one["temperature"]}} for one in records()]
    ),
    "columns": json.dumps(
        {
            "hourly_units": {"time": "iso8601", "temperature": "°C"},
            "hourly": {
                "time": [one["time"] for one in records()],
                "temperature": [one["temperature"] for one in records()],
            },
        }
    ),
    "names beside rows": json.dumps(
        {"columns": ["time", "temp"], "values": [[str(at), value] for at, value in READINGS]}
    ),
    "rows": json.dumps([["time", "temp"], *([str(at), value] for at, value in READINGS)]),
    "by their time": json.dumps({str(at): value for at, value in READINGS}),
    "a sensor's own list": json.dumps(
        [{"sensor": name, "readings": records()} for name in ("outdoor", "greenhouse")]
    ),
    "cut short": "\n".join(map(json.dumps, records())) + '\n{"time": "2025-0',
}


@pytest.mark.parametrize("text", JSON.values(), ids=JSON.keys())
def test_json(text: str) -> None:
    assert says(taken(text, "yard.json"))


def test_json_of_a_home_s_history_says_its_sensor_once() -> None:
    def history(name: str, more: float) -> list[dict[str, str]]:
        first, *rest = ({"state": f"{value + more:.1f}", "last_changed": utc(at)} for at, value in READINGS)
        return [{"entity_id": f"sensor.{name}_temperature"} | first, *rest]

    assert says(taken(json.dumps([history("outdoor", 0), history("kitchen", 9)])))


def test_json_by_the_names_of_sensors_is_told_apart() -> None:
    later = [{"time": str(at + dt.timedelta(minutes=7)), "temperature": value + 9} for at, value in READINGS]
    rows = [{"time": str(at), "temperature": value} for at, value in READINGS]
    assert says(taken(json.dumps({"outdoor": rows, "kitchen": later})))
    with pytest.raises(GrowerError, match="several sensors"):
        taken(json.dumps({"one": rows, "other": later}))


def test_what_only_the_first_record_of_json_reads_is_not_carried_down() -> None:
    first, *rest = records()
    bare = [{"time": one["time"], "humidity": 80} for one in rest]
    assert says(taken(json.dumps([first, *bare])), READINGS[:1])


def test_json_s_unit_and_zone_are_read() -> None:
    rows = [[utc(at).rstrip("Z"), round(value * 1.8 + 32, 1)] for at, value in READINGS]
    record = taken(json.dumps({"unit": "°F", "timezone": "UTC", "columns": ["time", "temp"], "values": rows}))
    assert says(record) and record.form.units == "degF" and record.form.zone == "UTC"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (json.dumps({"a": records(), "b": [{"x": 1, "y": 2}] * 5}), "more than one table"),
        (json.dumps({"name": "yard"}), "no table in it"),
        ('[{"time": "2025-04-03", "temp": 3},\n{"time": ', "no JSON that can be read"),
        ("[" * 5000 + "{", "no JSON"),
    ],
)
def test_json_that_is_no_table_is_refused(text: str, told: str) -> None:
    with pytest.raises(GrowerError, match=told):
        taken(text, "yard.json")


def page(rows: Sequence[Sequence[object]]) -> str:
    lines = "".join("<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>\n" for row in rows)
    head = "<head><title>x</title><style>td {}</style></head>"
    return f"<html>{head}<body><table>\n{lines}</table></body></html>"


def test_a_page_s_table_and_xml() -> None:
    rows = [
        ("Date", "Min &deg;C", "Max &deg;C"),
        *((f"{day:%d.%m.%Y}", low, high) for day, low, high in DAYS),
    ]
    assert says_days(taken(page(rows), "yard.xls"))
    attributes = "".join(f'<r time="{at.isoformat()}" temp="{value}"/>' for at, value in READINGS)
    assert says(taken(f"<?xml version='1.0'?><log>{attributes}</log>"))
    children = "".join(f"<r><time>{at}</time><temp>{value}</temp></r>\n" for at, value in READINGS)
    assert says(taken(f"<log><name>Garden</name><rows>{children}</rows></log>"))
    with pytest.raises(GrowerError, match="no XML that can be read"):
        taken(f"<log><rows>{children}")
    with pytest.raises(GrowerError, match="not a table"):
        taken('<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>')


MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


def xlsx(sheets: dict[str, Sequence[Sequence[object]]], epoch: dt.datetime = EPOCH_1900) -> bytes:
    """A workbook as ECMA-376 (part 1, 18.2 and 18.3; from memory) lays it out, dates in style 1."""
    shared: list[str] = []

    def cell(at: int, number: int, value: object) -> str:
        place = f'r="{chr(65 + at)}{number}"'
        if isinstance(value, dt.datetime):
            return f'<c {place} s="1"><v>{(value - epoch).total_seconds() / 86400!r}</v></c>'
        if isinstance(value, float):
            return f"<c {place}><v>{value + 1e-15!r}</v></c>"
        if value is None:
            return ""
        shared.append(str(value))
        return f'<c {place} t="s"><v>{len(shared) - 1}</v></c>'

    members: dict[str, str | bytes] = {}
    links = names = ""
    for at, (name, rows) in enumerate(sheets.items(), start=1):
        lines = "".join(
            f'<row r="{n}">' + "".join(cell(c, n, value) for c, value in enumerate(row)) + "</row>"
            for n, row in enumerate(rows, start=1)
        )
        members[f"xl__worksheets__sheet{at}_dot_xml"] = (
            f'<worksheet xmlns="{MAIN}"><sheetData>{lines}</sheetData></worksheet>'
        )
        links += f'<Relationship Id="r{at}" Target="worksheets/sheet{at}.xml"/>'
        names += f'<sheet name="{name}" sheetId="{at}" r:id="r{at}"/>'
    mode = ' date1904="1"' if epoch == EPOCH_1904 else ""
    members["xl__workbook_dot_xml"] = (
        f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}"><workbookPr{mode}/><sheets>{names}</sheets></workbook>'
    )
    members["xl/_rels/workbook.xml.rels"] = f"<Relationships>{links}</Relationships>"
    strings = "".join(f"<si><t>{text}</t></si>" for text in shared)
    members["xl__sharedStrings_dot_xml"] = f'<sst xmlns="{MAIN}">{strings}</sst>'
    styles = '<numFmts><numFmt numFmtId="164" formatCode="[$-407]dd/mm/yyyy hh:mm"/></numFmts>'
    styles += '<cellXfs><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs>'
    members["xl__styles_dot_xml"] = f'<styleSheet xmlns="{MAIN}">{styles}</styleSheet>'
    return zipped(**members)


def sheet(rows: Sequence[tuple[dt.datetime, float]] = READINGS) -> list[Sequence[object]]:
    return [("Time", None, "Temp"), *((at, None, value) for at, value in rows)]


@pytest.mark.parametrize("epoch", [EPOCH_1900, EPOCH_1904])
def test_workbooks(epoch: dt.datetime) -> None:
    assert says(taken(xlsx({"Data": sheet(), "Summary": [("Mean", 8.0)]}, epoch), "yard.xlsx"))
    days = [
        ("Date", "Min", "Max"),
        *((dt.datetime.combine(day, dt.time()), low, high) for day, low, high in DAYS),
    ]
    assert says_days(taken(xlsx({"Days": days}, epoch), "yard.xlsx"))
    halves = {"Week 1": sheet(READINGS[:300]), "Week 2": sheet(READINGS[300:])}
    assert says(taken(xlsx(halves, epoch), "yard.xlsx"))


def test_a_workbook_s_sheets_are_looked_at_as_files_are() -> None:
    with pytest.raises(GrowerError, match="doesn't sound like the air outdoors"):
        taken(xlsx({"Greenhouse": sheet()}), "yard.xlsx")
    warm = [(at, value + 5) for at, value in READINGS]
    with pytest.raises(GrowerError, match="for the same time in"):
        taken(xlsx({"Bench": sheet(), "Fence": sheet(warm)}), "yard.xlsx")
    bad = sheet()
    bad[40] = (bad[40][0], None, "4..1")
    with pytest.raises(GrowerError, match=r"line 41.*\"4\.\.1\" is not a number"):  # the sheet's own row
        taken(xlsx({"Data": bad}), "yard.xlsx")
    with pytest.raises(GrowerError, match="workbook is damaged"):
        taken(zipped(xl__workbook_dot_xml="<workbook"), "yard.xlsx")


def test_an_open_document() -> None:
    """As OpenDocument 1.3 (part 3, 19.385 and 9.1; from memory) names cells, repeated ones among them."""
    lines = "".join(
        f'<t:table-row><t:table-cell o:value-type="date" o:date-value="{at.isoformat()}"/>'
        f'<t:table-cell t:number-columns-repeated="2"/><t:table-cell o:value-type="float" o:value="{value}"/>'
        f'<t:table-cell t:number-columns-repeated="1000"/></t:table-row>'
        for at, value in READINGS
    )
    text = (
        '<d xmlns:t="urn:t" xmlns:o="urn:o" xmlns:p="urn:p"><t:table t:name="Sheet1"><t:table-row>'
        "<t:table-cell><p:p>Time</p:p></t:table-cell><t:table-cell t:number-columns-repeated='2'/>"
        f"<t:table-cell><p:p>Temp</p:p></t:table-cell></t:table-row>{lines}"
        '<t:table-row t:number-rows-repeated="1048000"><t:table-cell t:number-columns-repeated="1024"/>'
        "</t:table-row>"
        "</t:table></d>"
    )
    assert says(taken(zipped(content_dot_xml=text), "yard.ods"))
