"""What to mind and to know of a site's weather, in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from season_engine.facts import Day, Degrees, Extremes, Text
from season_engine.weather.notices import (
    DaysTaken,
    DirectoryNotFetched,
    DownloadsDamaged,
    DownloadsNotKept,
    ForecastNotFetched,
    ForecastTooOld,
    NoForecast,
    Notice,
    OlderForecastUsed,
    OlderReadingsUsed,
    OldReadings,
    ReadingsApart,
    SecondFileFit,
    SecondNotFetched,
    SecondStationFit,
    SourceSilent,
    StationReplaced,
    StationTrouble,
    TooFewCommonDays,
    YardFit,
    YearsNotFetched,
)
from season_engine.words.speech import say, say_count
from season_engine.words.weather_sources import source_text


def notice_text(notice: Notice) -> str:
    """A warning or a note as a sentence, its full stop left to `prose.sentence`."""
    match notice:
        case OldReadings() | SourceSilent():
            return _record_ended(notice)
        case TooFewCommonDays(fewest):
            few = Text("the second source shares fewer than {n} days with these readings and is not used")
            return say(few, n=fewest)
        case SecondNotFetched(cause):
            alone = Text("The second source could not be fetched ({cause}); your own years are used alone.")
            return say(alone, cause=cause)
        case ReadingsApart(hours, mean_c, one_in_twenty_c):
            return say(
                "The readings are {n} hours apart, and what lies between them is missed: lowest and highest "
                "come out too mild, by about {mean} each on the mean and by {more} or more on one day in 20, "
                "measured on invented weather.",
                n=hours,
                mean=Degrees(mean_c, 1, apart=True),
                more=Degrees(one_in_twenty_c, 1, apart=True),
            )
        case SecondFileFit() | SecondStationFit() | DaysTaken():
            return _second_source(notice)
        case NoForecast() | ForecastTooOld() | ForecastNotFetched() | OlderForecastUsed():
            return _forecast(notice)
    return _fetching(notice)


def _record_ended(notice: OldReadings | SourceSilent) -> str:
    told = {
        "site": notice.site,
        "source": source_text(notice.source),
        "date": Day(notice.last_day, year=True, whole=True),
        "n": notice.days_ago,
    }
    if isinstance(notice, OldReadings):
        old = say("{site}: the last reading in the {source} is of {date}, {n} days ago", **told)
        return f"{old}."
    silent = say(
        "{site}: the {source} ends on {date}, {n} days ago; the days since are the second source's.", **told
    )
    if not notice.better:
        return silent
    return f"{silent} {say('Better choose another station: {others}.', others=', '.join(notice.better))}"


def _fetching(notice: StationTrouble) -> str:
    """What went wrong on the way to a station's readings."""
    match notice:
        case StationReplaced(since, station, before):
            return say(
                "Since {date} weather station {station} is used instead of {before}, as the directory of "
                "stations has changed. Write an id in season.toml to choose.",
                date=Day(since, year=True, whole=True),
                station=station,
                before=before,
            )
        case DirectoryNotFetched(cause):
            return say(
                "The directory of stations could not be fetched ({cause}); the older one is used.",
                cause=cause,
            )
        case YearsNotFetched(station, years, cause):
            return say(
                "Readings of {years} could not be fetched from weather station {station} ({cause}); those "
                "days count as missing until they can be.",
                years=_spans(years),
                station=station,
                cause=cause,
            )
        case OlderReadingsUsed():
            return _older_readings(notice)
        case DownloadsNotKept(folder, cause):
            return say("Downloads can't be kept in {folder}: {cause}.", folder=folder, cause=cause)
        case DownloadsDamaged(file):
            return say("The kept downloads ({file}) were damaged; they are fetched anew.", file=file)
    assert_never(notice)


def _older_readings(notice: OlderReadingsUsed) -> str:
    days = notice.days_ago
    return say(
        "Weather station {station} gave nothing new for {years} ({cause}); readings fetched on {date}, "
        "{ago}, are used.",
        station=notice.station,
        years=_spans(notice.years),
        cause=notice.cause,
        date=Day(notice.fetched_on, year=True, whole=True),
        ago=say("today") if days == 0 else say_count("yesterday", "{n} days ago", days),
    )


def _spans(years: Iterable[int]) -> str:
    """Years as one writes them: "1998, 2003-2005"."""
    runs: list[list[int]] = []
    for year in sorted(years):
        if runs and year == runs[-1][1] + 1:
            runs[-1][1] = year
        else:
            runs.append([year, year])
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)


def _forecast(trouble: NoForecast | ForecastTooOld | ForecastNotFetched | OlderForecastUsed) -> str:
    match trouble:
        case NoForecast(on):
            return say("There is no forecast issued by {date}.", date=Day(on, year=True, whole=True))
        case ForecastTooOld(days):
            return say("The last forecast is {n} days old and was not used.", n=days)
        case ForecastNotFetched(cause, last):
            failed = say("The forecast could not be fetched: {cause}.", cause=cause)
            return failed if last is None else say("{first} {then}", first=failed, then=_forecast(last))
        case OlderForecastUsed(cause):
            older = Text("A newer forecast could not be fetched: {cause}; the last one is used.")
            return say(older, cause=cause)


def _second_source(note: SecondFileFit | SecondStationFit | DaysTaken) -> str:
    match note:
        case SecondFileFit(file, fit):
            return say("reference {file}: {text}", file=file, text=_fit(fit))
        case SecondStationFit(station, distance_km, fit):
            named = {"station": source_text(station), "km": distance_km}
            stands_in = say("reference {station}, {km:.0f} km away", **named)
            return (
                stands_in if fit is None else say("{reference}: {text}", reference=stands_in, text=_fit(fit))
            )
        case DaysTaken(station, distance_km, days):
            return say_count(
                "second source: {station}, {km:.0f} km away; a day is taken from it",
                "second source: {station}, {km:.0f} km away; {n} days are taken from it",
                days,
                station=source_text(station),
                km=distance_km,
            )


def _fit(fit: YardFit) -> str:
    """How far the second source is from the yard, before and after the correction."""
    told = {"days": fit.days, "before": Extremes(*fit.apart_c, apart=True)}
    if fit.corrected_c is None:
        no_better = Text(
            "the second source differs from this yard by {before} (lowest / highest) a day on {days} "
            "common days; a learnt correction does no better, so none is made"
        )
        return say(no_better, **told)
    better = Text(
        "learnt from {days} common days: the second source differs from this yard by {before} "
        "(lowest / highest) a day as it comes, by {after} as corrected, on days that learning left out"
    )
    text = say(better, **told, after=Extremes(*fit.corrected_c, apart=True))
    return (
        text if fit.all_year else say("{text}; at times of the year not among those days, by more", text=text)
    )
