"""What a grower is told of the public station that stands for a site."""

from __future__ import annotations

import datetime as dt

from season_engine.report import phrases
from season_engine.report.units import in_units
from season_engine.weather.series import StationFacts
from season_engine.workspace.settings import Units

SMALL_CORRECTION_C = 0.05
KM_SHOWN_EXACTLY = 10.0


def station_sentences(station: StationFacts, units: Units = "degC") -> tuple[str, ...]:
    """Where it stands, what its height makes of its readings, and the years it lacks."""
    years = phrases.listing([str(year) for year in station.missing_years])
    return (
        phrases.plain(in_units(f"{_where(station)}; {_correction(station)}.", units)),
        *((f"The service has no readings of it for {years}.",) if years else ()),
    )


def station_handling(station: StationFacts, as_of: dt.date) -> tuple[str, ...]:
    """Whose the readings are, how old as they were fetched, and what would change them."""
    others = phrases.plain("; ".join(station.others))
    return (
        phrases.sentence(station.credit),
        fetched(station, as_of),
        f'Another station could stand in, by station = "ID" in season.toml: {others}.'
        if others
        else "No other station near by would do.",
    )


def fetched(station: StationFacts, as_of: dt.date) -> str:
    """How old its readings are, and when they are asked for again."""
    day = station.fetched_at.date()
    age = (as_of - day).days
    ago = f", {phrases.counted(age, 'day')} ago" if age > 0 else ""
    return f"Fetched on {phrases.full_day(day)}{ago}; asked for again after a day, or now with --refresh."


def _where(station: StationFacts) -> str:
    km = station.distance_km
    far = f"{km:.1f}" if km < KM_SHOWN_EXACTLY else f"{km:.0f}"
    height = station.height_difference_m
    if height is None:
        return f"It stands {far} km away"
    if round(height) == 0:
        return f"It stands {far} km away at the same height"
    return f"It stands {far} km away and {abs(height):.0f} m {'higher' if height > 0 else 'lower'}"


def _correction(station: StationFacts) -> str:
    if station.height_difference_m is None:
        return "the heights aren't both known, so its temperatures are taken as they are"
    if abs(station.correction_c) < SMALL_CORRECTION_C:
        return "its temperatures are taken as they are"
    way = "added to" if station.correction_c > 0 else "taken off"
    return f"{abs(station.correction_c):.1f} degrees C is {way} its temperatures for that"
