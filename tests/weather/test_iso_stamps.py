"""Plain ISO dates read all at once say what the general way says of them, and anything else is left to it."""

from __future__ import annotations

import numpy as np
import pytest

from season_engine.weather.logger import stamps
from season_engine.weather.logger.iso_stamps import iso_midnights, iso_seconds
from season_engine.weather.logger.stamp_rows import Clock, Stamps, Texts
from season_engine.weather.logger.stamps import MixedOrders, read_stamps

HOURS = np.datetime_as_string(np.arange("2024-02-27", "2024-03-03", dtype="datetime64[h]"), unit="s").tolist()
DAYS = np.datetime_as_string(np.arange("1999-12-01", "2000-03-05", dtype="datetime64[D]")).tolist()
FORMS: dict[str, Texts] = {
    "days": {"date": DAYS},
    "newest first": {"date": DAYS[::-1]},
    "seconds": {"stamp": [text.replace("T", " ") for text in HOURS]},
    "minutes": {"stamp": [text[:16] for text in HOURS]},
    "Z": {"stamp": [f"{text}Z" for text in HOURS]},
    "zone": {"stamp": [f"{text[:16]}+09:00" for text in HOURS]},
    "two columns": {"date": [text[:10] for text in HOURS], "clock": [text[11:16] for text in HOURS]},
}
CLOCK = Clock(longitude_deg=138.0)


def _generally(texts: Texts, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Stamps:
    with monkeypatch.context() as patch:
        patch.setattr(stamps, "iso_seconds", lambda _: None)
        patch.setattr(stamps, "iso_midnights", lambda _: None)
        return read_stamps(texts, clock)


@pytest.mark.parametrize("form", FORMS)
def test_they_say_what_the_general_way_says(form: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for clock in (CLOCK, Clock(zone_minutes=60, longitude_deg=138.0)):
        quick, slow = read_stamps(FORMS[form], clock), _generally(FORMS[form], clock, monkeypatch)
        assert (quick.seconds == slow.seconds).all()
        assert (quick.form, quick.order, quick.zoned) == (slow.form, slow.order, slow.zoned)
        assert bool(quick.zones) == bool(slow.zones)


def test_every_form_is_read_all_at_once() -> None:
    for form in ("days", "newest first"):
        assert iso_midnights(FORMS[form]["date"]) is not None
    for form in ("seconds", "minutes", "Z", "zone"):
        assert iso_seconds(FORMS[form]["stamp"]) is not None


@pytest.mark.parametrize("cell", ["2000-02-30", "2000-2-03", "2000/02/03", "", "2000-02-0x", "2000-02-03 "])
def test_one_cell_of_another_form_leaves_all_to_the_general_way(
    cell: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    texts = {"date": [*DAYS[:20], cell, *DAYS[20:]]}
    assert iso_midnights(texts["date"]) is None
    quick, slow = read_stamps(texts, CLOCK), _generally(texts, CLOCK, monkeypatch)
    assert (quick.seconds == slow.seconds).all()
    assert quick.wrong.keys() == slow.wrong.keys()


def test_days_that_may_have_been_changed_about_are_left_to_the_general_way() -> None:
    months_apart = [f"2024-{day:02d}-05" for day in range(1, 13)]  # 1 to 12 May, its months and days swapped
    assert iso_midnights(months_apart) is None
    with pytest.raises(ValueError, match="changed about"):
        read_stamps({"date": months_apart}, CLOCK)


def test_a_date_with_the_day_first_is_left_to_the_general_way() -> None:
    texts = [*DAYS[:20], "03-02-2000", *DAYS[20:]]
    assert iso_midnights(texts) is None
    with pytest.raises(MixedOrders):
        read_stamps({"date": texts}, CLOCK)


def test_stamps_of_two_zones_are_left_to_the_general_way() -> None:
    texts = [f"{text}+01:00" for text in HOURS[:50]] + [f"{text}+02:00" for text in HOURS[50:]]
    assert iso_seconds(texts) is None
    read = read_stamps({"stamp": texts}, CLOCK)
    assert read.seconds[50] - read.seconds[49] == 0  # an hour on, by a clock an hour further ahead
