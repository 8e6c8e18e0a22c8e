"""The trail behind a window's dates, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from season_engine.prints.layout import bullets, wrapped
from season_engine.species.held import Held
from season_engine.windows.assessment import (
    Assessment,
    Explanation,
    PotTaken,
    Reason,
    Step,
    WeekAhead,
    YearDate,
)
from season_engine.words import markers, prose, quantities, timing, verdicts
from season_engine.words.learnt import learnt_lines
from season_engine.words.one_hazard import hazard_name


def explanation_text(assessment: Assessment) -> list[str]:
    """Lines of at most 80 columns; none where no explanation was asked for."""
    if assessment.explanation is None:
        return []
    explanation, as_of = assessment.explanation, assessment.as_of
    steps = (f"{_step(step, as_of)}" for step in explanation.steps)
    learnt = learnt_lines(explanation.learnt, as_of)
    notes = ["", "What was learnt from your notes", *bullets(learnt)] if learnt else []
    pot = bullets([_pot(explanation.pot)]) if explanation.pot else []
    held = ["", *wrapped(_held(explanation.held), "")] if explanation.held else []
    years = _years(explanation, as_of)
    if told := timing.by_calendar(assessment.opens, as_of):
        years = iter(["", *wrapped(f"It opens {told}, whatever the weather.", "")])
    floor = wrapped(verdicts.floor_sentence(assessment), "")
    return ["", "How the dates come about", *bullets(steps), *pot, *floor, *notes, *years, *held]


def ahead_table(assessment: Assessment) -> list[str]:
    """The job done today and in the weeks after, side by side; nothing where the window is far."""
    if not assessment.ahead:
        return []
    names = [hazard_name(hazard) for hazard in assessment.hazards]
    head = ["done on", "open", "closed", *names, "goes well"]
    rows = [_row(week, assessment.as_of) for week in assessment.ahead]
    widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
    lines = [
        "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)) for row in [head, *rows]
    ]
    return [
        "",
        "Chances in 100, if the job is done today or in the next weeks",
        *(f"  {line}" for line in lines),
    ]


def _row(week: WeekAhead, as_of: dt.date) -> list[str]:
    chances = (week.chance_open, week.chance_closed, *week.hazards, week.chance_good)
    return [timing.short_day(week.date, as_of), *(str(round(100 * chance)) for chance in chances)]


def _step(step: Step, as_of: dt.date) -> str:
    reason = step.reason
    counted = f", counted with {prose.listing(list(step.counted_from))}" if step.counted_from else ""
    given = {name: value for name, value in step.numbers.items() if value}
    told = quantities.named_numbers(given, reason.unit)
    numbers = prose.plain(", ".join(f"{name} {value}" for name, value in told.items()))
    measured = ""
    if reason.have is not None and reason.need is not None:
        have, need = (quantities.number(value, reason.unit) for value in (reason.have, reason.need))
        measured = f" Measured so far: {prose.amount(have)}; needed: {prose.amount(need)}."
    state = prose.sentence(verdicts.reason_state(reason, as_of))
    usual = f" Usually about {timing.short_day(step.usual_p50, as_of)}." if step.usual_p50 else ""
    if reason.by == "calendar":
        usual = " The calendar sets it, not the weather."
    return (
        f"{reason.marker} ({step.kind.replace('_', ' ')}{counted}): {numbers}.{measured} {state}{usual} "
        f"It rests on {_origin(reason)}, in {step.file}.{_reach(reason)}"
        f"{f' {_stage_held(step.held)}' if step.held else ''}"
    )


def _reach(reason: Reason) -> str:
    """What its numbers were measured in, where that is told."""
    if not reason.reach:
        return ""
    stretched = ", stretched to this species" if reason.stretched else ""
    return f" Measured in {prose.plain(reason.reach)}{stretched}."


def _held(held: Held) -> str:
    return (
        f"Held against dates that growers give in {prose.counted(held.climates, 'climate')} (common "
        f"practice, no source): of {prose.counted(held.ends, 'end')} eight in ten lie within "
        f"{prose.counted(held.eight_in_ten_days, 'day')} of theirs, {_within(held)}."
    )


def _stage_held(held: Held) -> str:
    return (
        f"Held against dates that growers give in {prose.counted(held.climates, 'climate')}, eight in ten "
        f"lie within {prose.counted(held.eight_in_ten_days, 'day')}, {_within(held)}."
    )


def _within(held: Held) -> str:
    return f"{prose.number(held.within_21_days)} of {prose.number(held.ends)} within three weeks"


def _pot(pot: PotTaken) -> str:
    litres = f"{pot.litres:.3g}"
    of_size = "" if pot.known_by == "pot" else ", as trees of its size have (nobody said: pot in trees.csv)"
    sun = {"sun": "in full sun", "half": "in half sun", "shade": "in open shade"}[pot.sun]
    told = "" if pot.sun_told else " (nobody said: sun_on_pots in season.toml)"
    wall = f", {pot.colour}" if pot.colour else ", earthen (nobody said: pot_colour)"
    return f"Roots are looked at in a pot of {litres} litres{of_size}, {sun}{told}{wall}."


def _origin(reason: Reason) -> str:
    origin = "memory" if reason.provenance == "memory" else markers.provenance_text(reason)
    return f"{origin}: {prose.plain(reason.source)}" if reason.source else origin


def _years(explanation: Explanation, as_of: dt.date) -> Iterator[str]:
    seasons = prose.counted(explanation.years, "past season")
    early, late = _dates(explanation.early, as_of), _dates(explanation.late, as_of)
    text = f"Of {seasons}, it opened earliest in {early}, and latest in {late}."
    yield from ("", *wrapped(text, ""))


def _dates(years: Sequence[YearDate], as_of: dt.date) -> str:
    told = (
        f"{year.season} (none)"
        if year.opens is None
        else f"{year.season} ({timing.short_day(year.opens, as_of)})"
        for year in years
    )
    return prose.listing(list(told))
