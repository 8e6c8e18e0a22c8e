"""What temperatures a site has, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np

from season_engine.prints.layout import wrapped
from season_engine.site import Site
from season_engine.weather.fitness import completeness_by_year
from season_engine.weather.forecast.days import ForecastDays
from season_engine.weather.frost_dates import frost_season
from season_engine.weather.series import Weather
from season_engine.words import notices, prose, timing
from season_engine.words.forecast import forecast_handling, forecast_sentence
from season_engine.words.frost_dates import frost_sentence
from season_engine.words.logger_form import form_sentences
from season_engine.words.shares import shares_sentence
from season_engine.words.speech import said
from season_engine.words.station import fetched, station_handling, station_sentences
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import forecast_source, source_text


def weather_text(sites: Iterable[tuple[Site, Weather]], as_of: dt.date) -> str:
    """Source, span, faults and gaps of each site's readings."""
    return "\n".join(_site(site, weather, as_of) for site, weather in sites)


def _site(site: Site, weather: Weather, as_of: dt.date) -> str:
    series = weather.series
    filled = int(np.count_nonzero(~weather.covered))
    lines = [
        prose.plain(site.name),
        f"  {prose.sentence(source_text(weather.source))}",
        f"  From {timing.full_day(series.first_day)} to {timing.full_day(series.last_day)}: "
        f"{prose.counted(len(series), 'day')}, of which {prose.counted(filled, 'day')} filled in.",
        f"  {shares_sentence(weather)}",
        *(f"  {prose.sentence(notice_text(note))}" for note in weather.notes),
    ]
    if weather.form is not None:
        lines += [line for text in form_sentences(weather.form) for line in wrapped(text, "  ")]
    if weather.station is not None:
        texts = (*station_sentences(weather.station), *station_handling(weather.station, as_of))
        lines += [f"  {text}" for text in texts]
    if weather.second_station is not None:
        credit = source_text(weather.second_station.credit_as_second)
        texts = (credit, fetched(weather.second_station, as_of))
        lines += [f"  {prose.sentence(text)}" for text in texts]
    if weather.forecast.status == "used":
        lines.append(f"  {forecast_sentence(weather.forecast, as_of)}")
        lines += wrapped(forecast_handling(weather.forecast), "  ")
        lines += [f"  {credit}" for credit in _forecast_credit(weather.forecast)]
    lines.append(f"  Days with both readings, by year: {_by_year(weather)}.")
    if frost := frost_season(site, weather, as_of):
        lines += wrapped(frost_sentence(frost), "  ")
    if weather.invented:
        lines.append(f"  {said(notices.INVENTED)}")
    age = (as_of - series.last_day).days
    if age > 0:
        lines.append(f"  The last reading is {prose.counted(age, 'day')} old.")
    lines += [f"  - {prose.sentence(notice_text(one))}" for one in weather.warnings]
    lines += [f"  - {prose.sentence(fault_text(fault))}" for fault in weather.faults]
    lines += wrapped(_what_would_change_it(weather))
    return "\n".join(lines) + "\n"


def _forecast_credit(forecast: ForecastDays) -> tuple[str, ...]:
    """Whom to name for a forecast, where that is more than whose it is."""
    if forecast.source is None or source_text(forecast.source) == forecast_source(forecast.source):
        return ()
    return (prose.sentence(source_text(forecast.source)),)


def _what_would_change_it(weather: Weather) -> str:
    """What the grower can do about what was found."""
    if not weather.faults:
        return "No faults found."
    if weather.invented:
        return ""
    gaps = (
        ""
        if weather.adjusted is not None
        else " Long gaps are mended better with a second record: see reference."
    )
    return (
        "A reading that was left out though it is right stays if its date stands under keep in season.toml; "
        f"a wrong one goes under drop.{gaps}"
    )


def _by_year(weather: Weather) -> str:
    """Years of the same share together: "2017-2024 100 %, 2025 98.9 %"."""
    runs: list[tuple[int, int, str]] = []
    for year, share in completeness_by_year(weather).items():
        shown = f"{int(share * 1000) / 10:g} %"  # rounded down: only a whole year is 100 %
        if runs and runs[-1][2] == shown:
            runs[-1] = (runs[-1][0], year, shown)
        else:
            runs.append((year, year, shown))
    return ", ".join(
        f"{first} {shown}" if first == last else f"{first}-{last} {shown}" for first, last, shown in runs
    )
