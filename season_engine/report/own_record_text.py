"""How a site's own reports have fared, as one sentence of the weekly report."""

from __future__ import annotations

from season_engine.report import phrases
from season_engine.verify.own_score import OwnScore


def own_record_sentence(score: OwnScore) -> str:
    """How far off the dates were, how often the range held, and what they were held against."""
    days, all_of_them = round(score.mae), phrases.number(score.n)
    out = f"{phrases.counted(days, 'day')} out" if days else "less than a day out"
    inside = "all" if score.inside == score.n else phrases.number(score.inside)
    return (
        f"So far: of {all_of_them} openings foreseen two to six weeks ahead, the date was {out} on average, "
        f"and {inside} of the {all_of_them} fell in the range given ({_held_against(score)})."
    )


def _held_against(score: OwnScore) -> str:
    weather = "the same rules with the season's whole weather"
    if not score.by_notes:
        return f"held against {weather}"
    if score.by_notes == score.n:
        return "held against your notes"
    return f"{phrases.number(score.by_notes)} held against your notes, the others against {weather}"
