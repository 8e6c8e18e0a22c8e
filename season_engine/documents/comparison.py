"""What `compare --json` prints."""

from __future__ import annotations

from season_engine.advice.compare import (
    Comparison,
    Contrast,
    Difference,
    Pair,
    SiteDates,
    Spread,
    WindowComparison,
)
from season_engine.documents.document import place_document, quantiles_document
from season_engine.documents.json_values import Document, finite


def comparison_document(comparison: Comparison) -> Document:
    """Every window at the first site and the others; differences in days, later than at the first above 0."""
    c = comparison
    return {
        "as_of": c.as_of.isoformat(),
        "demo": c.demo,
        "first": c.sites[0].name,
        "sites": [{**place_document(site), "invented_weather": site.name in c.invented} for site in c.sites],
        "invented_weather": bool(c.invented),
        "windows": [_window(window) for window in c.windows],
        "not_covered": list(c.not_covered),
        "sources": list(c.sources),
        "warnings": list(c.warnings),
    }


def _window(w: WindowComparison) -> Document:
    return {
        "species": w.species,
        "job": w.job,
        "window": w.window,
        "pairs": [_pair(pair) for pair in w.pairs],
    }


def _pair(pair: Pair) -> Document:
    return {
        "other": pair.other.name,
        "past": _contrast(pair.past),
        "season": _contrast(pair.season),
    }


def _contrast(c: Contrast) -> Document:
    return {
        "years_paired": c.years_paired,
        "years": c.years,
        "years_only_first": c.years_only_first,
        "years_only_other": c.years_only_other,
        "first": _site_dates(c.first),
        "other": _site_dates(c.other),
        "chance_both": finite(c.chance_both),
        "opens_days_later": _difference(c.opens),
        "closes_days_later": _difference(c.closes),
    }


def _site_dates(dates: SiteDates) -> Document:
    return {
        "season": dates.season,
        "chance_given": finite(dates.chance_given),
        "opens": quantiles_document(dates.opens),
        "closes": quantiles_document(dates.closes),
    }


def _difference(difference: Difference | None) -> Document | None:
    if difference is None:
        return None
    return {"paired": _spread(difference.paired), "unpaired": _spread(difference.unpaired)}


def _spread(spread: Spread) -> Document:
    return {"p10": spread.p10, "p50": spread.p50, "p90": spread.p90}
