"""Where a site lies, where its temperatures come from, and how sound they are."""

from __future__ import annotations

import datetime as dt

from season_engine.facts import Text
from season_engine.report.contents import SiteReport
from season_engine.words import prose, timing
from season_engine.words.daylight import daylight_sentence
from season_engine.words.forecast import forecast_sentence
from season_engine.words.line import joined, sentences
from season_engine.words.prose import gathered
from season_engine.words.shares import shares_sentence
from season_engine.words.speech import decimal, say
from season_engine.words.station import station_sentences
from season_engine.words.warnings import warning_texts
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import source_text

FRESH_DAYS = 60  # a fault this recent bears on this season's sums
FRESH_TOLD = 3


def place(site: SiteReport) -> str:
    """Position and height."""
    s = site.site
    south, west = s.latitude < 0, s.longitude < 0
    latitude = decimal(f"{abs(s.latitude):.2f}") + (say("° south") if south else say("° north"))
    longitude = decimal(f"{abs(s.longitude):.2f}") + (say("° west") if west else say("° east"))
    if s.elevation_m is None:
        return f"{latitude}, {longitude}"
    height = say("{height} m above the sea", height=decimal(f"{s.elevation_m:.0f}"))
    return f"{latitude}, {longitude}, {height}"


def weather_sentences(site: SiteReport, as_of: dt.date) -> tuple[str, ...]:
    """Where the temperatures come from, from when to when, whose forecast is used; and the day's length."""
    if site.weather is None:
        return ()
    through, first = site.weather.data_through, site.weather.series.first_day
    forecast = site.weather.forecast
    age = (as_of - through).days
    ago = say("today") if age == 0 else prose.counts("yesterday", "{n} days ago", age)
    span = {"first": timing.full_day(first), "last": timing.full_day(through), "ago": ago}
    source = say("Temperatures: {source}", source=source_text(site.weather.source))
    return (
        f"{prose.sentence(source)} {say('Readings from {first} to {last} ({ago}).', **span)}",
        *(station_sentences(site.weather.station) if site.weather.station else ()),
        *((forecast_sentence(forecast, as_of),) if forecast.status == "used" else ()),
        daylight_sentence(site.site, as_of, site.timezone),
    )


def health(site: SiteReport, as_of: dt.date) -> tuple[str, ...]:
    """In one line how whole the record is and what was mended; then only what bears on this season."""
    weather = site.weather
    if weather is None:
        return ()
    latest = sorted(weather.faults, key=lambda f: f.last_day, reverse=True)
    fresh = [fault for fault in latest if (as_of - fault.last_day).days <= FRESH_DAYS]
    mended = prose.counts(
        "{n} fault mended; season-engine weather lists it.",
        "{n} faults mended; season-engine weather lists them.",
        len(latest),
    )
    return gathered(
        (
            joined(shares_sentence(weather), prose.capital(mended) if latest else ""),
            *sentences(map(notice_text, weather.notes)),
            *sentences(warning_texts((*weather.warnings, *site.own_numbers))),
            *sentences(map(fault_text, fresh[:FRESH_TOLD])),
        )
    )


def notes(site: SiteReport) -> tuple[str, ...]:
    """Species the catalogue lacks, and a yard without trees."""
    species = [prose.plain(name) for name in site.not_covered]
    lacks = Text("Not in the catalogue, so nothing is said about: {species}.")
    missing = say(lacks, species=prose.listing(species)) if species else ""
    none = say(
        "No trees are listed for this yard, so this is about every species of the catalogue; trees.csv is "
        "where yours go."
    )
    return gathered((missing, "" if site.tree_names or not site.windows else none))
