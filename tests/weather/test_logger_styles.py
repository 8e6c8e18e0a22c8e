"""Habits of loggers, spreadsheets and people: each read for what it says, or refused with what to write."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

import numpy as np
import pytest

from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.weather.logger.clocks import zone_said
from season_engine.weather.logger.form import LinesLeft
from season_engine.weather.logger.reading import record_of
from season_engine.weather.logger.sense import usual_range_c
from tests.weather.readings_made import (
    DAYS,
    READINGS,
    SUMMER_AHEAD,
    YARD,
    Day,
    Reading,
    comma,
    fahrenheit,
    read,
    says,
    says_days,
    spelt,
    spelt_days,
)

SHORT_WEEKDAYS = ("Mo", "Di", "Mi", "Do", "Fr", "Sa", "So")
FRENCH = ["janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août"]
FRENCH += ["septembre", "octobre", "novembre", "décembre"]
GERMAN = ["Jan", "Feb", "März", "Apr", "Mai", "Jun", "Jul", "Aug", "Sept", "Okt", "Nov", "Dez"]
Spell = Callable[[dt.datetime, float], str]
SpellDay = Callable[[dt.date, float, float], str]


def utc(at: dt.datetime) -> dt.datetime:
    return at - SUMMER_AHEAD


def halves_east(at: dt.datetime, words: Sequence[str]) -> str:
    return f"{words[at.hour // 12]}{at.hour % 12}:{at:%M}"


STYLES: dict[str, tuple[str, Spell, str]] = {
    "no header": ("", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c}", "utf-8"),
    "no header, date and time apart": ("", lambda at, c: f"{at:%d.%m.%Y};{at:%H:%M};{comma(c)}", "utf-8"),
    "tenths": ("time;temp (0.1 °C)", lambda at, c: f"{at:%Y-%m-%d %H:%M};{round(c * 10)}", "utf-8"),
    "tenths, German": (
        "Zeit;Temperatur in 1/10 °C",
        lambda at, c: f"{at:%Y-%m-%d %H:%M};{round(c * 10)}",
        "cp1252",
    ),
    "unit behind in": (
        "Zeit;Temperatur in °C;Feuchte in %",
        lambda at, c: f"{at:%d.%m.%Y %H:%M};{comma(c)};6",
        "cp1252",
    ),
    "halves in their column": (
        "Date,Time,AM/PM,Temp C",
        lambda at, c: f"{at:%Y-%m-%d,%I:%M,%p},{c}",
        "utf-8",
    ),
    "hour and minute": (
        "Datum;Stunde;Minute;Temp",
        lambda at, c: f"{at:%d.%m.%Y};{at.hour};{at.minute};{c}",
        "utf-8",
    ),
    "five columns": ("Year,Month,Day,Hour,Min,Tair,RH", lambda at, c: f"{at:%Y,%m,%d,%H,%M},{c},77", "utf-8"),
    "1230": ("YYYY MM DD HHMM   TA", lambda at, c: f"{at:%Y %m %d %H%M} {c:5.1f}", "utf-8"),
    "sep=": ("sep=;\nDate;Temperature (°C)", lambda at, c: f"{at:%d/%m/%Y %H:%M};{comma(c)}", "utf-8"),
    "compact ISO": ("timestamp,temperature", lambda at, c: f"{at:%Y%m%dT%H%M%S},{c}", "utf-8"),
    "compact": ("stamp;T", lambda at, c: f"{at:%Y%m%d%H%M};{c}", "utf-8"),
    "weekdays": (
        "Datum;Temperatur",
        lambda at, c: f"{SHORT_WEEKDAYS[at.weekday()]}, {at:%d.%m.%Y %H:%M};{comma(c)}",
        "utf-8",
    ),
    "time before date": ("When,Temp °C", lambda at, c: f"{at:%H:%M %d/%m/%Y},{c}", "utf-8"),
    "all quoted": (
        '"Date";"Time";"Temp"',
        lambda at, c: f'"{at:%d/%m/%Y}";"{at:%H:%M:%S}";"{comma(c)}"',
        "utf-8",
    ),
    "UTF-16 without mark": ("Time\tOutdoor", lambda at, c: f"{at:%d/%m/%Y %H:%M}\t{c}", "utf-16-le"),
    "bars": (
        "| time | outside °C |\n|------|------|",
        lambda at, c: f"| {at:%Y-%m-%d %H:%M} | {c} |",
        "utf-8",
    ),
    "single blanks": ("date time temp hum", lambda at, c: f"{at:%Y-%m-%d %H:%M} {c} 55", "utf-8"),
    "groups above names": (
        ";Außen;;Innen;\nZeit;Temp;Feuchte;Temp;Feuchte\n;°C;%;°C;%",
        lambda at, c: f"{at:%d.%m.%Y %H:%M};{comma(c)};55;20,0;44",
        "cp1252",
    ),
    "day numbers and shares": (
        "Date;Time;Temp",
        lambda at, c: f"{(at - dt.datetime(1899, 12, 30)).days};{comma5(at)};{comma(c)}",
        "utf-8",
    ),
    "feels like beside": (
        "Time,Outdoor (°C),Feels like (°C),Dew point (°C)",
        lambda at, c: f"{at:%Y-%m-%d %H:%M},{c},{c - 2:.1f},{c - 3:.1f}",
        "utf-8",
    ),
    "extremes of each hour beside": (
        "Time,Temp avg (°C),Temp min (°C),Temp max (°C)",
        lambda at, c: f"{at:%Y-%m-%d %H:%M},{c},{c - 1:.1f},{c + 1:.1f}",
        "utf-8",
    ),
    "a wall, a kitchen, a freezer": (
        "Time;North wall;Kitchen;Freezer",
        lambda at, c: f"{at:%d.%m.%Y %H:%M};{comma(c)};20,0;-18,0",
        "utf-8",
    ),
    "Fahrenheit by cells": (
        "Time,Temperature",
        lambda at, c: f"{at:%m/%d/%Y %I:%M %p},{fahrenheit(c)} °F",
        "utf-8",
    ),
    "Fahrenheit by name": ("Time,TempF", lambda at, c: f"{at:%m/%d/%Y %H:%M},{fahrenheit(c)}", "utf-8"),
    "Japanese": (
        "日時,気温(℃)",
        lambda at, c: f"{at:%Y/%m/%d} {halves_east(at, ('午前', '午後'))},{c}",
        "cp932",
    ),
    "Chinese": ("时间,温度(°C),湿度(%)", lambda at, c: f"{at:%Y年%m月%d日 %H时%M分},{c},50", "gb18030"),
    "Russian": ("Дата;Время;Температура, °\u0421", lambda at, c: f"{at:%d.%m.%Y;%H:%M};{comma(c)}", "cp1251"),
    "Greek": ("Ημερομηνία;Ώρα;Θερμοκρασία (°C)", lambda at, c: f"{at:%d/%m/%Y;%H:%M};{comma(c)}", "cp1253"),
    "Turkish": (
        "Tarih;Saat;S\u0131cakl\u0131k (°C)",
        lambda at, c: f"{at:%d.%m.%Y;%H:%M};{comma(c)}",
        "cp1254",
    ),
    "Polish": (
        "Data;Godzina;Temperatura powietrza [°C];Wilgotność [%]",
        lambda at, c: f"{at:%Y-%m-%d;%H:%M};{comma(c)};50",
        "cp1250",
    ),
    "Hungarian": (
        "Dátum;Idő;Külső hőmérséklet (°C)",
        lambda at, c: f"{at:%Y.%m.%d.;%H:%M};{comma(c)}",
        "cp1250",
    ),
    "zone in the lines above": (
        "Report\nTime zone: UTC\n\nTime,Temp (C)",
        lambda at, c: f"{utc(at):%Y-%m-%d %H:%M},{c}",
        "utf-8",
    ),
    "zone by name": ("Zeit;Außen", lambda at, c: f"{at:%d.%m.%Y %H:%M} MESZ;{comma(c)}", "utf-8"),
    "rows of entities": (
        "entity_id,state,last_changed",
        lambda at, c: (
            f"sensor.outdoor_temperature,{c},{utc(at):%Y-%m-%dT%H:%M:%S}.000Z\n"
            f"sensor.living_room_temperature,21.3,{utc(at):%Y-%m-%dT%H:%M:%S}.500Z\n"
            f"sensor.outdoor_humidity,55,{utc(at):%Y-%m-%dT%H:%M:%S}.700Z"
        ),
        "utf-8",
    ),
    "commas for all": (
        "Zeit,Temp (°C),Feuchte (%)",
        lambda at, c: f"{at:%Y-%m-%d %H:%M},{comma(c)},6{at.hour % 10}",
        "utf-8",
    ),
    "days in headings": (
        "Logger",
        lambda at, c: (
            ("" if at.hour or at.minute else f"Date: {at:%d/%m/%Y}\nTime  Temp\n") + f"{at:%H:%M}  {c:5.1f}"
        ),
        "utf-8",
    ),
}


def comma5(at: dt.datetime) -> str:
    return f"{(at.hour * 60 + at.minute) / 1440:.5f}".replace(".", ",")


@pytest.mark.parametrize("style", STYLES)
def test_readings_of_a_style(style: str) -> None:
    header, spell, encoding = STYLES[style]
    assert says(read(spelt(header, spell).lstrip("\n"), encoding))


DAY_STYLES: dict[str, tuple[str, SpellDay]] = {
    "highest first, German": (
        "Datum;Höchsttemperatur;Tiefsttemperatur",
        lambda day, low, high: f"{day.day}. {GERMAN[day.month - 1]} {day.year};{comma(high)};{comma(low)}",
    ),
    "Italian, short years": (
        "Data;T min;T max;T media",
        lambda day, low, high: f"{day:%d-%m-%y};{comma(low)};{comma(high)};",
    ),
    "Japanese, with quality": (
        "年月日,最高気温(℃),最高気温(℃),最低気温(℃),最低気温(℃)\n,,品質情報,,品質情報",
        lambda day, low, high: f"{day:%Y/%m/%d},{high},8,{low},8",
    ),
    "a station's tenths": (
        "# TN = minimum in 0.1 degrees\n# TX = maximum in 0.1 degrees\n# STN,YYYYMMDD,   TN,   TX",
        lambda day, low, high: f"  260,{day:%Y%m%d},{round(low * 10):5d},{round(high * 10):5d}",
    ),
    "year, month, day": (
        "Year Mo Dy  MaxT  MinT",
        lambda day, low, high: f"{day:%Y %m %d} {high:5.1f} {low:5.1f}",
    ),
    "Fahrenheit": (
        "Date,High °F,Low °F",
        lambda day, low, high: f"{day:%m/%d/%y},{fahrenheit(high)},{fahrenheit(low)}",
    ),
    "groups": (
        ";Air temperature (°C);;Humidity (%);\nDate;Max;Min;Max;Min",
        lambda day, low, high: f"{day:%d.%m.%Y};{comma(high)};{comma(low)};99;50",
    ),
    "indoors beside": (
        "Date,Indoor Min,Indoor Max,Outdoor Min,Outdoor Max",
        lambda day, low, high: f"{day},19,22,{low},{high}",
    ),
    "times of extremes beside": (
        "Date,Tmin,At,Tmax,At",
        lambda day, low, high: f"{day},{low},05:30,{high},15:10",
    ),
    "months in headings": (
        "Relevés du jardin;;",
        lambda day, low, high: (
            ("" if day.day > 1 else f"{FRENCH[day.month - 1].capitalize()} {day.year};;\nJour;Min;Max\n")
            + f"{day.day};{comma(low)};{comma(high)}"
        ),
    ),
    "months in headings, the year in the title": (
        "Wetterbuch 2024",
        lambda day, low, high: (
            ("" if day.day > 1 else f"\n{day:%B}\nTag;Min;Max;Bemerkung\n")
            + f"{day.day}.;{comma(low)};{comma(high)};"
        ),
    ),
    "months in headings, blanks": (
        "Min / max log, kept by hand\n",
        lambda day, low, high: (
            ("" if day.day > 1 else f"\n=== {day:%B %Y} ===\nDay  Min  Max\n")
            + f"{day.day:3d} {low:5.1f} {high:5.1f}"
        ),
    ),
    "years in headings": (
        "Min and max, back garden\nDate    Min   Max",
        lambda day, low, high: (
            ("" if day.timetuple().tm_yday > 1 else f"{day.year}\n") + f"{day:%d %b}  {low:5.1f} {high:5.1f}"
        ),
    ),
    "day numbers": (
        "Datum;Min °C;Max °C",
        lambda day, low, high: f"{(day - dt.date(1899, 12, 30)).days};{comma(low)};{comma(high)}",
    ),
    "no header": ("", lambda day, low, high: f"{day:%d.%m.%Y};{comma(low)};{comma(high)}"),
}


@pytest.mark.parametrize("style", DAY_STYLES)
def test_days_of_a_style(style: str) -> None:
    header, spell = DAY_STYLES[style]
    assert says_days(read(spelt_days(header, spell).lstrip("\n")))


def test_newest_first_and_stored_twice_and_out_of_order() -> None:
    lines = spelt("time,temp °C", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c}").splitlines()
    head, rows = lines[0], lines[1:]
    for others in (rows[::-1], [*rows[300:], *rows[:300]], [row for row in rows for _ in range(2)]):
        assert says(read("\n".join([head, *others])))
    assert left(read("\n".join([head, *rows, *rows[5:9]])), "twice").lines == 4


def left(record: object, kind: str) -> LinesLeft:
    (found,) = (one for one in record.form.left if one.kind == kind)  # type: ignore[attr-defined]
    return found


def test_what_is_no_reading_is_told_by_kind_and_line() -> None:
    rows = spelt("Zeit;Temp (°C);Notiz", lambda at, c: f"{at:%d.%m.%Y %H:%M};{comma(c)};").splitlines()
    rows[10] = rows[10].rpartition(";")[0].rpartition(";")[0] + ";Fehler;Fühler ab"
    rows.insert(100, rows[0])
    rows[200:200] = ["*** Batterie schwach", "Mittel April;8,0;"]
    rows += ["Ende der Daten", "25.04.2025 1"]
    kept = [one for at, one in enumerate(READINGS) if at != 9]
    record = read("\n".join(rows))
    assert says(record, kept)
    assert [(one.kind, one.lines, one.first_line) for one in record.form.left] == [
        ("no value", 1, 11),
        ("header again", 1, 101),
        ("remark", 2, 201),
        ("summary", 1, 202),
        ("cut short", 1, len(rows)),
    ]


def test_a_value_cut_off_at_the_end_is_none() -> None:
    text = spelt("time,temp °C", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c:.2f}").rstrip("\n")
    assert says(read(text))
    cut = read(text[:-1])
    assert says(cut, READINGS[:-1]) and left(cut, "cut short").first_line == len(READINGS) + 1


@pytest.mark.parametrize("code", ["999,9", "-127,0", "85,0", "3276,7", "-40,0"])
def test_codes_of_sensors_are_no_readings(code: str) -> None:
    rows = [(at, comma(c) if place % 50 else code) for place, (at, c) in enumerate(READINGS)]
    text = "Zeit;Temp\n" + "\n".join(f"{at:%d.%m.%Y %H:%M};{cell}" for at, cell in rows)
    assert says(read(text), [one for place, one in enumerate(READINGS) if place % 50])


def refusal(text: str, site: Site = YARD, **how: object) -> str:
    with pytest.raises(GrowerError) as caught:
        read(text, site=site, **how)
    return str(caught.value)


def plain(header: str, cells: str = "{c}", *, ahead: float = 0.0, rows: Sequence[Reading] = READINGS) -> str:
    return spelt(
        header,
        lambda at, c: (
            f"{at + dt.timedelta(hours=ahead):%Y-%m-%d %H:%M}," + cells.format(c=c, f=fahrenheit(c))
        ),
        rows,
    )


def test_fahrenheit_told_by_nothing_but_its_values() -> None:
    text = plain("time,temp", "{f}")
    assert 'Write units = "degF" under [site.weather]' in refusal(text)
    assert says(read(text, units="degF"))


def test_either_unit_is_asked_for_where_fahrenheit_is_usual() -> None:
    ohio = Site("ohio", 40.0, -83.0, 250)
    cold = [(at.replace(month=1), round(c + 4, 1)) for at, c in READINGS]
    assert "may be Celsius or Fahrenheit" in refusal(plain("time,temp", rows=cold), ohio)
    assert says(read(plain("time,temp °C", rows=cold), site=ohio), cold)


def test_units_that_contradict_are_refused() -> None:
    assert 'set units = "degC"' in refusal(plain("time,temp °C"), units="degF")


def test_a_sensor_indoors_is_asked_about() -> None:
    assert "doesn't sound like the air outdoors" in refusal(plain("time,Greenhouse °C"))
    assert says(read(plain("time,Greenhouse °C"), columns={"temp": "Greenhouse °C"}))
    warm = [(at.replace(month=1), 20.0 + c / 10) for at, c in READINGS]
    assert "can't be the air outdoors" in refusal(plain("time,temp °C", rows=warm))


def test_several_sensors_are_asked_about() -> None:
    text = plain("time,CH1(C),CH2(C)", "{c},21.0")
    assert 'columns = { temp = "CH1(C)" }' in refusal(text)
    assert says(read(text, columns={"temp": "CH1(C)"})) and says(read(text, columns={"temp": 2}))
    assert "no column is called" in refusal(text, columns={"temp": "CH3"})
    twins = text.replace("CH1(C),CH2(C)", "T,T")
    assert "columns = { temp = 2 }" in refusal(twins)
    assert says(read(twins, columns={"temp": 2}))


LONG = spelt(
    "node,when,celsius", lambda at, c: f"4,{at:%Y-%m-%d %H:%M},{c}\n7,{at:%Y-%m-%d %H:%M},{c + 7:.1f}"
)


def test_sensors_in_rows_are_asked_about_and_chosen() -> None:
    assert 'sensor = "4"' in refusal(LONG)
    record = read(LONG, sensor="4")
    assert says(record) and (record.form.sensor, record.form.sensors_left) == ("4", ("7",))
    assert 'There are "4" and "7"' in refusal(LONG, sensor="5")


def test_sensors_that_no_header_names_are_not_mixed() -> None:
    hidden = LONG.replace("node", "qx")
    assert 'sensor = "4"' in refusal(hidden)
    apart = spelt(
        "qx,when,celsius",
        lambda at, c: f"a,{at:%Y-%m-%d %H:%M},{c}\nb,{at:%Y-%m-%d %H}:{at.minute + 7},{c + 7:.1f}",
    )
    assert "several sensors" in refusal(apart)
    assert says(read(apart, sensor="a"))


def test_another_clock_is_refused_with_the_line_to_write() -> None:
    far = Site("far", 46.5, -120.5, 370)
    text = plain("time,temp °C", ahead=7)  # summer time there is seven hours behind Greenwich
    assert 'clock = "UTC"' in refusal(text, far)
    record = read(text, site=far, clock="UTC")
    assert record.form.by_the_sun and record.form.clock_from == "settings"


def test_a_zone_of_the_place_leaves_its_clock_alone() -> None:
    record = read(plain("time (UTC+1),temp °C"))
    assert says(record) and (record.form.clock_from, record.form.zone) == ("own", "UTC+1")


def test_day_and_month_are_settled_by_what_follows_on() -> None:
    twelve = [one for one in READINGS if one[0].day <= 12]
    assert says(read(spelt("t,c", lambda at, c: f"{at:%d/%m/%Y %H:%M},{c}", twelve)), twelve)
    assert says(read(spelt("t,c", lambda at, c: f"{at:%m/%d/%y %H:%M},{c}", twelve)), twelve)
    days: list[Day] = [one for one in DAYS if one[0].month == 4 and one[0].day <= 12]
    text = spelt_days("day,min °C,max °C", lambda day, low, high: f"{day:%d/%m/%Y},{low},{high}", days)
    assert "date_format" in refusal(text)
    assert says_days(read(text.replace("day,", "day (dd/mm/yyyy),")), days)
    assert says_days(read(text, date_format="%d/%m/%Y"), days)


def test_a_header_with_other_columns_begins_another_table() -> None:
    rows = plain("time,temp °C,hum %", "{c},50").splitlines()
    other = [row.replace(",", ",21.5,", 1) for row in rows[200:]]
    text = "\n".join([*rows[:200], "time,indoor °C,temp °C,hum %", *other])
    record = read(text)
    assert says(record) and record.form.files == ("yard.csv",)
    assert "line 250" in refusal(text.replace(other[48], other[48].replace(",21.5,", ",21.5,x1")))


def test_several_files_are_one_record() -> None:
    lines = plain("time,temp °C").splitlines()
    first, second = ("\n".join([lines[0], *part]).encode() for part in (lines[1:400], lines[350:]))
    record = record_of([("b.csv", second), ("a.csv", first)], site=YARD)
    assert says(record) and record.form.files == ("a.csv", "b.csv")
    assert left(record, "twice").lines == 50
    wrong = second.replace(b",", b",1", 3)
    with pytest.raises(GrowerError, match=r"for the same time in a\.csv, line 351"):
        record_of([("b.csv", wrong), ("a.csv", first)], site=YARD)


def test_an_hour_that_comes_twice_is_kept_twice_in_files_that_overlap() -> None:
    times = [dt.datetime(2024, 10, 26) + dt.timedelta(minutes=30 * at) for at in range(150)]
    own = [at if at < dt.datetime(2024, 10, 27, 3) else at - dt.timedelta(hours=1) for at in times]
    rows = [f"{at:%Y-%m-%d %H:%M},{at.hour % 7 + place / 100:.2f}" for place, at in enumerate(own)]
    parts = ["\n".join(["time,temp °C", *part]).encode() for part in (rows[:100], rows[20:], rows[::-1])]
    record = record_of([(f"{at}.csv", part) for at, part in enumerate(parts)])
    assert record.seconds is not None and record.seconds.size == len(rows)


def table(rows: Sequence[Reading]) -> str:
    return spelt("Zeit;Temp", lambda at, c: f"{at:%d.%m.%Y %H:%M};{comma(c)}", rows)


INDOORS = [(at + dt.timedelta(minutes=7), round(c + 6, 1)) for at, c in READINGS]


def test_sensors_in_sections_are_told_apart_by_their_headings() -> None:
    text = f"Sensor: Garten\n{table(READINGS)}\nSensor: Küche\n{table(INDOORS)}"
    record = read(text)
    assert says(record) and record.form.sensor == "Sensor: Garten"
    assert "none is clearly the one outdoors" in refusal(text.replace("Garten", "A").replace("Küche", "B"))
    assert "the times begin anew" in refusal(table(READINGS) + table(INDOORS))


def test_files_of_several_sensors_are_not_mixed() -> None:
    files = [("a.csv", table(READINGS).encode()), ("b.csv", table(INDOORS).encode())]
    with pytest.raises(GrowerError, match="covers the same time as"):
        record_of(files, site=YARD)


def test_a_place_indoors_in_the_lines_above_or_the_files_name_is_asked_about() -> None:
    assert "Greenhouse 2" in refusal("Location;Greenhouse 2\n" + table(READINGS))
    assert says(read("Location;Greenhouse 2\n" + table(READINGS), columns={"temp": "Temp"}))
    with pytest.raises(GrowerError, match="the file's name"):
        record_of([("Gewächshaus_April.csv", table(READINGS).encode())], site=YARD)


def test_a_clock_that_lost_the_time_is_told() -> None:
    lost = [(dt.datetime(2000, 1, 1) + dt.timedelta(minutes=30 * at), 5.0) for at in range(9)]
    record = read(table([*READINGS[:300], *lost, *READINGS[300:]]))
    assert says(record) and left(record, "clock lost").lines == 9


def test_a_column_that_is_there_in_both_units_is_read_once() -> None:
    text = spelt("Time,Temp (°C),Temp (°F)", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c},{fahrenheit(c)}")
    assert says(read(text))


def test_blanks_for_a_missing_reading_shift_no_column() -> None:
    kept = [one for place, one in enumerate(READINGS) if place % 60]
    cells = {at: f"{c:7.1f}" for at, c in kept}
    text = spelt(
        "  Date   Time    Tair   RH", lambda at, _: f"{at:%d/%m/%Y %H:%M} {cells.get(at, ' ' * 7)}    66"
    )
    assert says(read(text), kept)


@pytest.mark.parametrize(
    ("told", "zone"),
    [
        ("UTC offset: -5", ("UTC-5", -300)),
        ("Time zone: GMT Standard Time", None),
        ("Time zone: (UTC+01:00) Amsterdam", ("UTC+01:00", 60)),
        ("Clock UTC+9:30 all year", ("UTC+9:30", 570)),
        ("time_utc", ("UTC", 0)),
        ("Time (EST)", ("EST", -300)),
        ("Logger 7", None),
    ],
)
def test_zones_that_are_told(told: str, zone: tuple[str, int] | None) -> None:
    assert zone_said(told) == zone


# Means of a month, from memory
@pytest.mark.parametrize(
    ("site", "month", "mean_c"),
    [
        (Site("hot desert", 29.4, 48.0, 20), 7, 39.0),
        (Site("hot plateau", 35.7, 51.4, 1200), 7, 31.0),
        (Site("cold inland", 62.0, 129.7, 100), 1, -39.0),
        (Site("cold winter", 45.8, 126.6, 140), 1, -19.0),
        (Site("cold current", -12.0, -77.1, 100), 8, 15.5),
        (Site("warm current", 60.4, 5.3, 10), 1, 3.0),
        (Site("fog", 37.7, -122.4, 20), 7, 14.0),
        (Site("south", -54.8, -68.3, 20), 1, 10.0),
    ],
)
def test_no_real_climate_is_refused(site: Site, month: int, mean_c: float) -> None:
    days = np.arange(30) + (dt.date(2025, month, 1) - dt.date(1970, 1, 1)).days
    low_c, high_c = usual_range_c(site, days)
    assert low_c < mean_c < high_c


def test_a_text_with_a_date_in_it_is_no_logger_file() -> None:
    text = "Dear neighbour,\n\n" + "it was cold and then colder\n" * 90 + "2026-04-14,-3.5\n" * 2
    assert "most of its lines are no readings" in refusal(text)
