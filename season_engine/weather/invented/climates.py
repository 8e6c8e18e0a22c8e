"""The invented climates that the demo and trial sites live in."""

from __future__ import annotations

from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.weather.invented.series import Climate

# Monthly means and daily ranges are round numbers made up to suit a latitude, from memory of such places.
# Faults begin late in the season, when a week's gap is too small a share of it to make the data too poor.

COOL_INLAND_NORTH = Climate(
    name="cool-inland-north",
    seed=51,
    mean_c=(1.5, 2.5, 5.5, 9.5, 13.5, 17.0, 19.0, 18.5, 14.5, 10.0, 5.5, 2.5),
    range_c=(6.0, 7.0, 8.5, 10.0, 10.5, 11.0, 11.0, 11.0, 9.5, 8.0, 6.5, 6.0),
    day_spread_c=(3.5, 2.9),
    persistence=0.74,
    slow_spread_c=1.2,
    slow_days=30,
    year_spread_c=0.3,
    warming_c_per_decade=0.3,
    reference_year=2010,
    gap_chance=0.25,
    stuck_chance=0.2,
    faults_begin=(60, 240),
)

MILD_MARITIME_SOUTH = Climate(
    name="mild-maritime-south",
    seed=38,
    mean_c=(19.5, 19.8, 18.0, 15.0, 12.0, 9.8, 9.2, 10.2, 12.0, 14.0, 16.0, 18.0),
    range_c=(11.0, 11.0, 10.5, 9.5, 8.5, 8.0, 8.0, 8.5, 9.5, 10.0, 10.5, 11.0),
    day_spread_c=(1.7, 2.4),
    persistence=0.74,
    slow_spread_c=0.7,
    slow_days=30,
    year_spread_c=0.25,
    warming_c_per_decade=0.2,
    reference_year=2010,
    gap_chance=0.25,
    stuck_chance=0.2,
    faults_begin=(244, 340),
)

CLIMATES = {climate.name: climate for climate in (COOL_INLAND_NORTH, MILD_MARITIME_SOUTH)}


def climate_for(site: Site, name: str | None) -> Climate:
    """The climate of that name, or without one the climate of the site's hemisphere."""
    if name is None:
        return MILD_MARITIME_SOUTH if site.hemisphere == "south" else COOL_INLAND_NORTH
    if name not in CLIMATES:
        raise GrowerError(
            f'There is no invented climate called "{name}".', hint=f"Choose one of: {', '.join(CLIMATES)}."
        )
    return CLIMATES[name]
