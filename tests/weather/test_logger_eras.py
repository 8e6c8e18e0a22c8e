"""Dates whose years are counted in another era: the Republic of China's, and Japan's.

That year 1 of the Republic is 1912, of Reiwa 2019, of Heisei 1989 and of Showa 1926 is from memory.
"""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.errors import GrowerError
from season_engine.weather.logger.dates import parts_of
from tests.weather.readings_made import READINGS, read, says, says_days, spelt, spelt_days


def half_days(at: dt.datetime, value: float) -> str:
    half = "上午" if at.hour < 12 else "下午"
    return f"{at.year - 1911}/{at:%m/%d} {half} {at:%I:%M:%S},{value}"


def test_years_of_the_republic_with_half_days() -> None:
    text = "庭院\n列印時間:114/05/01 上午 08:22:17,\n" + spelt("時間,氣溫(℃)", half_days)
    assert says(read(text, "big5"), READINGS)


@pytest.mark.parametrize("form", ["{0}/{1}/{2}", "{0}-{1:02}-{2:02}", "民國{0}年{1}月{2}日"])
def test_days_of_the_republic(form: str) -> None:
    def spell(day: dt.date, low: float, high: float) -> str:
        return f"{form.format(day.year - 1911, day.month, day.day)},{low},{high}"

    assert says_days(read(spelt_days("日期,最低,最高", spell)))


@pytest.mark.parametrize(
    ("text", "year"), [("令和元年5月1日", "2019"), ("平成30/4/1", "2018"), ("昭和64年1月7日", "1989")]
)
def test_eras_of_japan(text: str, year: str) -> None:
    found = parts_of(text)
    assert found is not None and found.parts[0] == year


@pytest.mark.parametrize("text", ["192.168.1.1", "112/12/2013", "12/112/13", "112/12"])
def test_other_numbers_of_three_digits_are_no_years(text: str) -> None:
    assert parts_of(text) is None


def test_a_day_that_is_not_in_the_calendar_is_named_as_it_stands() -> None:
    text = spelt_days("date,tmin,tmax", lambda day, low, high: f"{day.year - 1911}/{day:%m/%d},{low},{high}")
    with pytest.raises(GrowerError, match='"113/02/30" is not a date in the calendar'):
        read(text.replace("113/02/29", "113/02/30"))
