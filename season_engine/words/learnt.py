"""What was learnt from the grower's notes, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from season_engine.phenology.learning import Use
from season_engine.windows.assessment import LearntSummary, LearntTrail, MarkerMoved, NoteRead
from season_engine.words import prose, timing
from season_engine.words.speech import said, say, say_count
from season_engine.workspace.journal_words import noted_stage

SLIP = 0.5  # a note less likely to be right than this is taken for a slip
RECENT_YEARS = 1

_USES: Mapping[Use, str] = {
    "own date": "Counted among your own dates",
    "this season": "Counted in as this season's",
    "no such stage": "Not used: no marker of this species stands for that stage",
    "weather alone": "Not used for other seasons: the weather alone dates this stage",
    "no date": "Not used: of a past season it tells no date",
    "no weather": "Not used: no weather of that season to hold it against",
}


def learnt_sentence(learnt: LearntSummary | None) -> str:
    """What the notes changed; empty where they changed nothing."""
    if learnt is None:
        return ""
    taught = learnt.notes or abs(learnt.days) > 1  # a day from other kinds is no news
    notes = _shift_sentence(learnt.notes, learnt.days) if taught else ""
    own = "; ".join(said(label) for label in learnt.own_dates)
    parts = (
        notes,
        say("Dated by your notes alone, since weather tells no more of it: {what}.", what=own) if own else "",
        say("What you saw this season is counted in.") if learnt.seen_this_season else "",
    )
    return " ".join(part for part in parts if part)


def _shift_sentence(notes: int, days: int) -> str:
    """``By two notes of yours it runs 3 days later than the catalogue has it.``."""
    later = say_count(
        "{n} day later than the catalogue has it", "{n} days later than the catalogue has it", abs(days)
    )
    earlier = say_count(
        "{n} day earlier than the catalogue has it", "{n} days earlier than the catalogue has it", abs(days)
    )
    runs = (later if days > 0 else earlier) if days else say("as the catalogue has it")
    if not notes:
        return say("By your notes on other kinds it runs {runs}.", runs=runs)
    return say_count(
        "By one note of yours it runs {runs}.", "By {n} notes of yours it runs {runs}.", notes, runs=runs
    )


def learnt_lines(learnt: LearntTrail, as_of: dt.date) -> list[str]:
    """One sentence or two a note, then what all of them move."""
    lines = [_note(note, learnt, as_of) for note in learnt.notes]
    if learnt.shift_days and any(note.use == "moves" for note in learnt.notes):
        lines.append(f"Together: {_apart(learnt.shift_days)} the catalogue.")
    lines += _whose(learnt)
    return [*lines, *(_marker(one) for one in learnt.markers)]


def _whose(learnt: LearntTrail) -> list[str]:
    """``Your yard runs four days late for all. This tree runs two days earlier than its kind.``."""
    yard, tree = round(learnt.yard_days), round(learnt.tree_days)
    lines = []
    if yard:
        late = "late" if yard > 0 else "early"
        lines.append(
            f"By notes on other kinds your yard runs {prose.counted(abs(yard), 'day')} {late} for all."
        )
    if tree:
        later = "later" if tree > 0 else "earlier"
        lines.append(f"This tree runs {prose.counted(abs(tree), 'day')} {later} than its kind.")
    return lines


def _note(note: NoteRead, learnt: LearntTrail, as_of: dt.date) -> str:
    tree = f", {prose.plain(note.tree)}" if note.tree else ""
    stage = noted_stage(note.sighting, note.bbch, learnt.species)
    said = f"{timing.short_day(note.date, as_of)}{tree}, {stage}:"
    if note.rule is None or note.difference_days is None:
        return f"{said} {_USES[note.use]}."
    rule = f"{_by(note)} {timing.short_day(note.rule, as_of)}"
    days = round(note.difference_days)
    apart = f"{prose.counted(abs(days), 'day')} {'earlier' if days > 0 else 'later'}" if days else "the same"
    return f"{said} {rule}, {apart}. {_weight(note, learnt.shift_days)}"


def _weight(note: NoteRead, shift_days: float) -> str:
    if note.right is not None and note.right < SLIP:
        rest = abs(round((note.difference_days or 0.0) - shift_days))
        return f"Taken for a slip: {prose.counted(rest, 'day')} from the rest."
    old = [f"{prose.counted(note.age_years, 'year')} old"] if note.age_years > RECENT_YEARS else []
    why = [*old, *(["its stage stands in for another"] if note.later_days else [])]
    if not why:
        return "Counted fully."
    counts = prose.odds(note.weight or 0.0, in_hundreds=True)
    return f"Counts for less ({counts}): {', and '.join(why)}."


def _by(note: NoteRead) -> str:
    """What a note is held against: the rule of its own stage, or that of one some days before or after it."""
    days = round(note.later_days or 0.0)
    if note.use == "own date":
        return "among your own dates; the catalogue's rule usually gives"
    if not days:
        return "the catalogue's rule gave"
    side = "before" if days > 0 else "after"
    usual = f"{prose.counted(abs(days), 'day')} {side} {note.marker} as usual"
    return f"{usual}, by the catalogue's rule for that,"


def _marker(one: MarkerMoved) -> str:
    if one.by_own_dates:
        error = prose.counted(round(one.sd_after_days), "day")
        return (
            f"{one.marker}: by your own dates, as the weather of past seasons tells no more of it; "
            f"{_apart(one.days)} the catalogue, give or take {error}."
        )
    error = ""
    if one.sd_before_days:
        error = f", its error from {one.sd_before_days:.0f} to {one.sd_after_days:.0f} days"
    return f"{one.marker}: {_apart(one.days)} the catalogue{error}."


def _apart(days: float) -> str:
    whole = round(days)
    if not whole:
        return "as in"
    return f"{prose.counted(abs(whole), 'day')} {'later' if whole > 0 else 'earlier'} than in"
