"""How a site's own reports have fared, as one sentence of the weekly report."""

from __future__ import annotations

from season_engine.verify.own_score import OwnScore
from season_engine.words import prose
from season_engine.words.speech import say


def own_record_sentence(score: OwnScore) -> str:
    """How far off the dates were, how often the range held, and what they were held against."""
    days = round(score.mae)
    return say(
        "So far: of {n} openings foreseen two to six weeks ahead, the date was {error} on average, "
        "and {inside} of the {n} fell in the range given ({held_against}).",
        n=prose.number(score.n),
        error=prose.counts("{n} day out", "{n} days out", days) if days else say("less than a day out"),
        inside=say("all") if score.inside == score.n else prose.number(score.inside),
        held_against=_held_against(score),
    )


def _held_against(score: OwnScore) -> str:
    if not score.by_notes:
        return say("held against the same rules with the season's whole weather")
    if score.by_notes == score.n:
        return say("held against your notes")
    return say(
        "{n} held against your notes, the others against the same rules with the season's whole weather",
        n=prose.number(score.by_notes),
    )
