"""What moved since last week, and why: the weather that came, the notes that were made."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from season_engine.note import Note, notes_until
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.traces import SeasonView
from season_engine.windows.assessment import Assessment, End
from season_engine.windows.judge import KindOf, prospects_of
from season_engine.windows.noted import notes_of
from season_engine.windows.yard import Watched

Said = Callable[[Assessment, End], dt.date | None]  # what a report really said; None where it is not known

WORTH_TELLING_DAYS = 3
NEAR_DAYS = 42  # a window that opens later can move in peace
LEAST_WARMER_C = 0.5  # nearer to the usual than this is as usual


@dataclass(frozen=True, slots=True)
class Move:
    """One end of a window that moved, by how many days (later is more than 0), and what each cause did."""

    assessment: Assessment
    end: End
    since: dt.date  # the day it was foretold on before
    before: dt.date
    after: dt.date
    weather_days: int
    notes_days: int
    notes: tuple[Note, ...]  # that were made since, on this species
    recorded: bool  # whether the date before was really said, not worked out anew

    @property
    def days(self) -> int:
        """By how many days, later is more than 0."""
        return (self.after - self.before).days


@dataclass(frozen=True, slots=True)
class WeatherSince:
    """The days since, against the same days of past seasons."""

    days: int
    warmer_c: float
    colder_days: int
    warmer_days: int


class LastTime:
    """The site as it looked on an earlier day, and what was noted since.

    `notes` are all that were entered by now, what was taken back since among them.
    """

    def __init__(self, view: SeasonView, since: dt.date, notes: Sequence[Note], kinds: KindOf) -> None:
        self.since = since
        self._now = view
        self._then = view.earlier(since)
        self._notes = notes_until(notes, view.on)
        self._old_notes = notes_until(notes, since)
        self._by_old_notes = {
            then: prospects_of(self._then if then else view, self._old_notes, kinds) for then in (True, False)
        }

    def move(self, watched: Watched, said: Said) -> Move | None:
        """How far the date that matters has moved; None where that isn't worth telling."""
        a = watched.now
        end = self._end(a)
        dates = a.opens if end == "opens" else a.closes
        if dates.calendar:
            return None
        after = dates.p50
        worked_out = self._middle(watched, end, then=True)
        recorded = said(a, end)
        before = recorded or worked_out
        if before is None or after is None or abs((after - before).days) < WORTH_TELLING_DAYS:
            return None
        new = self._notes_since(watched.species)
        changed = new or self._taken_back(watched.species)
        by_weather = self._middle(watched, end, then=False) if changed else after
        moved = 0 if by_weather is None or worked_out is None else (by_weather - worked_out).days
        noted = 0 if by_weather is None else (after - by_weather).days
        return Move(a, end, self.since, before, after, moved, noted, new, recorded is not None)

    def weather_since(self) -> WeatherSince | None:
        """The days since then against past seasons; None where there are none to compare."""
        now, past = self._now.season(), self._now.past
        first = now.column(self.since) + 1
        days = slice(first, min(now.column(self._now.on) + 1, now.observed_days))
        if not len(past) or first < 0 or days.stop <= days.start:
            return None
        apart = now.mean_c[0, days] - past.mean_c[:, days].mean(axis=0)
        colder, warmer = (int(np.count_nonzero(apart * sign > LEAST_WARMER_C)) for sign in (-1, 1))
        return WeatherSince(int(apart.size), float(apart.mean()), colder, warmer)

    def _end(self, a: Assessment) -> End:
        """Its opening, where that was still ahead then or is now; else its closing."""
        return "opens" if a.opens.p50 is not None and a.opens.p50 > self.since else "closes"

    def _notes_since(self, species: Species) -> tuple[Note, ...]:
        """Stages noted since, on this species; some may be of a day before."""
        known = set(self._old_notes)
        return tuple(one for one in notes_of(self._notes, species, self._now.site) if one not in known)

    def _taken_back(self, species: Species) -> bool:
        """Whether a stage that was noted then no longer stands."""
        kept = set(self._notes)
        return any(one not in kept for one in notes_of(self._old_notes, species, self._now.site))

    def _middle(self, watched: Watched, end: End, *, then: bool) -> dt.date | None:
        """The middle date by the notes of that day, and by the weather of that day or of today."""
        view = self._then if then else self._now
        season = int(watched.now.season[:4])
        prospect = self._by_old_notes[then](watched.species, watched.size)
        opening = prospect.opening(watched.window, season - view.site.season_on(view.on).year)
        return opening.middle(end)


def moves(watched: Iterable[Watched], last_time: LastTime, said: Said) -> tuple[Move, ...]:
    """The windows in play whose date moved: those of heavy jobs first, what moved most at their head."""
    found = (last_time.move(one, said) for one in watched if in_play(one.now))
    return tuple(sorted((move for move in found if move), key=_order))


def in_play(a: Assessment) -> bool:
    """Whether a window is open, or opens within six weeks, and may go well."""
    if a.seldom_well is not None:
        return False
    if a.at_hand:
        return True
    ahead = a.opens.p50
    return a.verdict == "wait" and ahead is not None and (ahead - a.as_of).days <= NEAR_DAYS


def _order(move: Move) -> tuple[bool, int, dt.date, str, str]:
    a = move.assessment
    return not JOBS[a.job].heavy, -abs(move.days), move.after, a.common_name, a.job
