"""What the grower's notes taught, note by note: what each said, what the rule gave, what it counts for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np

from season_engine.note import Note
from season_engine.phenology.learning import Learnt, Lesson, told_by_notes
from season_engine.phenology.rule_error import with_its_draws
from season_engine.phenology.stages import season_of
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
    taught = learnt.notes or learnt.other_kinds or learnt.own_dates
    moved = tuple(_moved(prospect, name, learnt) for name in markers) if taught else ()
    return LearntTrail(
        prospect.species.name,
        read,
        learnt.shift_days,
        learnt.yard_days,
        learnt.tree_days,
        tuple(one for one in moved if one is not None),
    )


def _read(prospect: Prospect, note: Note, lesson: Lesson, shift: int) -> NoteRead:
    moves = lesson.use in ("moves", "own date")
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
        age_years=season.year - season_of(site, note.date, note.bbch or 0).year,
        weight=lesson.weight if moves else None,
        right=lesson.right if moves else None,
        later_days=lesson.later_days if moves else None,
    )


def _before(date: dt.date, days: int) -> dt.date:
    """So many days before, in a calendar without leap days."""
    number = day_number(date) - days
    common_year = dt.date(2001, 1, 1) + dt.timedelta(days=number % 365)
    return common_year.replace(year=number // 365)


def _moved(prospect: Prospect, name: str, learnt: Learnt) -> MarkerMoved | None:
    """By how much the notes move a marker, in the middle of past seasons; None where they don't."""
    moved, rule = prospect.past.plain[name], prospect.as_catalogued.plain[name]
    come = np.isfinite(moved) & np.isfinite(rule)
    days = float(np.median(moved[come] - rule[come])) if come.any() else 0.0
    marker = prospect.species.markers[name]
    own = learnt.own_dates.get(name)
    if own is None and not told_by_notes(marker) and not round(days):
        return None
    before = with_its_draws(prospect.species.markers, name).sd_days
    after = marker.sd_days * learnt.spread if own is None else float(np.asarray(own.sd_days))
    return MarkerMoved(name, days, marker.sd_days if own is None else before, after, own is not None)
