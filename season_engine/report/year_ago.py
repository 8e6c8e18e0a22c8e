"""What the grower noted and did in the same week a year ago, and how this season runs against it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.note import Note, Sighting
from season_engine.phenology.stages import season_of, stand_in
from season_engine.species.catalogue import Species
from season_engine.windows.assess import Prospect
from season_engine.windows.choice import DEFAULT_SIZE
from season_engine.windows.yard import Yard

WITHIN = dt.timedelta(days=7)  # of the same day a year ago


@dataclass(frozen=True, slots=True)
class Whose:
    """What a note is about: trees by their ids, or a species; neither: the whole yard."""

    trees: tuple[str, ...] = ()
    species: str = ""  # botanical name, or as typed where the catalogue doesn't hold it
    common_name: str = ""


@dataclass(frozen=True, slots=True)
class StageThen:
    """A growth stage noted a year ago, and when it comes this season."""

    date: dt.date
    whose: Whose
    bbch: int
    sighting: Sighting
    this_season: dt.date | None = None  # its middle date; None: not known, or no day was noted then
    seen: bool = False  # this season too, so that its date is noted

    @property
    def later_days(self) -> int | None:
        """By how many days this season is later than then, each day counted in its own year."""
        if self.this_season is None:
            return None
        return (self.this_season - _years_on(self.date, 1)).days


@dataclass(frozen=True, slots=True)
class WorkThen:
    """A job done a year ago."""

    date: dt.date
    whose: Whose
    job: str


@dataclass(frozen=True, slots=True)
class RemarkThen:
    """Words noted a year ago, of no stage and no job."""

    date: dt.date
    whose: Whose
    words: str


@dataclass(frozen=True, slots=True)
class YearAgo:
    """The notes of the same week a year ago, the oldest first; what is alike of a day is one."""

    first: dt.date  # of the days looked at
    last: dt.date
    stages: tuple[StageThen, ...] = ()
    works: tuple[WorkThen, ...] = ()
    remarks: tuple[RemarkThen, ...] = ()


def year_ago(yard: Yard) -> YearAgo | None:
    """What was noted then of the yard and of trees that still stand in it; None where nothing was."""
    day = _years_on(yard.view.on, -1)
    first, last = day - WITHIN, day + WITHIN
    kept = {tree.id for tree in yard.trees}
    notes = sorted(
        (
            note
            for note in yard.notes
            if first <= note.date <= last
            and note.site == yard.view.site.name
            and (note.tree is None or note.tree in kept)
        ),
        key=lambda note: note.date,
    )
    found = YearAgo(first, last, _stages(yard, notes), _works(yard, notes), _remarks(yard, notes))
    return found if found.stages or found.works or found.remarks else None


def _years_on(date: dt.date, years: int) -> dt.date:
    """The same day some years later; 29 February counts as the day before where there is none."""
    try:
        return date.replace(year=date.year + years)
    except ValueError:
        return date.replace(year=date.year + years, day=28)


def _stages(yard: Yard, notes: Iterable[Note]) -> tuple[StageThen, ...]:
    alike: dict[tuple[object, ...], list[Note]] = {}
    for note in notes:
        if note.bbch is not None:
            kind = _kind(yard, note)
            name = kind.name if kind else note.species
            alike.setdefault((note.date, name, note.bbch, note.sighting), []).append(note)
    return tuple(_stage(yard, group) for group in alike.values())


def _stage(yard: Yard, alike: Sequence[Note]) -> StageThen:
    note, kind = alike[0], _kind(yard, alike[0])
    then = StageThen(note.date, _whose(yard, alike), note.bbch or 0, note.sighting)
    if kind is None or note.sighting != "seen":
        return then
    return _with_this_season(then, _prospect(yard, kind, note))


def _with_this_season(then: StageThen, prospect: Prospect) -> StageThen:
    """With the middle date that the same stage has a season on; none where no marker stands for it."""
    stands = stand_in(prospect.species, then.bbch)
    if stands is None:
        return then
    site, on = prospect.view.site, prospect.view.on
    shift = season_of(site, then.date, then.bbch).year + 1 - site.season_on(on).year
    dating = prospect.dating(shift)
    column = float(dating.odds(stands.marker).by(0.5)) - stands.later_days
    return StageThen(
        *(then.date, then.whose, then.bbch, then.sighting, dating.traces.date_of(column)),
        seen=stands.marker in prospect.learnt(shift).seen,
    )


def _works(yard: Yard, notes: Iterable[Note]) -> tuple[WorkThen, ...]:
    alike: dict[tuple[dt.date, str, bool], list[Note]] = {}
    for note in notes:
        if note.job is not None:
            alike.setdefault((note.date, note.job, note.tree is None), []).append(note)
    return tuple(
        WorkThen(date, whose, job)
        for (date, job, _), group in alike.items()
        for whose in _each_whose(yard, group)
    )


def _remarks(yard: Yard, notes: Iterable[Note]) -> tuple[RemarkThen, ...]:
    alike: dict[tuple[dt.date, str, bool], list[Note]] = {}
    for note in notes:
        if note.bbch is None and note.job is None and note.note.strip():
            alike.setdefault((note.date, note.note, note.tree is None), []).append(note)
    return tuple(
        RemarkThen(date, whose, words)
        for (date, words, _), group in alike.items()
        for whose in _each_whose(yard, group)
    )


def _each_whose(yard: Yard, notes: Sequence[Note]) -> Iterable[Whose]:
    """The trees together, and each species by itself."""
    if notes[0].tree is not None:
        return [_whose(yard, notes)]
    return dict.fromkeys(_whose(yard, [note]) for note in notes)


def _whose(yard: Yard, notes: Sequence[Note]) -> Whose:
    kind = _kind(yard, notes[0])
    trees = tuple(dict.fromkeys(note.tree for note in notes if note.tree is not None))
    return Whose(trees, kind.name if kind else notes[0].species or "", kind.common[0] if kind else "")


def _kind(yard: Yard, note: Note) -> Species | None:
    if note.tree is not None:
        return yard.kinds[note.tree]
    return yard.catalogue.get(note.species) if note.species else None


def _prospect(yard: Yard, kind: Species, note: Note) -> Prospect:
    own = (prospect for history, prospect in yard.own if history.tree.id == note.tree)
    return next(own, None) or yard.prospect(kind, DEFAULT_SIZE)
