"""One hazard in words: what comes, how likely it is after a job done today, and what is forecast."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from season_engine.facts import Day, Degrees, Text
from season_engine.windows.hazard import (
    ColdNight,
    ColdRoots,
    ForecastExtreme,
    Hazard,
    HazardName,
    HotDays,
    HotRoots,
    WeatherEvent,
    worth_telling,
)
from season_engine.words.prose import gathered, listing, odds, plain, sentence
from season_engine.words.speech import said, say, say_count

SMALL_CHANCE = 0.05  # below this a hazard isn't worth a line of its own
_NAMES: Mapping[HazardName, Text] = {
    "frost": Text("frost"),
    "cold night": Text("cold night"),
    "root frost": Text("root frost"),
    "heat": Text("heat"),
    "hot spell": Text("hot spell"),
    "root heat": Text("hot roots"),
    "short season": Text("short season"),
}


def hazard_name(hazard: Hazard) -> str:
    """As a grower says it: ``frost``."""
    return said(_NAMES[hazard.name])


def event_text(event: WeatherEvent) -> str:
    """What would hurt, as words that follow "for": ``a night of -2 °C or colder``."""
    level = Degrees(event.level_c)
    match event:
        case HotDays(run=run):
            return say_count("a day of {level}", "{n} days of {level} running", run, level=level)
        case HotRoots(run=run):
            return say_count(
                "a rise of the pot's middle to {level}",
                "a rise of the pot's middle to {level} {n} days running",
                run,
                level=level,
            )
        case ColdRoots():
            return say("a fall of the pot's middle to {level}", level=level)
        case ColdNight():
            return say("a night of {level} or colder", level=level)


def forecast_text(hazard: Hazard) -> str:
    """What is forecast; empty where that isn't the hazard's event."""
    if hazard.forecast is None:
        return ""
    if hazard.of_roots:
        return _roots_forecast(hazard.forecast, cold=hazard.cold)
    return _cold_forecast(hazard.forecast) if hazard.cold else _hot_forecast(hazard.forecast)


def _roots_forecast(worst: ForecastExtreme, *, cold: bool) -> str:
    night = Text("by the forecast the pot's middle falls to about {degrees} in the night to {date}")
    day = Text("by the forecast the pot's middle reaches about {degrees} on {date}")
    return say(night if cold else day, degrees=_whole(worst), date=_day(worst))


def _hot_forecast(worst: ForecastExtreme) -> str:
    return say("about {degrees} is forecast for {date}", degrees=_whole(worst), date=_day(worst))


def _cold_forecast(worst: ForecastExtreme) -> str:
    frost = Text("frost of about {degrees} is forecast for the night to {date}")
    night = Text("a night of about {degrees} is forecast for the night to {date}")
    return say(frost if worst.value_c < 0 else night, degrees=_whole(worst), date=_day(worst))


def _whole(worst: ForecastExtreme) -> Degrees:
    return Degrees(round(worst.value_c))


def _day(worst: ForecastExtreme) -> Day:
    return Day(worst.on, weekday=True)


def hazard_text(hazard: Hazard) -> str:
    """Its odds after doing the job today, and what is forecast."""
    forecast = forecast_text(hazard)
    told = _done_today(hazard)
    return say("{hazard}; {forecast}", hazard=told, forecast=forecast) if forecast else told


def _done_today(hazard: Hazard) -> str:
    return _odds(
        hazard,
        Text("{odds} that too little warmth is left for it to recover, done today"),
        Text("{odds} that {event} comes within {days} days of doing it today"),
        Text("{odds} that {event} come within {days} days of doing it today"),
    )


def hazard_brief(hazard: Hazard) -> str:
    """Its odds, without when the job is done, and without a forecast."""
    return _odds(
        hazard,
        Text("{odds} that too little warmth is left for it to recover"),
        Text("{odds} that {event} comes within {days} days"),
        Text("{odds} that {event} come within {days} days"),
    )


def _odds(hazard: Hazard, too_little_warmth: Text, comes: Text, come: Text) -> str:
    chance, event = odds(hazard.chance, in_hundreds=True), hazard.event
    if event is None:
        return say(too_little_warmth, odds=chance)
    several = isinstance(event, HotDays) and event.run > 1
    return say(come if several else comes, odds=chance, event=event_text(event), days=hazard.days)


def hazard_sentence(hazard: Hazard) -> str:
    """What it is, and its odds after doing the job today."""
    return sentence(f"{plain(hazard_name(hazard))}: {plain(hazard_text(hazard))}")


def hazard_sentences(hazards: Sequence[Hazard]) -> tuple[str, ...]:
    """A sentence each, and one for all that are mild; of several kinds of cold the likeliest alone."""
    told = worth_telling(hazards)
    likely = tuple(hazard_sentence(one) for one in told if not is_mild(one))
    return (*likely, *filter(None, [mild_sentence(filter(is_mild, told))]))


def is_mild(hazard: Hazard) -> bool:
    """Whether it isn't worth a line of its own."""
    return hazard.chance < SMALL_CHANCE and hazard.forecast is None


def mild_sentence(hazards: Iterable[Hazard]) -> str:
    """``Less likely than 5 in 100: a night of -8 °C or colder and a day of 35 °C.``; empty of none.

    By its level, since "frost" may be taken for the first; of several by one name the likeliest.
    """
    likeliest: dict[HazardName, Hazard] = {}
    for one in hazards:
        known = likeliest.setdefault(one.name, one)
        likeliest[one.name] = max(known, one, key=lambda hazard: hazard.chance)
    events = (event_text(one.event) if one.event else hazard_name(one) for one in likeliest.values())
    told = Text("Less likely than {odds}: {hazards}.")
    return say(told, odds=odds(SMALL_CHANCE), hazards=listing(gathered(events))) if likeliest else ""
