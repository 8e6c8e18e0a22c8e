"""What a number of the grower's own does to a window's usual dates, in a sentence."""

from __future__ import annotations

from season_engine.facts import Text
from season_engine.windows.assessment import OwnNumber
from season_engine.words import naming
from season_engine.words.speech import said, say, say_count


def own_number_text(one: OwnNumber) -> str:
    """Where the number stands, and how far it moves which date."""
    name = said(Text(one.window.replace("-", " "), context="window"))
    window = say("{job} ({window})", job=naming.job_name(one.job), window=name)
    opening = Text("the opening of {window} at {site}")
    closing = Text("the closing of {window} at {site}")
    words = {
        "place": say("In {file}, line {line}", file=one.file, line=one.line),
        "marker": one.marker,
        "species": one.species,
        "end": say(opening if one.end == "opens" else closing, window=window, site=one.site),
    }
    if one.days is None:
        never = Text(
            '{place}: "{marker}" of {species} leaves most seasons at {site} without a window for {window}.'
        )
        return say(never, window=window, site=one.site, **words)
    return _past_its_end(one, one.days, words) if one.past else _moved(one.days, words)


def _past_its_end(one: OwnNumber, days: int, words: dict[str, str]) -> str:
    if one.end == "closes":
        return say('{place}: "{marker}" of {species} puts {end} before its opening.', **words)
    return say_count(
        '{place}: "{marker}" of {species} puts {end} {n} day later than the number it replaces, after a '
        "stage that closes it.",
        '{place}: "{marker}" of {species} puts {end} {n} days later than the number it replaces, after a '
        "stage that closes it.",
        abs(days),
        **words,
    )


def _moved(days: int, words: dict[str, str]) -> str:
    later = Text('{place}: "{marker}" of {species} puts {end} {n} days later than the number it replaces.')
    earlier = Text(
        '{place}: "{marker}" of {species} puts {end} {n} days earlier than the number it replaces.'
    )
    return say(later if days > 0 else earlier, n=abs(days), **words)
