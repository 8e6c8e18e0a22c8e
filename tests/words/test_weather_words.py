"""Whatever is found wrong with readings, or is to be told of a source, has words in every language."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any, get_args

import pytest

from season_engine.locale import ENGLISH, languages
from season_engine.weather import faults, notices
from season_engine.weather.faults import EXTREMES, Fault
from season_engine.weather.notices import Notice, YardFit
from season_engine.weather.sources import origins
from season_engine.weather.sources.origins import (
    ForecastFileOrigin,
    ForecastServiceOrigin,
    GivenOrigin,
    LoggerOrigin,
    StationOrigin,
)
from season_engine.words.speech import speaking
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import forecast_source, source_text

DAY = dt.date(2019, 3, 14)
LOGGER, STATION = LoggerOrigin("ridge.csv"), StationOrigin("Q0002", "Kettle Bay")
FIT = YardFit(371, (2.6, 1.3), (0.9, 1.2), all_year=False)
ENGLISH_WORDS = re.compile(r"\b(the|and|of|is|are|with|for|from|by|to|it|that|days?|weeks?|left|read)\b")

FOUND = (
    faults.BothNought(),
    faults.NeverReached("highest", 85.0),
    faults.Crossed(12.25, 3.0),
    faults.Repeated(dt.date(2015, 12, 27)),
    faults.NoRange(),
    faults.BothStoodStill(3.7, 9.3, 9),
    faults.OneStoodStill("lowest", 4.0, 5),
    faults.MixedUnits(50.0, 68.5, "degF"),
    faults.MixedUnits(-5.0, 2.5, "degC"),
    *(
        faults.FarOff("lowest", -30.0, 17.6, against)
        for against in ("its month", "the time of year", "the days beside", "the second source")
    ),
    faults.Shifted("highest", -3.0, beside_second=True),
    faults.Shifted("lowest", 4.2, beside_second=False),
    faults.Missing(1),
    faults.Missing(5),
    faults.Missing(1, since_last=True),
    faults.Missing(14, since_last=True),
    faults.Dropped(),
)
TOLD = (
    notices.OldReadings("ridge", LOGGER, DAY, 8),
    notices.SourceSilent("ridge", LOGGER, DAY, 14),
    notices.SourceSilent("ridge", STATION, DAY, 90, ("Q0001 (Kettle Ridge, 11 km)",)),
    notices.TooFewCommonDays(60),
    notices.SecondNotFetched("error 500"),
    notices.StationReplaced(DAY, "Q0002 (Kettle Bay, 33 km)", "Q0001 (Kettle Ridge, 11 km)"),
    notices.DirectoryNotFetched("error 500"),
    notices.YearsNotFetched("Kettle Ridge", (1998, 2003, 2004), "error 500"),
    *(notices.OlderReadingsUsed("Kettle Ridge", (2018, 2019), "error 500", DAY, ago) for ago in (0, 1, 2)),
    notices.DownloadsNotKept("data_cache", "error 13"),
    notices.DownloadsDamaged("http.sqlite"),
    notices.NoForecast(DAY),
    notices.ForecastTooOld(3),
    notices.ForecastNotFetched("error 500"),
    notices.ForecastNotFetched("error 500", notices.ForecastTooOld(3)),
    notices.OlderForecastUsed("error 500"),
    notices.SecondFileFit("valley.csv", FIT),
    notices.SecondStationFit(STATION, 33.4, None),
    notices.SecondStationFit(STATION, 33.4, YardFit(371, (2.6, 1.3), None, all_year=True)),
    notices.DaysTaken(STATION, 33.4, 1),
    notices.DaysTaken(STATION, 33.4, 20),
    notices.ReadingsApart(3, 0.3, 1.1),
)
SOURCES = (
    LOGGER,
    STATION,
    GivenOrigin("KETTLE"),
    origins.InventedOrigin(),
    origins.StationCredit("Meteostat", "CC BY 4.0", height_adjusted=True),
    origins.StationCredit("Meteostat", "CC BY 4.0", height_adjusted=False),
    origins.SecondStationCredit(STATION, 33.4, "Meteostat", "CC BY 4.0"),
    ForecastFileOrigin("ahead.csv"),
    ForecastServiceOrigin("MET Norway", "CC BY 4.0"),
)


def kinds(union: Any) -> set[type]:
    """The classes of a union, and of the unions in it."""
    return {kind for part in get_args(union) for kind in kinds(part) or {part}}


def test_every_kind_is_here() -> None:
    assert {type(one) for one in FOUND} == kinds(faults.Found)
    assert {type(one) for one in TOLD} == kinds(Notice)
    assert {type(one) for one in SOURCES} == kinds(origins.SourceFact)


def every_fault() -> list[Fault]:
    return [
        Fault("spike", DAY, last, extremes, found, done)
        for found in FOUND
        for done in get_args(faults.Done)
        if isinstance(found, faults.Missing) <= (done in ("filled", "from second source"))
        if isinstance(found, faults.Dropped) <= (done not in ("kept", "told"))
        for last in (DAY, dt.date(2019, 3, 22))
        for extremes in (EXTREMES, EXTREMES[:1])
    ]


def all_texts() -> list[str]:
    return [*map(fault_text, every_fault()), *map(notice_text, TOLD), *map(source_text, SOURCES)]


@pytest.mark.parametrize("language", languages())
def test_all_has_words(language: str) -> None:
    with speaking(language):
        told = all_texts()
    assert all(told)
    left = [text for text in told if ENGLISH_WORDS.search(text.replace("error", ""))]
    assert (language == ENGLISH) == bool(left), left
    assert not [text for text in told if re.search(r"[{}]|\.\.", text)]


def test_temperatures_are_told_in_the_units_that_are_spoken() -> None:
    still = Fault("stuck", DAY, dt.date(2019, 3, 22), EXTREMES, faults.BothStoodStill(0.0, 10.0, 9), "filled")
    with speaking(ENGLISH, "degF"):
        assert fault_text(still) == (
            "14-22 Mar 2019: the sensor stood still at 32.0 / 50.0 °F for 9 days; "
            "those days are left out and filled."
        )


@pytest.mark.parametrize(
    ("first", "last", "told"),
    [
        (DAY, DAY, "14 Mar 2019: "),
        (DAY, dt.date(2019, 3, 22), "14-22 Mar 2019: "),
        (DAY, dt.date(2019, 4, 2), "14 Mar - 2 Apr 2019: "),
        (DAY, dt.date(2020, 1, 2), "14 Mar 2019 - 2 Jan 2020: "),
    ],
)
def test_days_are_told_as_a_grower_writes_them(first: dt.date, last: dt.date, told: str) -> None:
    assert fault_text(Fault("dropped", first, last, EXTREMES, faults.Dropped(), "filled")) == (
        f"{told}left out and filled, as season.toml says."
    )


def test_a_forecasts_sentence_names_the_service_alone_and_its_credit_the_terms() -> None:
    service = ForecastServiceOrigin("MET Norway", "CC BY 4.0")
    assert forecast_source(service) == "MET Norway"
    assert source_text(service) == ("forecast: MET Norway, licence CC BY 4.0, blended here with past years")


def test_the_correction_learnt_is_told_with_what_it_is_worth() -> None:
    assert notice_text(notices.SecondFileFit("valley.csv", FIT)) == (
        "reference valley.csv: learnt from 371 common days: the second source differs from this yard by "
        "2.6 / 1.3 °C (lowest / highest) a day as it comes, by 0.9 / 1.2 °C as corrected, on days that "
        "learning left out; at times of the year not among those days, by more"
    )
    no_better = notices.SecondStationFit(STATION, 33.4, YardFit(80, (2.6, 1.3), None, all_year=False))
    assert notice_text(no_better).endswith("a learnt correction does no better, so none is made")


def test_what_has_no_words_is_a_mistake_of_ours() -> None:
    with pytest.raises(AssertionError, match="Expected code to be unreachable"):
        notice_text(object())
