"""First and last frosts of a place, as JSON has them."""

from __future__ import annotations

import datetime as dt

from season_engine.documents.json_values import Document, date_text, finite
from season_engine.site import Site
from season_engine.weather.frost_dates import FrostDates, frost_season
from season_engine.weather.series import Weather


def frost_season_document(site: Site, weather: Weather | None, on: dt.date) -> Document | None:
    """The same for JSON, null where too few winters are known."""
    frost = None if weather is None else frost_season(site, weather, on)
    if frost is None:
        return None
    return {"level_c": frost.level_c, "first": _document(frost.first), "last": _document(frost.last)}


def _document(dates: FrostDates) -> Document:
    return {
        "winters": dates.winters,
        "share_with_frost": finite(dates.share_with_frost),
        "p10": date_text(dates.p10),
        "p50": date_text(dates.p50),
        "p90": date_text(dates.p90),
    }
