"""The service's forecast: what is read from its file, and every way in which it may not come."""

from __future__ import annotations

import datetime as dt
import json
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.weather.forecast.days import DayForecast, ForecastDays
from season_engine.weather.forecast.log import load_log, log_file
from season_engine.weather.forecast.service import check_forecast, forecast_url, read_forecast
from season_engine.weather.station.provider import URL_VARIABLE
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import source_text
from season_engine.workspace.settings import ServiceForecast
from tests.weather.asked import forecast_days
from tests.weather.provider import SITE, Provider, forecast_file

ISSUED = dt.datetime(2026, 4, 13, 6, tzinfo=dt.UTC)
NOW = ISSUED + dt.timedelta(minutes=40)
ON = NOW.date()
HOUR, DAY = dt.timedelta(hours=1), dt.timedelta(days=1)
EXTREMES = [(2.0 - day, 14.0 - day / 2) for day in range(11)]
SETTINGS = ServiceForecast(source="service", contact="grower@example.org")


@cache
def body(issued: dt.datetime = ISSUED, longitude: float = SITE.longitude, **options: bool) -> bytes:
    return forecast_file(issued, EXTREMES, longitude=longitude, **options)


def close(got: DayForecast, day: int) -> bool:
    """To the step of ten minutes that the file's extremes were looked for at."""
    low, high = EXTREMES[day]
    return abs(got.tmin_c - low) < 0.11 and abs(got.tmax_c - high) < 0.11


def test_days_have_the_extremes_that_the_file_was_made_from() -> None:
    issue = read_forecast(body(), SITE.longitude)
    assert issue.issued == ISSUED
    assert [day.date for day in issue.days][:9] == [
        ON + (n + 1) * DAY for n in range(9)
    ]  # today is half over
    assert all(close(got, place) for place, got in enumerate(issue.days[:9], start=1))


@pytest.mark.parametrize("longitude", [-150.0, -30.0, 11.5, 150.0])
def test_days_go_by_the_sun(longitude: float) -> None:
    """A span of six hours that crosses midnight counts towards the day that holds its middle."""
    issue = read_forecast(body(longitude=longitude), longitude)
    first = (ISSUED + dt.timedelta(minutes=4 * longitude)).date()
    assert len(issue.days) >= 8
    for day in issue.days[:8]:
        low, high = EXTREMES[(day.date - first).days]
        assert day.tmin_c == pytest.approx(low, abs=0.3)
        assert day.tmax_c == pytest.approx(high, abs=0.3)


def test_hours_are_read_as_meteostat_reads_them() -> None:
    """Against the library's own reader of this file, where its steps are hours."""
    from meteostat.providers.metno.forecast import map_data

    content = body()
    rows = map(map_data, json.loads(content)["properties"]["timeseries"])
    temps: dict[dt.date, list[float]] = {}
    for row in list(rows)[:60]:
        sun = dt.datetime.fromisoformat(row["time"]) + dt.timedelta(minutes=4 * SITE.longitude)
        temps.setdefault(sun.date(), []).append(row["temp"])
    tomorrow = read_forecast(content, SITE.longitude).days[0]
    assert (tomorrow.tmin_c, tomorrow.tmax_c) == (min(temps[ON + DAY]), max(temps[ON + DAY]))


def test_days_known_at_six_hours_apart_only_are_left_out() -> None:
    """The lowest of four readings a day isn't the night's: no day is better than a damped one."""
    assert 1 <= len(read_forecast(body(complete=False), SITE.longitude).days) <= 2


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"[]",
        b"null",
        b"{}",
        b'{"properties": []}',
        b'{"properties": {"meta": {"updated_at": "yesterday"}, "timeseries": []}}',
        b'{"properties": {"meta": {"updated_at": "2026-04-13T06:00:00Z"}, "timeseries": []}}',
        body()[:-400],
        body().replace(b'"air_temperature": ', b'"air_temperature": "x", "was": '),
        body().replace(b'"air_temperature": ', b'"air_temperature": NaN, "was": '),
        body().replace(b'"air_temperature": ', b'"air_temperature": 1e3, "was": '),
        b"[" * 100_000,
    ],
)
def test_a_file_that_is_no_forecast_is_refused(content: bytes) -> None:
    with pytest.raises(ValueError, match="forecast"):
        check_forecast(content)


@given(st.integers(0, 20_000))
def test_half_a_file_is_no_forecast(length: int) -> None:
    with pytest.raises(ValueError, match="cut short"):
        check_forecast(body()[: min(length, len(body()) - 1)])


def test_the_address_is_that_of_the_full_form_and_tells_no_more_than_a_kilometre(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv(URL_VARIABLE, raising=False)
    address, _, query = forecast_url(SITE).partition("?")
    assert address.startswith("https://")
    assert address.endswith("/complete")
    assert query == "lat=45.00&lon=-30.00&altitude=400"


def ask(
    cache: Path, now: dt.datetime | None = NOW, *, on: dt.date = ON, refresh: bool = False
) -> ForecastDays:
    return forecast_days(
        SITE, SETTINGS, folder=cache, cache=cache, on=on, units="degC", now=now, refresh=refresh
    )


@pytest.fixture
def served(provider: Provider) -> Provider:
    provider.forecast = body()
    return provider


def test_nine_days_come_and_the_service_is_told_who_asks(served: Provider, cache: Path) -> None:
    forecast = ask(cache)
    assert (forecast.status, forecast.trouble) == ("used", None)
    assert [day.lead_days for day in forecast.days] == [1, 2, 3, 4, 5, 6, 7, 8, 9]
    assert forecast.issued == ISSUED
    assert "MET Norway" in source_text(forecast.source)
    assert "CC BY 4.0" in source_text(forecast.source)
    assert served.agents == {"season_engine (grower@example.org)"}


def test_it_is_kept_for_some_hours_and_asked_for_again_after_or_on_demand(
    served: Provider, cache: Path
) -> None:
    first = ask(cache)
    assert ask(cache, NOW + HOUR) == first
    assert served.counted() == {200: 1}
    assert ask(cache, NOW + 4 * HOUR) == first
    assert served.counted() == {304: 1}
    assert ask(cache, NOW + 4 * HOUR, refresh=True) == first
    assert served.counted() == {304: 1}


def test_todays_own_issue_and_yesterdays_word_on_today(served: Provider, cache: Path) -> None:
    """At six in the morning today's file has no more of the night; yesterday's has today whole."""
    ask(cache)
    served.forecast = body(ISSUED + DAY)
    forecast = ask(cache, NOW + DAY, on=ON + DAY)
    assert forecast.issued == ISSUED + DAY
    assert [day.lead_days for day in forecast.days] == [1, 1, 2, 3, 4, 5, 6, 7, 8, 9]
    assert [day.date for day in forecast.days][:2] == [ON + DAY, ON + 2 * DAY]


def test_a_past_day_is_judged_by_its_own_forecast_or_none(served: Provider, cache: Path) -> None:
    then = ask(cache)
    served.forecast = body(ISSUED + 5 * DAY)
    ask(cache, NOW + 5 * DAY, on=ON + 5 * DAY)
    served.requests.clear()
    assert ask(cache, NOW + 5 * DAY) == then
    assert ask(cache, None) == then
    before = ask(cache, NOW + 5 * DAY, on=ON - DAY)
    assert (before.status, before.days) == ("none", ())
    assert notice_text(before.trouble) == "There is no forecast issued by 12 April 2026."
    assert served.requests == []


def test_one_issue_a_day_is_kept(served: Provider, cache: Path) -> None:
    ask(cache)
    served.forecast = body(ISSUED + 6 * HOUR)
    assert ask(cache, NOW + 6 * HOUR).issued == ISSUED + 6 * HOUR
    assert len(load_log(log_file(cache, SITE)).issues) == 1


def test_the_day_of_issue_is_that_of_the_growers_clock(served: Provider, cache: Path) -> None:
    east = dt.timezone(dt.timedelta(hours=12))
    served.forecast = body(dt.datetime(2026, 4, 13, 20, tzinfo=dt.UTC))
    now = dt.datetime(2026, 4, 14, 8, 40, tzinfo=east)
    forecast = ask(cache, now, on=dt.date(2026, 4, 14))
    assert forecast.issued is not None
    assert (forecast.issued.date(), forecast.issued.hour) == (dt.date(2026, 4, 14), 8)


@pytest.mark.parametrize(
    ("kind", "cause"),
    [
        ("403", "the service answered with error 403"),
        ("500", "the service answered with error 500"),
        ("404", "the service has none for this place"),
        ("html", "a web page came instead of a forecast"),
        ("cut", "the forecast is cut short or garbled"),
        ("malformed", "the forecast is cut short or garbled"),
    ],
)
def test_what_is_no_forecast_is_told_and_tried_again_after_an_hour(
    served: Provider, cache: Path, kind: str, cause: str
) -> None:
    served.fault("/forecast", kind)
    forecast = ask(cache)
    assert (forecast.status, forecast.days) == ("failed", ())
    assert notice_text(forecast.trouble) == f"The forecast could not be fetched: {cause}."
    served.faults.clear()
    assert ask(cache, NOW + HOUR / 2).status == "failed"
    assert ask(cache, NOW + HOUR).status == "used"


def test_a_service_that_hangs_is_waited_for_no_longer_than_patience_lasts(
    served: Provider, impatient: None, cache: Path
) -> None:
    served.fault("/forecast", "hang")
    assert (
        notice_text(ask(cache).trouble)
        == "The forecast could not be fetched: the service did not answer in time."
    )


def test_out_of_reach_yesterdays_forecast_is_used_and_an_older_one_is_stale(
    served: Provider, cache: Path
) -> None:
    ask(cache)
    served.stop()
    kept = ask(cache, NOW + DAY, on=ON + DAY)
    assert kept.status == "used"
    assert [day.date for day in kept.days] == [ON + (n + 1) * DAY for n in range(9)]
    assert "A newer forecast could not be fetched: the connection was refused" in notice_text(kept.trouble)
    old = ask(cache, NOW + 3 * DAY, on=ON + 3 * DAY)
    assert (old.status, old.days) == ("failed", ())
    assert notice_text(old.trouble) == (
        "The forecast could not be fetched: the connection was refused. "
        "The last forecast is 3 days old and was not used."
    )


def test_a_damaged_log_is_built_again(served: Provider, cache: Path) -> None:
    first = ask(cache)
    path = log_file(cache, SITE)
    path.write_text(path.read_text()[:-9])
    assert ask(cache) == first


def test_a_folder_that_cannot_be_written_costs_nothing_but_time(
    served: Provider, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr("season_engine.weather.forecast.log.write_whole", refuse)
    assert ask(cache).status == "used"
