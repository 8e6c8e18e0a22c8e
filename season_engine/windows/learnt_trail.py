"""What the grower's notes taught, note by note: what each said, what the rule gave, what it counts for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np

from season_engine.note import Note
from season_engine.phenology.learning import Lesson
from season_engine.site import day_number
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import LearntTrail, MarkerMoved, NoteRead


def learnt_trail(prospect: Prospect, markers: Iterable[str], shift: int) -> LearntTrail:
    """The notes behind the dates of a season, and how far each of these markers has moved by them."""
    learnt = prospect.learnt(shift)
    read = tuple(
        _read(prospect, note, lesson, shift)
        for note, lesson in zip(prospect.written, learnt.lessons, strict=True)
    )
    taught = learnt.notes or learnt.other_kinds or learnt.apart
    spreads = {name: learnt.apart.get(name, (0.0, learnt.spread))[1] for name in markers}
    moved = tuple(_moved(prospect, name, spread) for name, spread in spreads.items()) if taught else ()
    return LearntTrail(
        prospect.species.name,
        read,
        learnt.shift_days,
        learnt.yard_days,
        learnt.tree_days,
        tuple(one for one in moved if one is not None),
    )


def _read(prospect: Prospect, note: Note, lesson: Lesson, shift: int) -> NoteRead:
    moves = lesson.use == "moves"
    site = prospect.view.site
    season = site.season_on(prospect.view.on).shifted(shift)
    return NoteRead(
        date=note.date,
        tree=note.tree,
        bbch=note.bbch or 0,
        sighting=note.sighting,
        use=lesson.use,
        marker=lesson.marker or None,
        rule=_before(note.date, round(lesson.difference_days)) if moves else None,
        difference_days=lesson.difference_days if moves else None,
        age_years=season.year - site.season_on(note.date).year,
        weight=lesson.weight if moves else None,
        right=lesson.right if moves else None,
        later_days=lesson.later_days if moves else None,
    )


def _before(date: dt.date, days: int) -> dt.date:
    """So many days before, in a calendar without leap days."""
    number = day_number(date) - days
    common_year = dt.date(2001, 1, 1) + dt.timedelta(days=number % 365)
    return common_year.replace(year=number // 365)


def _moved(prospect: Prospect, name: str, spread: float) -> MarkerMoved | None:
    """By how much the notes move a marker, in the middle of past seasons; None where they don't."""
    apart = prospect.past.plain[name] - prospect.as_catalogued.plain[name]
    days = float(np.median(apart[np.isfinite(apart)])) if np.isfinite(apart).any() else 0.0
    sd_days = prospect.species.markers[name].sd_days
    if not sd_days and not round(days):
        return None
    return MarkerMoved(name, days, sd_days, sd_days * spread)
