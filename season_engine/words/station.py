"""What a grower is told of the public station that stands for a site."""

from __future__ import annotations

import datetime as dt

from season_engine.facts import Degrees, Text
from season_engine.weather.sources.origins import StationFacts
from season_engine.words import prose, timing
from season_engine.words.speech import decimal, say
from season_engine.words.weather_sources import source_text

SMALL_CORRECTION_C = 0.05
KM_SHOWN_EXACTLY = 10.0


def station_sentences(station: StationFacts) -> tuple[str, ...]:
    """Where it stands, what its height makes of its readings, and the years it lacks."""
    years = prose.listing([str(year) for year in station.missing_years])
    return (
        f"{_where(station)}; {_correction(station)}.",
        *((say("The service has no readings of it for {years}.", years=years),) if years else ()),
    )


def station_handling(station: StationFacts, as_of: dt.date) -> tuple[str, ...]:
    """Whose the readings are, how old as they were fetched, and what would change them."""
    others = prose.plain("; ".join(station.others))
    return (
        prose.sentence(source_text(station.credit)),
        fetched(station, as_of),
        f'Another station could stand in, by station = "ID" in season.toml: {others}.'
        if others
        else "No other station near by would do.",
    )


def fetched(station: StationFacts, as_of: dt.date) -> str:
    """How old its readings are, and when they are asked for again."""
    day = station.fetched_at.date()
    age = (as_of - day).days
    ago = f", {prose.counted(age, 'day')} ago" if age > 0 else ""
    return f"Fetched on {timing.full_day(day)}{ago}; asked for again after a day, or now with --refresh."


def _where(station: StationFacts) -> str:
    km = station.distance_km
    far = decimal(f"{km:.1f}" if km < KM_SHOWN_EXACTLY else f"{km:.0f}")
    height = station.height_difference_m
    if height is None:
        return say("It stands {km} km away", km=far)
    if round(height) == 0:
        return say("It stands {km} km away at the same height", km=far)
    higher, lower = (
        Text("It stands {km} km away and {m} m higher"),
        Text("It stands {km} km away and {m} m lower"),
    )
    return say(higher if height > 0 else lower, km=far, m=f"{abs(height):.0f}")


def _correction(station: StationFacts) -> str:
    if station.height_difference_m is None:
        return say("the heights aren't both known, so its temperatures are taken as they are")
    if abs(station.correction_c) < SMALL_CORRECTION_C:
        return say("its temperatures are taken as they are")
    apart = Degrees(abs(station.correction_c), 1, apart=True)
    if station.correction_c > 0:
        return say("{degrees} is added to its temperatures for that", degrees=apart)
    return say("{degrees} is taken off its temperatures for that", degrees=apart)
