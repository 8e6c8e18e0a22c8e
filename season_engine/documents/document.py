"""The report as JSON documents, and the schemas they keep to (see the outside contract)."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from season_engine.documents.first_screen import first_screen_document
from season_engine.documents.frost_dates import frost_season_document
from season_engine.documents.json_values import Document, date_text, finite
from season_engine.documents.teaching import learnt_document, look_document
from season_engine.messages import for_programs, said
from season_engine.report.contents import Report, SiteReport
from season_engine.report.season_sums import SeasonSum
from season_engine.site import Site
from season_engine.verify.own_score import OwnScore
from season_engine.weather.fitness import completeness_by_year
from season_engine.weather.forecast_days import ForecastDays
from season_engine.weather.series import StationFacts, Weather
from season_engine.weather.shares import shares
from season_engine.weather.water_demand import WaterDemand
from season_engine.windows.assessment import (
    Assessment,
    DayChance,
    Explanation,
    Hazard,
    NextWindow,
    Quantiles,
    Reason,
    Standing,
    Step,
    Usual,
    WeekAhead,
    WeekChance,
    YearDate,
)
from season_engine.windows.care import Care
from season_engine.windows.frost_weeks import FrostOdds
from season_engine.words.cautions import caution_in_english
from season_engine.words.forecast import forecast_sentence

SchemaName = Literal["backtest", "check", "compare", "report", "weather"]

_USED_BY: dict[SchemaName, tuple[SchemaName, ...]] = {
    "backtest": (),
    "check": (),
    "compare": ("check",),
    "weather": (),
    "report": ("check", "weather"),
}


def json_text(document: Document) -> str:
    """The document as UTF-8 text; a number that isn't finite is an error, never ``NaN``."""
    return json.dumps(_told(document), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _told(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _told(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_told(one) for one in value]
    return said(value) if isinstance(value, str) else value


def schema(name: SchemaName) -> Document:
    """The JSON Schema (2020-12) of one document, whole: schemas it refers to are bundled in ``$defs``."""
    document = _read_schema(name)
    bundled = {used: _read_schema(used) for used in _USED_BY[name]}
    return {**document, "$defs": {**document.get("$defs", {}), **bundled}} if bundled else document


@cache
def _schema_text(name: SchemaName) -> str:
    return files("season_engine.documents").joinpath("schemas", f"{name}.schema.json").read_text("utf-8")


def _read_schema(name: SchemaName) -> Document:
    document: Document = json.loads(_schema_text(name))
    return document


def assessment_document(a: Assessment) -> Document:
    """What ``check --json`` prints."""
    return {
        "site": a.site,
        "species": a.species,
        "job": a.job,
        "window": a.window,
        "as_of": a.as_of.isoformat(),
        "data_through": a.data_through.isoformat(),
        "hemisphere": a.hemisphere,
        "season": a.season,
        "verdict": a.verdict,
        "today": a.today,
        "today_why": a.today_why,
        "chance_given": finite(a.chance_given),
        "chance_open_now": finite(a.chance_open_now),
        "opens": quantiles_document(a.opens),
        "closes": quantiles_document(a.closes),
        "next": None if a.next is None else _next(a.next),
        "usual": _usual(a.usual),
        "reasons": [_reason(reason) for reason in a.reasons],
        "hazards": [_hazard(hazard) for hazard in a.hazards],
        "sources": list(a.sources),
        "warnings": list(a.warnings),
        "tree": a.tree,
        "floor": finite(a.floor),
        "weeks": [_week(week) for week in a.weeks],
        "days": [_day(day) for day in a.days],
        "cautions": [*(caution_in_english(one) for one in a.cautions), *a.notes],
        "ahead": [_week_ahead(week) for week in a.ahead],
        "best": date_text(a.best),
        "learnt": a.learnt,
        "explanation": None if a.explanation is None else _explanation(a.explanation),
        **_beside_the_dates(a),
        "invented_weather": a.invented_weather,
    }


def _beside_the_dates(a: Assessment) -> Document:
    return {
        "severity": a.severity,
        "school": a.school,
        "aftercare": list(a.aftercare),
        "standing": _standing(a.standing),
        "refused": a.refused,
        "opens_too_late": a.opens_too_late,
        "others": [_other(one) for one in a.others],
    }


def report_document(report: Report) -> Document:
    """What ``report --json`` prints."""
    with for_programs(report.units):
        sites: list[Document] = _told([_site(site, report.as_of) for site in report.sites])
    return {"as_of": report.as_of.isoformat(), "demo": report.demo, "sites": sites}


def weather_document(read: Iterable[tuple[Site, Weather | None]], as_of: dt.date) -> Document:
    """What ``weather --json`` prints: each site with its weather, null where there is none."""
    sites = [
        {
            **place_document(site),
            "weather": _weather(weather, as_of),
            "invented_weather": weather is not None and weather.invented,
            "frost_dates": frost_season_document(site, weather, as_of),
        }
        for site, weather in read
    ]
    return {"as_of": as_of.isoformat(), "sites": sites}


def _site(site: SiteReport, as_of: dt.date) -> Document:
    return {
        **place_document(site.site),
        "weather": _weather(site.weather, as_of),
        "invented_weather": site.invented,
        "refusal": site.refusal,
        "windows": [assessment_document(a) for a in site.windows],
        "trees": [{**assessment_document(a), "weeks": [], "days": []} for a in site.trees],
        "first_screen": first_screen_document(site.first),
        "look_at": [look_document(look) for look in site.look_at],
        "care": [_care(one) for one in site.care],
        "season_sums": [_season_sum(s) for s in site.sums],
        "frost": [_frost(odds) for odds in site.frost],
        "tree_names": dict(site.tree_names),
        "not_covered": list(site.not_covered),
        "notes": list(site.notes),
        "water_demand": None if site.water is None else _water_demand(site.water),
        "own_record": None if site.own_record is None else _own_score(site.own_record),
    }


def _own_score(score: OwnScore) -> Document:
    return {
        "n": score.n,
        "mae": finite(score.mae),
        "inside": score.inside,
        "by_notes": score.by_notes,
    }


def place_document(site: Site) -> Document:
    """Name and position of a site."""
    return {
        "name": site.name,
        "latitude": site.latitude,
        "longitude": site.longitude,
        "hemisphere": site.hemisphere,
    }


def _weather(weather: Weather | None, as_of: dt.date) -> Document | None:
    if weather is None:
        return None
    parts = shares(weather)
    return {
        "source": weather.source,
        "invented": weather.invented,
        "data_through": weather.data_through.isoformat(),
        "first_day": weather.series.first_day.isoformat(),
        "observed_share": finite(parts.observed),
        "adjusted_share": finite(parts.adjusted),
        "filled_share": finite(parts.filled),
        "faults": [
            {
                "kind": fault.kind,
                "first_day": fault.first_day.isoformat(),
                "last_day": fault.last_day.isoformat(),
                "text": fault.text,
            }
            for fault in weather.faults
        ],
        "warnings": list(weather.warnings),
        "notes": list(weather.notes),
        "completeness": [
            {"year": year, "observed_share": finite(part)}
            for year, part in completeness_by_year(weather).items()
        ],
        "station": _station(weather.station),
        "second_station": _station(weather.second_station),
        "forecast": _forecast(weather.forecast, as_of),
    }


def _forecast(forecast: ForecastDays, as_of: dt.date) -> Document:
    return {
        "status": forecast.status,
        "text": forecast_sentence(forecast, as_of),
        "source": forecast.source or None,
        "issued": None if forecast.issued is None else forecast.issued.isoformat(timespec="minutes"),
        "days": [
            {
                "date": day.date.isoformat(),
                "tmin_c": finite(day.tmin_c),
                "tmax_c": finite(day.tmax_c),
                "lead_days": day.lead_days,
            }
            for day in forecast.days
        ],
    }


def _station(station: StationFacts | None) -> Document | None:
    if station is None:
        return None
    return {
        "id": station.id,
        "name": station.name,
        "distance_km": finite(station.distance_km),
        "height_difference_m": finite(station.height_difference_m),
        "correction_c": finite(station.correction_c),
        "attribution": station.attribution,
        "licence": station.licence,
        "fetched_at": station.fetched_at.isoformat(timespec="seconds"),
        "missing_years": list(station.missing_years),
        "others": list(station.others),
    }


def _care(one: Care) -> Document:
    return {
        "species": one.species,
        "job": one.job,
        "window": one.window,
        "verdict": one.verdict,
        "opens": date_text(one.opens),
        "closes": date_text(one.closes),
    }


def _season_sum(s: SeasonSum) -> Document:
    return {
        "name": s.name,
        "unit": str(s.unit),
        "days": [day.isoformat() for day in s.days],
        "so_far": [finite(value) for value in s.so_far],
        "p10": [finite(value) for value in s.p10],
        "p50": [finite(value) for value in s.p50],
        "p90": [finite(value) for value in s.p90],
    }


def _water_demand(w: WaterDemand) -> Document:
    return {
        "through": w.through.isoformat(),
        "last_week_mm": finite(w.last_week_mm),
        "week_before_mm": finite(w.week_before_mm),
    }


def _frost(odds: FrostOdds) -> Document:
    weeks = [
        {"first": week.first.isoformat(), "last": week.last.isoformat(), "chance": finite(week.chance)}
        for week in odds.weeks
    ]
    return {"level_c": finite(odds.level_c), "weeks": weeks}


def _reason(reason: Reason) -> Document:
    return {
        "marker": reason.marker,
        "text": reason.text,
        "have": finite(reason.have),
        "need": finite(reason.need),
        "unit": reason.unit,
        "met": reason.met,
        "date_p50": date_text(reason.date_p50),
        "from": reason.provenance,
    }


def _hazard(hazard: Hazard) -> Document:
    return {
        "name": hazard.name,
        "chance": finite(hazard.chance),
        "days": hazard.days,
        "text": hazard.text,
        "forecast_on": date_text(hazard.forecast_on),
    }


def _usual(u: Usual) -> Document:
    return {"opens_p50": date_text(u.opens_p50), "closes_p50": date_text(u.closes_p50), "years": u.years}


def _standing(s: Standing) -> Document:
    return {"opens": date_text(s.opens), "closes": date_text(s.closes), "unsure": s.unsure}


def _other(a: Assessment) -> Document:
    return {
        "window": a.window,
        "verdict": a.verdict,
        "today": a.today,
        "opens": quantiles_document(a.opens),
        "closes": quantiles_document(a.closes),
        "opens_too_late": a.opens_too_late,
    }


def _next(ahead: NextWindow) -> Document:
    return {
        "season": ahead.season,
        "opens": quantiles_document(ahead.opens),
        "closes": quantiles_document(ahead.closes),
    }


def _week_ahead(week: WeekAhead) -> Document:
    return {
        "date": week.date.isoformat(),
        "chance_open": finite(week.chance_open),
        "chance_closed": finite(week.chance_closed),
        "hazards": [finite(chance) for chance in week.hazards],
        "chance_good": finite(week.chance_good),
    }


def _explanation(explanation: Explanation) -> Document:
    return {
        "steps": [_step(step) for step in explanation.steps],
        "years": explanation.years,
        "early": [_year(year) for year in explanation.early],
        "late": [_year(year) for year in explanation.late],
        "learnt": learnt_document(explanation.learnt),
    }


def _step(step: Step) -> Document:
    return {
        **_reason(step.reason),
        "kind": step.kind,
        "counted_from": list(step.counted_from),
        "numbers": dict(step.numbers),
        "usual_p50": date_text(step.usual_p50),
        "file": step.file,
    }


def _year(year: YearDate) -> Document:
    return {"season": year.season, "opens": date_text(year.opens), "closes": date_text(year.closes)}


def _week(week: WeekChance) -> Document:
    return {"date": week.date.isoformat(), "chance": finite(week.chance), "usual": finite(week.usual)}


def _day(day: DayChance) -> Document:
    return {"date": day.date.isoformat(), "chance": finite(day.chance), "usual": finite(day.usual)}


def quantiles_document(dates: Quantiles) -> Document:
    """Dates, null where there is none."""
    return {"p10": date_text(dates.p10), "p50": date_text(dates.p50), "p90": date_text(dates.p90)}
