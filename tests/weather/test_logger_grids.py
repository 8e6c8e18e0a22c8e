"""Tables with months, days or hours across, and dates that stand once for many lines."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Callable, Sequence

import pytest

from season_engine.errors import GrowerError
from season_engine.weather.logger.reading import record_of
from tests.weather.readings_made import DAYS, READINGS, YARD, Day, comma, read, says, says_days

MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
GERMAN = ["Jan", "Feb", "Mär", "Apr", "Mai", "Jun", "Jul", "Aug", "Sep", "Okt", "Nov", "Dez"]
OF_DAY = {day: (low, high) for day, low, high in DAYS}
YEAR = [one for one in DAYS if one[0].year == 2024]
HOURLY = [one for one in READINGS if one[0].minute == 0]
LOW, HIGH = 0, 1


def point(value: float) -> str:
    return f"{value:.1f}"


def value(year: int, month: int, day: int, which: int, spell: Callable[[float], str] = point) -> str:
    """A day's extreme as it is spelt; "" where there is no such day."""
    if day > calendar.monthrange(year, month)[1] or dt.date(year, month, day) not in OF_DAY:
        return ""
    return spell(OF_DAY[dt.date(year, month, day)][which])


def across(
    year: int,
    which: int,
    mark: str = ",",
    names: Sequence[str] = MONTHS,
    spell: Callable[[float], str] = point,
    more: float = 0.0,
) -> str:
    """Days down and months across, with means and extremes of the months below."""
    lines = [mark.join(["Day", *names])]
    for day in range(1, 32):
        cells = [value(year, month, day, which, lambda c: spell(c + more)) for month in range(1, 13)]
        lines.append(mark.join([str(day), *cells]))
    lines += [mark.join([name, *[spell(5.0)] * 12]) for name in ("Mean", "Max", "Min")]
    return "\n".join(lines) + "\n"


def in_place(text: str) -> str:
    return "\n".join("".join(f"{cell:>7}" for cell in line.split(",")) for line in text.splitlines()) + "\n"


def in_pairs() -> str:
    head = ["2024", *(cell for name in MONTHS for cell in (name, ""))]
    lines = [",".join(head), ",".join(["Day", *["Max", "Min"] * 12])]
    for day in range(1, 32):
        cells = [value(2024, month, day, which) for month in range(1, 13) for which in (HIGH, LOW)]
        lines.append(",".join([str(day), *cells]))
    return "\n".join(lines) + "\n"


def a_month_a_line(first: Callable[[int, str], str], names: Sequence[str]) -> str:
    lines = []
    for month in range(1, 13):
        for name, which in zip(names, (HIGH, LOW), strict=True):
            cells = [value(2024, month, day, which) for day in range(1, 32)]
            lines.append(",".join([first(month, name), *cells]))
    return "\n".join(lines) + "\n"


DAYS_OVER = ",".join(map(str, range(1, 32)))
GRIDS = {
    "titles with the year": (
        f"Maximum temperature 2024 (°C)\n{across(2024, HIGH)}\n"
        f"Minimum temperature 2024 (°C)\n{across(2024, LOW)}"
    ),
    "German, decimal commas": (
        f"Garten;;\nTageshöchstwerte 2024 in °C\n{across(2024, HIGH, ';', GERMAN, comma)}\n"
        f"Tagestiefstwerte 2024 in °C\n{across(2024, LOW, ';', GERMAN, comma)}"
    ),
    "fixed width": (
        f"DAILY MAXIMUM 2024\n\n{in_place(across(2024, HIGH))}\n"
        f"DAILY MINIMUM\n\n{in_place(across(2024, LOW))}"
    ),
    "pairs under each month": "Garden log\n" + in_pairs(),
    "days across, an element a line": (
        f"Year,Month,Element,{DAYS_OVER}\n"
        + a_month_a_line(lambda month, name: f"2024,{month},{name}", ("TMAX", "TMIN"))
    ),
    "days across, a month's name once": (
        f"Garden 2024\nMonth,,{DAYS_OVER}\n"
        + a_month_a_line(lambda month, name: f"{MONTHS[month - 1] * (name == 'Max')},{name}", ("Max", "Min"))
    ),
    "among other quantities and places": (
        f"Year 2024, air and ground\nRainfall mm\n{across(2024, HIGH, more=40)}\nGrass minimum\n"
        f"{across(2024, LOW, more=-3)}\nAir maximum\n{across(2024, HIGH)}\nMean\n{across(2024, LOW)}\n"
        f"Air minimum\n{across(2024, LOW)}"
    ),
}


@pytest.mark.parametrize("name", GRIDS)
def test_months_and_days_across(name: str) -> None:
    record = read(GRIDS[name])
    assert says_days(record, YEAR) and record.form.dates == "grid"


def test_months_in_japanese_and_in_roman_numbers() -> None:
    for names, titles in (
        ([f"{month}月" for month in range(1, 13)], ("令和6年(2024年) 最高気温(℃)", "最低気温(℃)")),
        (
            ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"],
            ("Tmax 2024", "Tmin 2024"),
        ),
    ):
        high, low = (across(2024, which, names=names) for which in (HIGH, LOW))
        assert says_days(read(f"{titles[0]}\n{high}\n{titles[1]}\n{low}"), YEAR)


def test_a_mark_in_a_cell_of_a_grid_is_asked_about() -> None:
    text = f"Max 2024\n{across(2024, HIGH)}Min\n{across(2024, LOW)}".replace("5.1,", "5.1*,", 1)
    assert 'flags = ["", "*"]' in refusal(text)
    assert says_days(read(text, flags=("", "*")), YEAR)


def test_two_years_one_below_the_other() -> None:
    text = "".join(f"{year}\nTmax\n{across(year, HIGH)}Tmin\n{across(year, LOW)}" for year in (2024, 2025))
    assert says_days(read(text))


def test_a_season_goes_on_into_the_next_year() -> None:
    months = [(2024, month) for month in range(7, 13)] + [(2025, 1)]
    lines = ["Season 2024/2025"]
    for which, name in ((HIGH, "Maximum"), (LOW, "Minimum")):
        lines += [name, ",".join(["Day", *(MONTHS[month - 1] for _, month in months)])]
        for day in range(1, 32):
            lines.append(",".join([str(day), *(value(year, month, day, which) for year, month in months)]))
    season = [one for one in DAYS if dt.date(2024, 7, 1) <= one[0] <= dt.date(2025, 1, 31)]
    assert says_days(read("\n".join(lines)), season)


def refusal(text: str, file: str = "yard.csv") -> str:
    with pytest.raises(GrowerError) as caught:
        record_of([(file, text.encode())], site=YARD)
    return str(caught.value)


def test_grids_that_say_too_little_are_refused() -> None:
    assert "lowest temperatures" in refusal(f"2024\n{across(2024, HIGH)}")
    untold = f"Max\n{across(2024, HIGH)}Min\n{across(2024, LOW)}"
    assert "year = 2024" in refusal(untold)
    assert says_days(read(untold, year=2024), YEAR)
    assert says_days(record_of([("garden 2024.csv", untold.encode())], site=YARD), YEAR)
    soil = f"2024\nSoil max\n{across(2024, HIGH)}Soil min\n{across(2024, LOW)}"
    assert "Soil min" in refusal(soil)
    assert says_days(read(soil, columns={"tmin": "Soil min", "tmax": "Soil max"}), YEAR)
    assert "Dew point" in refusal(soil.replace("Soil", "Dew point"))


def test_a_reading_on_a_day_that_is_not_there_is_refused() -> None:
    lines = f"2024\nMax\n{across(2024, HIGH)}Min\n{across(2024, LOW)}".splitlines()
    lines[32] = lines[32].replace("30,", "30,9.9,9.9,", 1)
    assert "month 2 in 2024" in refusal("\n".join(lines))


def hours(
    first: int, name: Callable[[int], str], mark: str = ",", spell: Callable[[float], str] = point
) -> str:
    """A line a day and a column an hour, from 0 or from 1 on, with the day's mean and extremes behind."""
    rows: dict[dt.date, dict[int, float]] = {}
    for at, c in HOURLY:
        start = at - dt.timedelta(hours=first)
        rows.setdefault(start.date(), {})[start.hour + first] = c
    over = range(first, 24 + first)
    lines = [mark.join(["Date", *map(name, over), "Mean", "Max", "Min"])]
    for day, row in rows.items():
        cells = [spell(row[hour]) if hour in row else "" for hour in over]
        lines.append(mark.join([f"{day:%d.%m.%Y}", *cells, spell(6.0), spell(max(row.values())), spell(0.0)]))
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(
    "text",
    [
        "Temp °C\n" + hours(0, lambda hour: f"{hour:02d}"),
        "Temp °C\n" + hours(1, str),
        hours(0, lambda hour: f"{hour}h", ";", comma),
        hours(0, lambda hour: f"{hour:02d}:00"),
        "逐时气温表,,,,\n要素,气温,单位,℃,,\n时制,北京时,,\n,,,\n" + hours(0, lambda hour: f"{hour}时"),
        hours(1, lambda hour: f"H{hour:02d}"),
        "AIR TEMPERATURE (C)\n" + in_place(hours(0, str)).replace("Date", "     Date", 1),
    ],
)
def test_hours_across(text: str) -> None:
    record = read(text)
    assert says(record, HOURLY) and record.form.dates == "grid"


def test_hours_across_in_blocks_of_months() -> None:
    lines = []
    for month, name in ((4, "April"), (5, "May")):
        lines += [f"{name} 2025", ",".join(["Day", *map(str, range(24)), "Mean"])]
        lines += [
            ",".join([str(day), *[f"{month}.{hour}" for hour in range(24)], "5.0"]) for day in range(1, 6)
        ]
        lines.append(",".join(["Mean", *["5.5"] * 24, ""]))
    record = read("\n".join(lines), site=None)
    assert record.seconds is not None and record.seconds.size == 240
    assert any(one.kind == "summary" and one.lines == 2 for one in record.form.left)


def test_hours_across_in_blocks_of_several_quantities() -> None:
    air, damp = (hours(0, str, spell=lambda c, more=more: point(c + more)) for more in (0, 40))  # type: ignore[misc]
    for text in (f"Temperature °C\n{air}\nHumidity %\n{damp}", f"Humidity %\n{damp}\nTemperature °C\n{air}"):
        assert says(read(text), HOURLY)
    assert '"Humidity %" is not the temperature' in refusal(f"Humidity %\n{damp}")


def carried(sign: str) -> str:
    lines = ["Year,Month,Day,Mean,Max,Min"]
    for day, low, high in DAYS:
        told = f"{day.year},{day.month}" if day.day == 1 else f"{sign},{sign}"
        lines += [",,mean,1.0,2.0,-1.0"] if day.day == 1 and len(lines) > 1 else []
        lines.append(f"{told},{day.day},{(low + high) / 2:.1f},{high},{low}")
    return "\n".join(lines)


@pytest.mark.parametrize("sign", ["", '""""', "”", "〃"])
def test_a_month_on_its_first_line_is_carried_down(sign: str) -> None:
    assert says_days(read(carried(sign)))


def test_a_year_on_the_first_line_turns_after_december() -> None:
    lines = [
        f"{2024 if place == 0 else ''},{day.month if day.day == 1 else ''},{day.day},{high},{low}"
        for place, (day, low, high) in enumerate(DAYS)
    ]
    assert says_days(read("\n".join(["Year,Month,Day,Max,Min", *lines])))


def test_a_date_on_the_first_line_of_a_day_is_carried_down() -> None:
    lines = [f"{at:%d/%m/%Y}" * (at.hour + at.minute == 0) + f",{at:%H:%M},{c}" for at, c in READINGS]
    assert says(read("\n".join(["Date,Time,Temp °C", *lines])))


def block(day: dt.date, low: float, high: float) -> str:
    title = f"{day:%B}\nDay;Max;Min;Note\n" if day.day == 1 else ""
    return f"{title}{day.day};{comma(high)};{comma(low)};"


def test_a_table_a_month_with_days_away() -> None:
    """A title and a header over each month, means below, and days with a remark and no reading."""
    lines, kept = ["Max/min thermometer (°C),,,", ",,,"], []
    for day, low, high in YEAR:
        if day.day == 1:
            lines += ["Mean,9.0,2.0,", ",,,", f"{day:%B %Y},,,".upper(), "Day,Max,Min,Remarks"]
        if day.month == 9 and 12 <= day.day <= 20:
            remark = {12: ",,away", 13: '?,?,"the rain, and forgot"'}.get(day.day, ',,""""')
            lines.append(f"{day.day},{remark}")
        else:
            lines.append(f"{day.day},{high},{low},")
            kept.append((day, low, high))
    assert says_days(read("\n".join(lines)), kept)


def test_a_header_above_the_first_heading() -> None:
    rows = "\n".join(f"{day:%B};;\n" * (day.day == 1) + f"{day.day};{low};{high}" for day, low, high in YEAR)
    assert says_days(read(f"Kept by hand 2024;;\nDay;Min;Max\n{rows}"), YEAR)


def test_months_in_headings_without_a_year_ask_for_it() -> None:
    text = "Kept by hand\n" + "\n".join(block(*one) for one in DAYS)
    assert "year = 2024" in refusal(text)
    assert says_days(read(text, year=2024))
    assert says_days(read(text, year=2024, columns={"tmin": 3, "tmax": 2}))
    assert "year = 2024" in refusal(text, "saved 2024-05-06.csv")
    first = "Kept by hand\n" + "\n".join(block(*one) for one in YEAR)
    assert says_days(record_of([("Min Max 2024.csv", first.encode())], site=YARD), YEAR)
    assert "year = 2024" in refusal(text, "Min Max 2024.csv")  # the year of its begin, or of its end?


def test_a_months_sheet_takes_its_month_from_its_name() -> None:
    march: list[Day] = [one for one in DAYS if (one[0].year, one[0].month) == (2024, 3)]
    text = "Day;Max;Min\n" + "\n".join(f"{day.day};{high};{low}" for day, low, high in march)
    for name in ("2024-03.csv", "garden March 2024.csv", "03_2024.csv"):
        assert says_days(record_of([(name, text.encode())], site=YARD), march)
