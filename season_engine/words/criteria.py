"""What opens and closes a window, each with how far it is and what its numbers rest on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.windows.assessment import Assessment, Reason
from season_engine.words import markers, prose, verdicts
from season_engine.words.prose import gathered
from season_engine.words.speech import say


@dataclass(frozen=True, slots=True)
class Criterion:
    """One reason of a window, in words."""

    text: str  # no full stop
    state: str
    met: bool
    source: str  # in a word or two


def criterion(reason: Reason, as_of: dt.date) -> Criterion:
    """One reason in words."""
    return Criterion(
        text=prose.plain(markers.reason_text(reason)),
        state=verdicts.reason_state(reason, as_of),
        met=reason.met,
        source=markers.rests_on(reason),
    )


def opening_criteria(a: Assessment) -> tuple[Criterion, ...]:
    """What opens a window; what held all along is no event, and is left out where anything else is told."""
    opens = [one for one in a.reasons if one.role == "opens"]
    events = [one for one in opens if not one.from_the_start]
    return tuple(criterion(one, a.as_of) for one in events or opens)


def closing_criteria(a: Assessment) -> tuple[Criterion, ...]:
    """What closes it."""
    return tuple(criterion(one, a.as_of) for one in a.reasons if one.role == "closes")


def sources_behind(assessments: Iterable[Assessment]) -> tuple[str, ...]:
    """What was read for the numbers that have a source, each once, beside what it is for."""
    reasons = (reason for a in assessments for reason in a.reasons if reason.source)
    return gathered(_source_of(reason) for reason in reasons)


def _source_of(reason: Reason) -> str:
    return prose.sentence(f"{markers.label_text(reason.label)}: {prose.plain(reason.source)}")


def opens_once(criteria: Iterable[Criterion]) -> str:
    """All that a window opens with, in one sentence."""
    *others, last = _told(criteria) or [""]
    if others:
        return say("Opens once {criteria}; and {last}.", criteria="; ".join(others), last=last)
    return say("Opens once {criterion}.", criterion=last) if last else ""


def closes_once(criteria: Iterable[Criterion]) -> str:
    """All that may close a window, in one sentence."""
    *others, last = _told(criteria) or [""]
    if others:
        return say("Closes once {criteria}; or {last}.", criteria="; ".join(others), last=last)
    return say("Closes once {criterion}.", criterion=last) if last else ""


def _told(criteria: Iterable[Criterion]) -> list[str]:
    return [f"{prose.small(one.text)} ({one.state})" for one in criteria]
