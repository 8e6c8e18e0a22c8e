"""One window in words, for the question whether it is too early or too late."""

from __future__ import annotations

from season_engine.messages import Units
from season_engine.report import phrases
from season_engine.report.cards import criterion, sources_behind
from season_engine.report.caution_text import caution_sentences
from season_engine.report.explanation_text import ahead_table, explanation_text
from season_engine.report.text import bullets, closes_once, opens_once, wrapped
from season_engine.windows.assessment import Assessment


def answer_text(assessment: Assessment, units: Units = "degC") -> str:
    """Verdict, today's advice, the reasons behind it and what to mind, at 80 columns."""
    a = assessment
    opens = [criterion(reason, a.as_of) for reason in a.reasons if reason.role == "opens"]
    closes = [criterion(reason, a.as_of) for reason in a.reasons if reason.role == "closes"]
    lines = [
        f"{phrases.title(a)}, at {phrases.plain(a.site)}, {phrases.full_day(a.as_of)}",
        "",
        *wrapped(f"{phrases.verdict_words(a)}. {phrases.verdict_sentence(a)} {a.learnt}", ""),
        *wrapped(f"Today: {phrases.today_words(a).lower()}. {phrases.sentence(a.today_why)}", ""),
        *wrapped(phrases.usual_sentence(a), ""),
        "",
        *wrapped(opens_once(opens), ""),
        *wrapped(closes_once(closes), ""),
        *wrapped(f"Rests on: {'; '.join(dict.fromkeys(one.source for one in opens + closes))}.", ""),
        "",
        *bullets(phrases.hazard_sentence(hazard) for hazard in a.hazards),
        *wrapped(phrases.weighing(a), ""),
        *ahead_table(a),
        *explanation_text(a, units),
        "",
        *bullets((*caution_sentences(a.cautions, units), *a.notes, *a.warnings)),
        *(
            ["", "Afterwards", *bullets(phrases.sentence(text) for text in a.aftercare)]
            if a.aftercare
            else []
        ),
        "",
        *bullets(phrases.sentence(source) for source in (*a.sources, *sources_behind([a]))),
    ]
    return "\n".join(line.rstrip() for line in lines) + "\n"
