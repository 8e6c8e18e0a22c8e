"""The first screen of a report as JSON."""

from __future__ import annotations

from season_engine.advice.choice import Choice
from season_engine.advice.first_screen import FirstScreen
from season_engine.advice.hindsight import PastErrors
from season_engine.advice.moves import Move, WeatherSince
from season_engine.advice.protect import Threat
from season_engine.documents.json_values import Document, date_text, finite


def first_screen_document(first: FirstScreen) -> Document:
    """Which trees to work first, what to protect, what moved; the buds to look at are `look_at`."""
    return {
        "work": [_choice(choice) for choice in first.work],
        "protect": [_threat(threat) for threat in first.protect],
        "moved": [_move(move) for move in first.moved],
        "weather_since": None if first.weather_since is None else _weather(first.weather_since),
    }


def _choice(choice: Choice) -> Document:
    a = choice.first
    return {
        "species": a.species,
        "job": a.job,
        "window": a.window,
        "trees": [one.tree for one in choice.assessments if one.tree is not None],
        "lost_by_waiting": finite(choice.lost),
        "past_errors": None if choice.past_errors is None else _errors(choice.past_errors),
    }


def _errors(errors: PastErrors) -> Document:
    return {"end": errors.end, "years": list(errors.years), "days": list(errors.days)}


def _threat(threat: Threat) -> Document:
    return {
        "name": threat.hazard.name,
        "text": threat.event,
        "chance": finite(threat.hazard.chance),
        "days": threat.hazard.days,
        "forecast_on": date_text(threat.hazard.forecast_on),
        "job": threat.why or None,
        "worked_on": date_text(threat.worked_on),
        "trees": list(threat.trees),
    }


def _move(move: Move) -> Document:
    a = move.assessment
    return {
        "species": a.species,
        "job": a.job,
        "window": a.window,
        "end": move.end,
        "since": move.since.isoformat(),
        "before": move.before.isoformat(),
        "after": move.after.isoformat(),
        "days": move.days,
        "weather_days": move.weather_days,
        "notes_days": move.notes_days,
        "recorded": move.recorded,
    }


def _weather(weather: WeatherSince) -> Document:
    return {
        "days": weather.days,
        "warmer_c": finite(weather.warmer_c),
        "colder_days": weather.colder_days,
        "warmer_days": weather.warmer_days,
    }
