"""The grower's notes on one species at one site, as stages seen or looked for in vain."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.markers.base import behind
from season_engine.note import Note
from season_engine.phenology.learning import Learnt
from season_engine.phenology.stages import StageNote, season_of
from season_engine.site import Season, Site, day_number
from season_engine.species.catalogue import Species
from season_engine.species.schema import Window
from season_engine.windows.assessment import LearntSummary

RESTING, FIRST_STIRRING = 0, 1  # BBCH: a bud at rest has not begun to swell


def notes_of(notes: Iterable[Note], species: Species, site: Site) -> tuple[Note, ...]:
    """The notes of a growth stage of this species at this site."""
    return tuple(
        note
        for note in notes
        if note.bbch is not None
        and note.site == site.name
        and note.species
        and species.is_called(note.species)
    )


def stage_notes(notes: Iterable[Note], species: Species, site: Site) -> tuple[StageNote, ...]:
    """Growth stages noted of this species at this site."""
    found = []
    for note in notes_of(notes, species, site):
        season = season_of(site, note.date, note.bbch or 0)
        resting = note.bbch == RESTING
        seen = not (resting or note.sighting == "not-yet")
        stage = FIRST_STIRRING if resting else note.bbch or 0
        earlier = note.sighting == "already"
        found.append(StageNote(season.year, _column(season, note), stage, seen, earlier, note.tree or ""))
    return tuple(found)


def learnt_summary(learnt: Learnt, species: Species, window: Window) -> LearntSummary | None:
    """What the notes changed for a window; None where they changed nothing."""
    its_own = behind((*window.opens, *window.closes), species.markers) & learnt.own_dates.keys()
    own_dates = tuple(marker.label for name, marker in species.markers.items() if name in its_own)
    seen = bool(learnt.seen or learnt.not_yet or learnt.already)
    days = round(learnt.shift_days)
    if not (learnt.notes or seen or (learnt.other_kinds and days) or own_dates):
        return None
    return LearntSummary(learnt.notes, days, seen, own_dates)


def _column(season: Season, note: Note) -> int:
    return day_number(note.date) - day_number(season.first_trace_day)
