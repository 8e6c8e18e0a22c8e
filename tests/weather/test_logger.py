"""Logger files as loggers, spreadsheets and growers write them, and what is said when one is wrong."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.errors import GrowerError, InputErrors, WeatherError
from season_engine.site import Site
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.reading import read_logger, record_of
from season_engine.weather.series import DailySeries

JAPAN = Path(__file__).parents[1] / "data" / "japan"


def parsed(
    text: str | bytes,
    *,
    units: Any = None,
    date_format: str | None = None,
    encoding: str = "utf-8",
) -> DailySeries:
    content = text.encode(encoding) if isinstance(text, str) else text
    return record_of([("ridge.csv", content)], ReadAs(units, date_format=date_format)).daily


def refused(text: str | bytes, **options: str) -> GrowerError:
    with pytest.raises(GrowerError) as caught:
        parsed(text, **options)
    return caught.value


def complaint(text: str | bytes, **options: str) -> tuple[int | None, str | None, str]:
    """Line, field and words of the only thing wrong."""
    error = refused(text, **options)
    if isinstance(error, InputErrors):
        (error,) = error.errors
    assert error.file == "ridge.csv"
    return error.line, error.field, f"{error.problem} {error.hint}"


TWO_DAYS = DailySeries(dt.date(2019, 3, 14), np.array([3.1, -0.5]), np.array([8.4, 7.0]))


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("date,tmin,tmax\n2019-03-14,3.1,8.4\n2019-03-15,-0.5,7.0\n", id="plain"),
        pytest.param("date,tmin,tmax\r\n2019-03-14,3.1,8.4\r\n2019-03-15,-0.5,7\r\n", id="windows line ends"),
        pytest.param("date,tmin,tmax\r2019-03-14,3.1,8.4\r2019-03-15,-0.5,7\r", id="old line ends"),
        pytest.param("date,tmin,tmax\n2019-03-14,3.1,8.4\n2019-03-15,-0.5,7", id="no last line end"),
        pytest.param("\ufeffdate,tmin,tmax\n2019-03-14,3.1,8.4\n2019-03-15,-0.5,7\n", id="byte order mark"),
        pytest.param(
            "date;tmin;tmax\n2019-03-14;3,1;8,4\n2019-03-15;-0,5;7\n", id="semicolon, decimal comma"
        ),
        pytest.param("date\ttmin\ttmax\n2019-03-14\t3.1\t8.4\n2019-03-15\t-0.5\t7\n", id="tab"),
        pytest.param(
            "date\ttmin\ttmax\n2019-03-14\t3,1\t8,4\n2019-03-15\t-0,5\t7\n", id="tab, decimal comma"
        ),
        pytest.param('date,tmin,tmax\n2019-03-14,"3,1","8,4"\n2019-03-15,"-0,5",7\n', id="quoted comma"),
        pytest.param(
            '"Date","T min, (°C)","T max, (°C)"\n2019-03-14,3.1,8.4\n2019-03-15,-.5,7.\n', id="quoted"
        ),
        pytest.param(
            "DATE , T_Min [degC] , T_MAX (C)\n2019-03-14, 3.1, 8.4\n2019-03-15, -0.5, 7\n", id="spaces"
        ),
        pytest.param("day,tmin_c,tmax_c\n2019-03-14,3.1,8.4\n2019-03-15,-0.5,7\n", id="unit by underscore"),
        pytest.param("Datum,min,max\n14.03.2019,3.1,8.4\n15.03.2019,-0.5,7\n", id="day.month.year"),
        pytest.param("date,high,low\n3/14/2019,8.4,3.1\n3/15/2019,7,-0.5\n", id="month/day/year, max first"),
        pytest.param("date,tmin,tmax\n14-3-2019,3.1,8.4\n15-3-2019,-0.5,7\n", id="day-month-year"),
        pytest.param("date,tmin,tmax\n2019/3/14,3.1,8.4\n20190315,-0.5,7\n", id="other year-first dates"),
        pytest.param(
            "date,tmin,tmax\n2019-03-14 09:00,3.1,8.4\n2019-03-15 09:00,-0.5,7\n", id="read at nine"
        ),
        pytest.param(
            "id,date,rain,minimum temperature,note,maximum temperature\n"
            "1,2019-03-14,0.2,3.1,hail,8.4\n2,2019-03-15,,-0.5,,7\n",
            id="other columns",
        ),
        pytest.param(
            "# yard\n\nsep=,\ndate,tmin,tmax\n\n2019-03-14,3.1,8.4\n,,\n2019-03-15,-0.5,7\n\n", id="blanks"
        ),
        pytest.param(
            "date,tmin,tmax\n2019-03-14,3.1,8.4,,\n2019-03-15,\u22120.5,+7,\n", id="minus, trailing commas"
        ),
    ],
)
def test_one_file_in_many_spellings(text: str) -> None:
    series = parsed(text)
    assert series.first_day == TWO_DAYS.first_day
    assert series.tmin_c.tolist() == TWO_DAYS.tmin_c.tolist()
    assert series.tmax_c.tolist() == TWO_DAYS.tmax_c.tolist()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_alphabets(encoding: str) -> None:
    series = parsed("date,Tmin (°C),Tmax (°C)\n2019-03-14,3.1,8.4\n", encoding=encoding)
    assert (series.tmin_c[0], series.tmax_c[0]) == (3.1, 8.4)


@pytest.mark.parametrize(
    "code",
    ["", " ", "NA", "n/a", "NaN", "null", "-", "--", "-999", "999", "-999.9", "-9999", "9999", "-99.9"],
)
def test_codes_for_a_missing_reading(code: str) -> None:
    series = parsed(f"date,tmin,tmax\n2019-03-14,{code},8.4\n2019-03-15,1,2\n")
    assert np.isnan(series.tmin_c[0])
    assert series.tmax_c[0] == 8.4


def test_days_without_a_line_are_missing() -> None:
    series = parsed("date,tmin,tmax\n2020-02-27,1,5\n2020-03-01,2,6\n")
    np.testing.assert_array_equal(series.tmin_c, [1.0, np.nan, np.nan, 2.0])  # 28 and 29 February


def test_fahrenheit() -> None:
    series = parsed("date,tmin (°F),tmax (°F)\n2019-03-14,32,212e0\n".replace("212e0", "86"), units="degF")
    assert (series.tmin_c[0], series.tmax_c[0]) == (0.0, 30.0)


def test_date_format_settles_what_the_dates_leave_open() -> None:
    text = "date,tmin,tmax\n03/04/2019,1,5\n04/04/2019,2,6\n"
    line, field, words = complaint(text)
    assert (line, field) == (2, "date")
    assert "03/04/2019" in words and "date_format" in words
    assert parsed(text, date_format="%d/%m/%Y").first_day == dt.date(2019, 4, 3)
    months = "date,tmin,tmax\n03/04/2019,1,5\n04/04/2019,2,6\n"
    assert parsed(months, date_format="%m/%d/%Y").first_day == dt.date(2019, 3, 4)
    assert len(parsed(months, date_format="%m/%d/%Y")) == 32
    words_and_years = "date,tmin,tmax\n3 Apr 19,1,5\n4 Apr 19,2,6\n"
    assert parsed(words_and_years, date_format="%d %b %y").first_day == dt.date(2019, 4, 3)


def test_one_late_date_settles_day_or_month_for_the_whole_file() -> None:
    days = "".join(f"{day:02d}/04/2019,1,5\n" for day in range(1, 14))
    assert parsed("date,tmin,tmax\n" + days).first_day == dt.date(2019, 4, 1)


@pytest.mark.parametrize(
    ("text", "line", "field", "words"),
    [
        ("date,tmin,tmax\n2019-03-14,3.1,8.4\n2019-03-15,1O.5,7\n", 3, "tmin", '"1O.5" is not a number'),
        ("date,tmin,tmax\n2019-03-14,3.1,1_0\n", 2, "tmax", "not a number"),
        ("date,tmin,tmax\n2019-03-14,1e1,8\n", 2, "tmin", "not a number"),
        ("date,tmin,tmax\n2019-03-14,3.1.2,8\n", 2, "tmin", "not a number"),
        ("date,tmin,tmax\n2019-03-14,9.1,8.4\n", 2, "tmin", "above the highest"),
        ("date,tmin,tmax\n2019-03-14,-90.1,8.4\n", 2, "tmin", "not possible"),
        ("date,tmin,tmax\n2019-03-14,1,60.1\n", 2, "tmax", "not possible"),
        (
            "date,tmin,tmax\n2019-03-14,1,2\n2019-03-15,1,2\n2019-03-14,1,3\n",
            4,
            "date",
            "twice, first on line 2",
        ),
        ("date,tmin,tmax\n2019-03-14,1,2\n2019-03-14,0,2\n", 3, "date", "twice, first on line 2"),
        ("date,tmin,tmax\n2019-02-29,1,2\n", 2, "date", "not a date in the calendar"),
        ("date,tmin,tmax\n2019-13-01,1,2\n", 2, "date", "not a date in the calendar"),
        ("date,tmin,tmax\n0019-03-01,1,2\n", 2, "date", "outside the years 1850 to 2199"),
        ("date,tmin,tmax\n14/03/19,1,2\n", 2, "date", "date_format"),
        ("date,tmin,tmax\ntoday,1,2\n", 2, "date", "not a date"),
        ("date,tmin,tmax\n,1,2\n", 2, "date", "no date"),
        ("date,tmin,tmax\n13/03/2019,1,2\n03/14/2019,1,2\n", 3, "date", "(line 2)"),
        ("date,tmin,tmax\n2019-03-14,1\n", 2, None, "2 fields where the header has 3"),
        (
            "date,tmin,tmax\n2019-03-14,3.5,8\n2019-03-15,3.5,8\n2019-03-16,3.5,8.2,4\n",
            4,
            None,
            "decimal comma",
        ),
        ('date,tmin,tmax\n2019-03-14,1,2\n"2019-03-15,1,2\n2019-03-16,1,2\n', 3, None, "quote"),
        ("date,tmin,tmax\n2019-03-14,1," + "9" * 140_000 + "\n", 2, None, "its length"),
        ("date,tmin," + "t" * 140_000 + "\n2019-03-14,1,2\n", 1, None, "its length"),
        ("date,tmin,tmax\n" + "2" * 5_000 + ",1,2\n", 2, "date", "not a date"),
        ("date,tmin,tmax\n9999-12-31,1,2\n", 2, "date", "outside the years 1850 to 2199"),
        ("date,tmin\n2019-03-14,1\n", 1, None, 'no "tmax" column'),
        ("day,humidity\n2019-03-14,1\n", 1, None, 'no "tmin" and no "tmax" column'),
        ("tmin,tmax\n1,2\n", 1, None, 'no "date" column'),
        ("# mine\ndate,min,tmin,tmax\n2019-03-14,1,2,3\n", 2, None, "could both be the tmin column"),
        ("2019-03-14\n", 1, None, "no columns"),
        ("date,tmin,tmax\n", 1, None, "no reading"),
        ("", None, None, "empty"),
        (" \n\n", None, None, "empty"),
        (b"PK\x05\x06\x00sheet", 1, None, "not a text file"),
        ("date,tmin,tmax\n".encode("utf-16") + b"\x00\xd8\x00\xd8" * 9, 2, None, "can't be read"),
        ("date,temp\n2019-03-14,1\n2019-03-15,2\n", None, None, "24 hours apart"),
        ("time,temp\n2019-03-14T00:00Z,1\n", 2, "time", "time zone"),
        ("time,temp\n2019-03-14T00:00:00+13:00,1\n", 2, "time", "time zone"),
        ("time,temp\n2019-03-14 24:01,1\n", 2, "time", "not a time of day"),
        ("time,temp\n2019-03-14 13:00 PM,1\n", 2, "time", "not a time of day"),
        ("time,temp\n2019-03-14 noon:00,1\n", 2, "time", "noon"),
    ],
)
def test_what_is_wrong_is_named(text: str | bytes, line: int | None, field: str | None, words: str) -> None:
    found_line, found_field, found_words = complaint(text)
    assert words in found_words
    assert (found_line, found_field) == (line, field)


def test_a_wrong_date_format_is_named() -> None:
    line, field, words = complaint("date,tmin,tmax\n2019-03-14,1,2\n", date_format="%d/%m/%Y")
    assert (line, field) == (2, "date")
    assert "%d/%m/%Y" in words


def test_every_problem_at_once_and_each_kind_of_many_lines_once() -> None:
    days = [f"2019-03-{day:02d},x1,{day}\n" for day in range(1, 26)]
    error = refused("date,tmin,tmax\n2019-02-28,5,4\n" + "".join(days))
    assert isinstance(error, InputErrors)
    assert [problem.line for problem in error.errors] == [2, 3]
    assert error.errors[1].problem == '"x1" is not a number.'
    assert error.errors[1].hint == "So it is on 24 more lines: 4, 5, 6 and so on."
    assert error.exit_code == 2


def test_wrong_units_are_refused() -> None:
    with pytest.raises(GrowerError, match="degC or degF"):
        parsed("date,tmin,tmax\n2019-03-14,1,2\n", units="K")


def test_no_file_is_missing_weather(tmp_path: Path) -> None:
    with pytest.raises(WeatherError, match=r"gone\.csv: .* does not exist") as caught:
        read_logger(tmp_path / "gone.csv")
    assert caught.value.exit_code == 3
    with pytest.raises(WeatherError, match="can't be read"):
        read_logger(tmp_path)


# Sub-daily files


def readings(
    first: dt.datetime,
    minutes: int,
    count: int,
    temp: Callable[[dt.datetime], float],
    *,
    layout: str = "%Y-%m-%d %H:%M",
) -> str:
    """A file of `count` readings; `temp` gives degC at a time."""
    times = [first + dt.timedelta(minutes=minutes * step) for step in range(count)]
    return "time,temp\n" + "".join(f"{time.strftime(layout)},{temp(time):.1f}\n" for time in times)


def by_hour(time: dt.datetime) -> float:
    """Coldest at 5 in the morning (1 degC on the first), warmest at 15 (day of month + 10)."""
    return {5: float(time.day), 15: time.day + 10.0}.get(time.hour, time.day + 5.0)


MARCH = dt.datetime(2019, 3, 1)


@pytest.mark.parametrize("minutes", [1, 10, 15, 30, 60])
def test_extremes_of_each_calendar_day(minutes: int) -> None:
    series = parsed(readings(MARCH, minutes, 3 * 24 * 60 // minutes, by_hour))
    assert series.first_day == MARCH.date()
    assert series.tmin_c.tolist() == [1.0, 2.0, 3.0]
    assert series.tmax_c.tolist() == [11.0, 12.0, 13.0]


@pytest.mark.parametrize(
    ("layout", "date_format"),
    [
        ("%Y-%m-%dT%H:%M:%S", None),
        ("%Y-%m-%d %H:%M:%S.000", None),
        ("%Y/%m/%d %H:%M", None),
        ("%d.%m.%Y %H:%M", None),
        ("%m/%d/%Y %I:%M:%S %p", None),
        ("%d/%m/%y %H:%M", "%d/%m/%y %H:%M"),
        ("%d %b %Y %I:%M %p", "%d %b %Y %I:%M %p"),
        ("%d %b %Y %H:%M", "%d %b %Y"),
        ("%Y%m%d%H%M", "%Y%m%d%H%M"),
    ],
)
def test_times_in_many_spellings(layout: str, date_format: str | None) -> None:
    text = readings(MARCH, 30, 48 * 31, by_hour, layout=layout)
    series = parsed(text, date_format=date_format)
    plain = parsed(readings(MARCH, 30, 48 * 31, by_hour))
    assert series.first_day == plain.first_day
    np.testing.assert_array_equal(series.tmin_c, plain.tmin_c)
    np.testing.assert_array_equal(series.tmax_c, plain.tmax_c)


def test_date_and_time_in_two_columns() -> None:
    text = readings(MARCH, 60, 48, by_hour, layout="%Y-%m-%d,%H:%M").replace(
        "time,temp", "Date,Time,Temperature °C"
    )
    assert parsed(text).tmax_c.tolist() == [11.0, 12.0]


def test_midnight_written_as_24_belongs_to_the_next_day() -> None:
    rows = [f"2019-03-01 {hour:02d}:00,{5 if hour < 24 else -9}\n" for hour in range(1, 25)]
    rows += [f"2019-03-02 {hour:02d}:00,6\n" for hour in range(1, 24)]
    assert parsed("time,temp\n" + "".join(rows)).tmin_c.tolist() == [5.0, -9.0]


@pytest.mark.parametrize(("hours", "kept"), [(19, False), (20, True)])
def test_a_day_needs_eighty_in_a_hundred_of_its_hours(hours: int, kept: bool) -> None:
    first = readings(MARCH, 60, hours, by_hour)
    second = readings(MARCH + dt.timedelta(days=1), 60, 24, by_hour).removeprefix("time,temp\n")
    series = parsed(first + second)
    assert np.isnan(series.tmin_c[0]) != kept
    assert series.tmin_c[1] == 2.0


def test_readings_marked_missing_do_not_count_as_hours() -> None:
    lines = readings(MARCH, 60, 24, by_hour).splitlines()
    for row in range(1, 6):
        lines[row] = lines[row].split(",")[0] + ",NA"
    assert np.isnan(parsed("\n".join(lines)).tmin_c[0])


def test_clocks_put_back_and_forward() -> None:
    # 27 October 2019: 02:00 and 02:30 come twice; 31 March: no 02:00 to 02:59.
    autumn = readings(dt.datetime(2019, 10, 27), 30, 6, by_hour)
    autumn += readings(dt.datetime(2019, 10, 27, 2), 30, 44, by_hour).removeprefix("time,temp\n")
    assert parsed(autumn).tmin_c.tolist() == [27.0]
    spring = readings(dt.datetime(2019, 3, 31), 60, 2, by_hour)
    spring += readings(dt.datetime(2019, 3, 31, 3), 60, 21, by_hour).removeprefix("time,temp\n")
    assert parsed(spring).tmin_c.tolist() == [31.0]


def test_clocks_are_put_back_once_a_year_at_most() -> None:
    autumn = readings(dt.datetime(2019, 10, 27), 30, 6, by_hour)
    autumn += readings(dt.datetime(2019, 10, 27, 2), 30, 4, lambda _: 3.0).removeprefix("time,temp\n")
    autumn += readings(dt.datetime(2019, 10, 27, 3), 30, 4, lambda _: 2.0).removeprefix("time,temp\n")
    error = refused(autumn)
    assert isinstance(error, InputErrors)
    assert [problem.line for problem in error.errors] == [8, 9, 12, 13]


def test_times_out_of_order_are_put_in_order() -> None:
    lines = readings(MARCH, 60, 48, by_hour).splitlines()
    lines[30], lines[20] = lines[20], lines[30]
    assert parsed("\n".join(lines)).tmax_c.tolist() == [11.0, 12.0]
    newest_first = [lines[0], *reversed(lines[1:])]
    assert parsed("\n".join(newest_first)).tmax_c.tolist() == [11.0, 12.0]


def test_a_real_station() -> None:
    # Source: Japan Meteorological Agency. Nagano's record lacks two daily maxima.
    series = read_logger(JAPAN / "nagano.csv")
    assert (series.first_day, series.last_day) == (dt.date(1976, 1, 1), dt.date(2025, 12, 31))
    assert (series.tmin_c[0], series.tmax_c[0]) == (-7.1, 2.5)  # the file's first line
    assert (int(np.isnan(series.tmin_c).sum()), int(np.isnan(series.tmax_c).sum())) == (0, 2)
    january = series.days.astype("datetime64[M]").astype(int) % 12 == 0
    mean = np.nanmean((series.tmin_c + series.tmax_c)[january]) / 2
    assert -1.5 < mean < 0.5  # Nagano's January mean is just below 0 degC (climate tables, from memory)


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_politely(content: bytes) -> None:
    with contextlib.suppress(GrowerError):
        parsed(content)


@given(
    st.lists(
        st.tuples(
            st.text(st.sampled_from("0123456789-/.T: APM"), max_size=20),
            st.text(st.sampled_from("0123456789-.,eNaF"), max_size=6),
            st.text(st.sampled_from("0123456789-.,"), max_size=6),
        ),
        max_size=4,
    ),
    st.sampled_from(["date;tmin;tmax", "date;time;temp", "time;temp;x"]),
)
def test_any_fields_are_read_or_refused_politely(rows: list[tuple[str, str, str]], header: str) -> None:
    try:
        series = parsed("\n".join([header, *map(";".join, rows)]))
    except GrowerError:
        return
    both = ~(np.isnan(series.tmin_c) | np.isnan(series.tmax_c))
    assert (series.tmin_c[both] <= series.tmax_c[both]).all()


# What a logger writes about itself, and times that name their zone


def test_a_block_above_the_table_is_passed_over() -> None:
    block = (
        "Logger,ridge post\nSerial no.;00123\n\nInterval: 10 min\nMin alarm,Max alarm,-5,35\n\n"
        "Exported 2019-03-16 10:00\n"
    )
    series = parsed(block + "date,tmin,tmax\n2019-03-14,3.1,8.4\n2019-03-15,-0.5,7.0\n")
    assert series.tmin_c.tolist() == TWO_DAYS.tmin_c.tolist()
    line, field, _ = complaint(block + "date,tmin,tmax\n2019-03-14,3.1,8.4\n2019-03-15,3.1.2,7.0\n")
    assert (line, field) == (10, "tmin")


def test_an_endless_block_is_refused_at_its_first_line() -> None:
    line, _, words = complaint("About,this\n" + "more,and more\n" * 700 + "date,tmin,tmax\n2019-03-14,1,2\n")
    assert line == 1
    assert "no columns here" in words


NAGANO_LONGITUDE = 138.19  # its sun is 9 h 12 min 46 s ahead of Greenwich: 13 minutes before its clocks


def zoned(text: str, longitude_deg: float = NAGANO_LONGITUDE) -> DailySeries:
    return record_of([("ridge.csv", text.encode())], site=Site("ridge", 36.66, longitude_deg)).daily


@pytest.mark.parametrize(
    ("layout", "hours_behind"),
    [
        ("%Y-%m-%dT%H:%MZ", 9),
        ("%Y-%m-%d %H:%M UTC", 9),
        ("%Y-%m-%dT%H:%M:%S+09:00", 0),
        ("%Y-%m-%dT%H:%M+0700", 2),
        ("%d.%m.%Y %H:%M GMT+9", 0),
    ],
)
def test_zoned_times_make_days_of_the_yard(layout: str, hours_behind: int) -> None:
    shift = dt.timedelta(hours=hours_behind)
    text = readings(MARCH - shift, 60, 31 * 24, lambda time: by_hour(time + shift), layout=layout)
    series = zoned(text)
    # Midnight by the clock is 13 minutes into the day by the sun: every reading keeps its calendar day.
    assert (series.first_day, len(series)) == (MARCH.date(), 31)
    np.testing.assert_array_equal(series.tmin_c, np.arange(1.0, 32.0))
    np.testing.assert_array_equal(series.tmax_c, np.arange(11.0, 42.0))


def test_a_zone_in_the_header_counts_for_all_times() -> None:
    text = readings(MARCH - dt.timedelta(hours=9), 60, 48, lambda time: by_hour(time + dt.timedelta(hours=9)))
    for header in ("time (UTC)", '"Date Time, GMT+00:00"', "time_utc"):
        series = zoned(text.replace("time,temp", f"{header},temp"))
        assert (series.first_day, series.tmin_c.tolist()) == (MARCH.date(), [1.0, 2.0])
        assert "time zone" in complaint(text.replace("time,temp", f"{header},temp"))[2]


def test_an_hour_that_comes_twice_is_no_riddle_where_times_name_their_zone() -> None:
    # 27 October 2019: summer time (+02:00) ends at 03:00, which is 02:00 again (+01:00).
    start = dt.datetime(2019, 10, 26, 22, 30)  # UTC
    rows = []
    for step in range(50):
        moment = start + dt.timedelta(minutes=30 * step)
        ahead = 2 if moment < dt.datetime(2019, 10, 27, 1) else 1
        rows.append(
            f"{moment + dt.timedelta(hours=ahead):%Y-%m-%dT%H:%M}+0{ahead}:00,{5 if step != 7 else -9}\n"
        )
    texts = [row[:16] for row in rows]
    assert len(set(texts)) == len(texts) - 2  # 02:00 and 02:30 are there twice
    series = zoned("time,temp\n" + "".join(rows), longitude_deg=15.0)
    assert (series.first_day, series.tmin_c[0]) == (dt.date(2019, 10, 26), pytest.approx(np.nan, nan_ok=True))
    assert series.tmin_c[1] == -9.0


def test_some_times_with_a_zone_and_some_without_are_refused() -> None:
    text = "time,temp\n2019-03-14T00:00Z,1\n2019-03-14T01:00,1\n"
    with pytest.raises(GrowerError, match=r"line 3, time: .*names no time zone"):
        zoned(text)


def test_the_day_of_a_daily_file_is_the_one_written() -> None:
    text = "date,tmin,tmax\n2019-03-14T00:00:00+13:00,3.1,8.4\n2019-03-15T00:00:00+13:00,-0.5,7\n"
    for series in (zoned(text), parsed(text)):
        assert (series.first_day, series.tmin_c.tolist()) == (TWO_DAYS.first_day, TWO_DAYS.tmin_c.tolist())


def test_quick_and_careful_reading_agree() -> None:
    """A quoted line end makes rows and lines differ, and every row is then read by itself."""
    text = readings(MARCH, 5, 20 * 288, by_hour).replace("time,temp", "time,temp,note")
    rows = [line + "," if place else line for place, line in enumerate(text.splitlines())]
    plain = parsed("\n".join(rows))
    rows[700] += '"hail\nand wind"'
    rows[1500] += "\n"
    odd = parsed("\n".join(rows))
    np.testing.assert_array_equal(plain.tmin_c, odd.tmin_c)
    np.testing.assert_array_equal(plain.tmax_c, odd.tmax_c)
    rows[3000] = rows[3000].replace(",", ",x", 1)
    assert complaint("\n".join(rows))[0] == 3003


def test_a_sensor_that_is_torn_off_is_a_missing_reading() -> None:
    assert np.isnan(parsed("date,tmin,tmax\n2019-03-14,-127.0,8\n").tmin_c[0])  # a common code (from memory)


def test_dates_without_any_temperature_are_told_as_such() -> None:
    line, _, told = complaint("date,tmin,tmax\n2019-09-04,,\n2019-09-05,,\n")
    assert (line, told.strip()) == (2, "no line has a temperature.")
