"""One window in words, for the question whether it is too early or too late."""

from __future__ import annotations

from season_engine.report import phrases
from season_engine.report.sections import Criterion, criterion
from season_engine.report.text import bullets, wrapped
from season_engine.windows.assessment import Assessment


def answer_text(assessment: Assessment) -> str:
    """Verdict, today's advice, the reasons behind it and what to mind, at 80 columns."""
    a = assessment
    lines = [
        f"{phrases.title(a)}, at {phrases.plain(a.site)}, {phrases.full_day(a.as_of)}",
        "",
        *wrapped(f"{phrases.verdict_words(a)}. {phrases.verdict_sentence(a)}", ""),
        *wrapped(f"Today: {phrases.today_words(a).lower()}. {phrases.sentence(a.today_why)}", ""),
        *wrapped(phrases.usual_sentence(a), ""),
        "",
        *_criteria("Opens when", [criterion(r, a.as_of) for r in a.reasons if r.role == "opens"]),
        *_criteria("Closes when", [criterion(r, a.as_of) for r in a.reasons if r.role == "closes"]),
        *bullets(phrases.hazard_sentence(hazard) for hazard in a.hazards),
        "",
        *bullets((*a.cautions, *a.warnings, *a.sources)),
    ]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _criteria(heading: str, criteria: list[Criterion]) -> list[str]:
    details = (phrases.sentence(f"{one.state}; {one.source}") for one in criteria)
    return [heading, *bullets(f"{one.text} {detail}" for one, detail in zip(criteria, details, strict=True))]
