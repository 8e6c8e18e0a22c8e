"""What weather would harm a tree on each day of a season: by its kind, its state and what was done to it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.advice.outdoors import Felt, Outdoors
from season_engine.species.floors import Floor, floor_of
from season_engine.species.jobs import JOBS
from season_engine.species.kinds import is_kind
from season_engine.species.schema import ColdHazard, HeatHazard, ShortSeason
from season_engine.trees.history import History
from season_engine.trees.need import is_for
from season_engine.windows.assess import Prospect

FloatArray = NDArray[np.float64]

Face = Literal[
    "cold night",
    "cool night",  # of those that move with the season, and bear no frost however wrapped
    "cold roots",
    "frozen ball",
    "waking",
    "early frost",
    "late frost",
    "cold after work",
    "heat",
    "heat after work",
    "shade cloth",
]

# All of these are common practice, written from memory, no source.
ALARM_C = 35.0
NOT_HARDENED_C, SWELLING_C = 5.0, 4.0  # by so much the floor is higher
SOFT_C, SOFT_CLEAR_C = 0.0, 2.0
ROOT_WORK_DAYS, HEALED_DAYS, TENDER_DAYS, BENT_DAYS = 42, 45, 28, 56
AFTER_ROOTS_C, AFTER_FLESHY_ROOTS_C = -2.0, 0.0
BENT_C = -5.0
YOUNG_ROOTS_C = 5.0  # so much sooner die roots that are young: our judgement, of 7 or 8 read for two kinds
FROZEN_DAYS = 5
WARM_C, WARM_DAYS = 7.0, 3
FROST_AFTER_DAYS = 42
BEFORE_LEAVES_DAYS, WITHOUT_BUDS_DAYS = 21, 90
WORTH_ACTING = 0.2  # a move costs an hour, a tree years (judgement)
EVEN = 0.5  # for what goes in for comfort, well before anything is lost
GROWING, REST, SWELLING, SOFT = range(4)


@dataclass(frozen=True, eq=False)
class Danger:
    """What harms a tree, and from which temperature on."""

    face: Face
    felt: Felt
    level_c: FloatArray  # of each day of the calendar, shape (days,); NaN where nothing is to be feared
    clear_c: FloatArray | float = 0.0  # by so much higher on clear nights
    run: int = 1  # days in a row that do the harm
    job: str = ""  # the work after which it is to be feared
    worked_on: dt.date | None = None
    worth: float = WORTH_ACTING  # the odds within ten days from which on something is done

    @property
    def hot(self) -> bool:
        """Whether it is warmth that harms."""
        return self.felt in ("day", "mean", "hottest roots")


@dataclass(frozen=True, eq=False)
class TreeYear:
    """One tree's year on the calendar of the yard's season: its states and the dangers in them."""

    history: History
    prospect: Prospect
    outdoors: Outdoors

    @property
    def _floor(self) -> Floor | None:
        return floor_of(self.prospect.species)

    def dangers(self) -> Iterator[Danger]:
        """All that may harm it in any weather, those of work on it first."""
        yield from self._after_work()
        floor = self._floor
        if floor is None:
            return
        level = np.full(self.states.size, floor.of_size(self.history.tree.size))
        if floor.hardens:
            yield from self._of_states(level)
            yield from self._of_rest(floor)
        else:
            yield Danger("cool night", "night", level, worth=EVEN)
        yield Danger("heat", "day", np.full(self.states.size, max(floor.ceiling_c, ALARM_C)))

    def _of_states(self, floor_c: FloatArray) -> Iterator[Danger]:
        rest = np.where(self.states == REST, floor_c, np.nan)
        for work in self.history.works:
            if is_kind(self.prospect.species, "conifer") and (work.job, work.amount) == ("wiring", "heavy"):
                rest = np.where(self._after(work.on, BENT_DAYS), np.maximum(rest, BENT_C), rest)
        yield Danger("cold night", "night", rest)
        growing = np.where(self.states == GROWING, _raised(floor_c, NOT_HARDENED_C), np.nan)
        yield Danger("early frost", "night", growing)
        soft = self.states == SOFT
        swelling_c = _raised(floor_c, SWELLING_C)
        blackens = self._sheds or self._conifer
        woken = np.where(self.states == SWELLING, swelling_c, np.nan)
        woken = np.where(soft, SOFT_C if blackens else swelling_c, woken)
        yield Danger("late frost", "night", woken, np.where(soft & blackens, SOFT_CLEAR_C - SOFT_C, 0.0))

    def _of_rest(self, floor: Floor) -> Iterator[Danger]:
        rest = self.states == REST
        if floor.roots_killed_c is not None:
            level = np.where(rest, floor.roots_killed_c + YOUNG_ROOTS_C, np.nan)
            yield Danger("cold roots", "coldest roots", level)
        if not self._sheds and self.outdoors.season.site.sun_on_pots != "shade":
            yield Danger("frozen ball", "mean roots", np.where(rest, 0.0, np.nan), run=FROZEN_DAYS)
        if floor.wakes_early and self.outdoors.hardened is not None:
            yield self._waking(floor)

    def _waking(self, floor: Floor) -> Danger:
        """A warm spell once chill is met, as long as nights may follow that it bears no more."""
        season = self.outdoors.season
        chill = self._column_of(*(n for n in self.prospect.species.markers if n.startswith("chill")))
        start = season.column(season.season.shortest_day) if chill is None else chill
        days = np.arange(self.states.size)
        cold = self.outdoors.past.tmin_c - season.bench_frost_allowance_c <= floor.floor_c + SWELLING_C
        frost = chance_within(cold, self.outdoors.past.weights, FROST_AFTER_DAYS) >= WORTH_ACTING
        fits = (self.states == REST) & (days >= start) & frost
        return Danger("waking", "mean", np.where(fits, WARM_C, np.nan), run=WARM_DAYS)

    def _after_work(self) -> Iterator[Danger]:
        """By the hazards of jobs done lately, and of root work by what roots bear."""
        for job in dict.fromkeys(work.job for work in self.history.works):
            done = self.history.last(job)
            if done is None or (self.outdoors.on - done).days > HEALED_DAYS:
                continue
            if JOBS[job].roots:
                fleshy = self._floor is not None and self._floor.fleshy_roots
                level_c = AFTER_FLESHY_ROOTS_C if fleshy else AFTER_ROOTS_C
                yield self._worked("cold after work", "night", level_c, ROOT_WORK_DAYS, job, done)
            for rule in self._rules(job):
                days = min(rule.days, HEALED_DAYS)
                if isinstance(rule, HeatHazard):
                    felt: Felt = "hottest roots" if rule.name == "root heat" else "day"
                    yield self._worked("heat after work", felt, rule.level_c, days, job, done, rule.run)
                else:
                    felt = "coldest roots" if rule.name == "root frost" else "night"
                    yield self._worked("cold after work", felt, rule.level_c, days, job, done)

    def _worked(
        self, face: Face, felt: Felt, level_c: float, days: int, job: str, done: dt.date, run: int = 1
    ) -> Danger:
        level = np.where(self._after(done, days), level_c, np.nan)
        return Danger(face, felt, level, run=run, job=job, worked_on=done)

    def _rules(self, job: str) -> list[ColdHazard | HeatHazard]:
        """The hazards after a job: of its windows' rules each kind's first."""
        windows = (one for one in self.prospect.species.windows if one.job == job)
        rules = (rule for one in windows if is_for(one, self.history.tree) for rule in one.hazard)
        kinds: dict[str, ColdHazard | HeatHazard] = {}
        for rule in rules:
            if not isinstance(rule, ShortSeason):
                kinds.setdefault(rule.name, rule)
        return list(kinds.values())

    @cached_property
    def states(self) -> NDArray[np.int64]:
        """Whether it grows, rests, swells or is in soft leaf on each day, shape (days,)."""
        season = self.outdoors.season
        days = np.arange(season.days.size)
        hardened = self.outdoors.hardened
        midwinter = season.column(season.season.shortest_day)
        rests = midwinter if hardened is None else min(hardened, midwinter)  # short days harden too
        swells, leaves, hard = self._spring(midwinter)
        found = np.full(days.size, GROWING)
        for year in (-365, 0, 365):
            for state, first, last in (
                (REST, rests, swells),
                (SWELLING, swells, leaves),
                (SOFT, leaves, hard),
            ):
                found[(days >= first + year) & (days < last + year)] = state
        return found

    def _spring(self, midwinter: int) -> tuple[int, int, int]:
        """Columns on which buds swell, leaves come and are hard: by its markers, with even odds."""
        stages = [(one.bbch, name) for name, one in self.prospect.species.markers.items() if one.bbch]
        swells = self._column_of(*(name for bbch, name in sorted(stages) if bbch < 9))
        in_leaf = [name for bbch, name in sorted(stages) if 9 <= bbch <= 19]
        leaves, last = self._column_of(*in_leaf), self._column_of(*reversed(in_leaf))
        if leaves is None or last is None:
            woken = midwinter + WITHOUT_BUDS_DAYS if swells is None else swells
            leaves = last = woken + (0 if swells is None else BEFORE_LEAVES_DAYS)
            return woken, leaves, leaves if swells is None else last + TENDER_DAYS
        swells = leaves - BEFORE_LEAVES_DAYS if swells is None else min(swells, leaves)
        return swells, leaves, last + TENDER_DAYS

    def _column_of(self, *names: str) -> int | None:
        """Column of the first of these markers' date that there is."""
        for name in names:
            if (date := self.prospect.marker_date(name, 0)) is not None:
                return self.outdoors.season.column(date)
        return None

    def _after(self, date: dt.date, days: int) -> NDArray[np.bool_]:
        since = np.arange(self.states.size) - self.outdoors.season.column(date)
        return (since > 0) & (since <= days)

    @cached_property
    def _sheds(self) -> bool:
        return any((one.bbch or 0) >= 92 for one in self.prospect.species.markers.values())

    @property
    def _conifer(self) -> bool:
        return is_kind(self.prospect.species, "conifer")


def _raised(floor_c: FloatArray, by_c: float) -> FloatArray:
    """A floor of a tree not at rest: none is hurt above freezing by that, and none less than at rest."""
    return np.maximum(floor_c, np.minimum(floor_c + by_c, SOFT_C))


def chance_within(hurts: NDArray[np.bool_], weights: FloatArray, days: int) -> FloatArray:
    """Of each day the chance that one of so many days after it hurts, shape (days,).

    `hurts` is of shape (traces, days), `weights` of shape (traces,), sum 1.
    """
    ahead = np.pad(np.cumsum(hurts, axis=-1), ((0, 0), (0, days)), mode="edge")
    some = ahead[:, days:] > ahead[:, :-days]
    return np.asarray(weights @ some)
