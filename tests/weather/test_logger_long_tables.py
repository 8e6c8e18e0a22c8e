"""Long tables: items one below the other, and readings that came some time after they were taken."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.errors import GrowerError
from tests.weather.readings_made import READINGS, read, says

HALL = [(at + dt.timedelta(seconds=30), round(19 + value / 20, 1)) for at, value in READINGS]
AIR = [(at + dt.timedelta(seconds=55), round(60 - value, 1)) for at, value in READINGS]


def one_by_one(items: dict[str, list[tuple[dt.datetime, float]]]) -> str:
    rows = [f"{name},{at:%Y-%m-%dT%H:%M:%S},{value}" for name, rows in items.items() for at, value in rows]
    return "\n".join(["item,changed,value", *rows]) + "\n"


def test_items_one_after_the_other_are_told_by_their_column() -> None:
    text = one_by_one({"yard_hum": AIR, "yard_temp": READINGS, "hall_temp": HALL})
    assert says(read(text), READINGS)
    text = one_by_one({"a1": HALL, "a2": READINGS})
    with pytest.raises(GrowerError, match=r"a1.*a2.*sensor = "):
        read(text)
    assert says(read(text, sensor="a2"), READINGS)


def delayed(header: str, *, arrives_first: bool = True) -> str:
    """Readings sent in packets of six, each when the last of them is taken."""
    rows = [header]
    for at, (taken, value) in enumerate(READINGS):
        sent = READINGS[min(at // 6 * 6 + 5, len(READINGS) - 1)][0] + dt.timedelta(seconds=23)
        times = [f"{sent:%Y-%m-%d %H:%M:%S}", f"{taken:%Y-%m-%d %H:%M:%S}"]
        rows.append(",".join([*(times if arrives_first else times[::-1]), str(value)]))
    return "\n".join(rows) + "\n"


@pytest.mark.parametrize("header", ["received,time,temp", "one,other,temp", "přijato,čas,teplota"])
def test_a_reading_is_of_when_it_was_taken(header: str) -> None:
    assert says(read(delayed(header)), READINGS)
    swapped = ",".join([*header.split(",")[1::-1], header.split(",")[2]])
    assert says(read(delayed(swapped, arrives_first=False)), READINGS)


def test_times_of_two_zones_are_no_delays() -> None:
    rows = [
        f"{at:%Y-%m-%d %H:%M},{at - dt.timedelta(hours=1):%Y-%m-%d %H:%M},{value}" for at, value in READINGS
    ]
    assert says(read("\n".join(["one,other,temp", *rows])), READINGS)


def test_a_value_is_no_note() -> None:
    rows = [f"{at:%Y-%m-%d %H:%M};venku;{value};°C" for at, value in READINGS]
    assert says(read("\n".join(["čas;kanál;hodnota;jednotka", *rows])), READINGS)
