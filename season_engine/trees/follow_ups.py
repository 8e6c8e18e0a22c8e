"""What is still to be done after the jobs that a tree had, with its days: now and in the weeks ahead."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from season_engine.facts import Text
from season_engine.species.catalogue import Species
from season_engine.species.follow_ups import ARRIVAL, FOLLOW_UPS, Flush, FollowUpTable, Row
from season_engine.trees.history import History, Work

AHEAD_DAYS = 120  # how far ahead they are told
LATE_DAYS = 14  # so long after its last day one is still worth doing
EARLY_DAYS = 7  # so long before its first day what is done counts as done
NEAR_DAYS = 14  # a long one is told after its first day and before its last
REMEMBERED_DAYS = 730  # what stands in trees.csv alone counts so long
MARKERS_WITHIN_DAYS = 800  # of a job longer ago nothing is waited for that a marker may put off
MIDSUMMER = ("midsummer",)


class MarkerDates(Protocol):
    """Dates of a species' markers."""

    def __call__(self, names: Sequence[str], day: dt.date, /) -> dt.date | None:
        """When the first of them that the species has comes in the season of a day; None: not known."""
        ...


@dataclass(frozen=True, slots=True)
class FollowUp:
    """One thing to be done after a job."""

    tree: str  # its id
    job: str  # that it follows, or "arrival"
    since: dt.date  # when that was
    words: Text
    planned_days: int  # after the job, by the table
    first: dt.date
    last: dt.date
    on_tree: str = ""  # what bites until it is off: "wire", "ties"
    stays: bool = False  # until it is answered
    lasts: bool = False  # it is kept up on all of its days
    overdue: bool = False

    @property
    def urgent(self) -> bool:
        """Whether wire is on that should be off."""
        return self.overdue and self.on_tree == "wire"

    def due(self, on: dt.date, days: int) -> bool:
        """Whether it is worth telling of so many days from `on`: as it begins, near its end, or overdue."""
        begins = self.first < on + dt.timedelta(days=days)
        near = dt.timedelta(days=NEAR_DAYS)
        return begins and (on <= self.first + near or on >= self.last - near)


def follow_ups(
    history: History,
    species: Species,
    dates: MarkerDates,
    on: dt.date,
    table: FollowUpTable = FOLLOW_UPS,
) -> tuple[FollowUp, ...]:
    """What is still to be done after a tree's jobs, until `AHEAD_DAYS` ahead; the soonest first.

    Nothing of a tree that the journal doesn't speak of, or that is gone.
    """
    if not history.noted or history.gone is not None:
        return ()
    found = [*_after_jobs(history, species, dates, on, table), *_looks(history, species, dates, on, table)]
    last_told = on + dt.timedelta(days=AHEAD_DAYS)
    told = (one for one in found if one.first <= last_told and (one.stays or not _past(one, on)))
    with_state = [replace(one, overdue=on > one.last) for one in told]
    return tuple(sorted(_latest_begun(with_state, on), key=_soonest))


def due_within(found: Iterable[FollowUp], on: dt.date, days: int) -> tuple[FollowUp, ...]:
    """Those to be told of so many days from `on`; of looks that come again the last that begins in them."""
    due = [one for one in found if one.due(on, days)]
    return tuple(sorted(_latest_begun(due, on + dt.timedelta(days=days - 1)), key=_soonest))


def _soonest(one: FollowUp) -> tuple[bool, dt.date, dt.date]:
    return not one.urgent, one.last, one.first


def _past(one: FollowUp, on: dt.date) -> bool:
    return on > one.last + dt.timedelta(days=0 if one.lasts else LATE_DAYS)


def _latest_begun(found: Iterable[FollowUp], on: dt.date) -> Iterator[FollowUp]:
    """Of several looks for the same thing, those that have not begun by a day, and the last that has."""
    begun: dict[tuple[object, ...], FollowUp] = {}
    for one in sorted(found, key=lambda each: each.first):
        if one.first > on:
            yield one
        else:
            begun[one.tree, one.job, one.since, one.words] = one
    yield from begun.values()


def _after_jobs(
    history: History, species: Species, dates: MarkerDates, on: dt.date, table: FollowUpTable
) -> Iterator[FollowUp]:
    for row in table.rows_for(history.tree, species):
        for work in _begun_by(row, history, on):
            first = _first_day(row, work, dates, on)
            last = first + dt.timedelta(days=row.to_days - row.from_days)
            if not _answered(row, history, work, first):
                yield FollowUp(
                    *(history.tree.id, work.job, work.on, row.words, row.from_days, first, last),
                    on_tree=row.ends_with or "",
                    stays=row.stays,
                    lasts=row.lasts,
                )


def _begun_by(row: Row, history: History, on: dt.date) -> Iterator[Work]:
    """The works that a row follows: of what is on the tree the one that put it there."""
    works = [work for work in history.works if work.job in row.after and _counts(work, on)]
    arrived = history.tree.arrived
    if ARRIVAL in row.after and arrived is not None:
        works.append(Work(arrived, ARRIVAL, "light"))
    for work in works:
        put_on = history.wired_on if work.job == "wiring" else history.tied_on
        if row.ends_with is not None and work.on != put_on:
            continue
        if row.amounts and work.amount not in row.amounts:
            continue
        if not _goes_on(row, work, works):
            yield work


def _counts(work: Work, on: dt.date) -> bool:
    return work.noted or (on - work.on).days <= REMEMBERED_DAYS


def _goes_on(row: Row, work: Work, works: Iterable[Work]) -> bool:
    """Whether a work is what an earlier one of its kind asked for, and so asks for nothing of that itself."""
    longest = row.to_days + LATE_DAYS
    return work.job in row.answered_by and any(
        other.job == work.job and 0 < (work.on - other.on).days <= longest for other in works
    )


def _first_day(row: Row, work: Work, dates: MarkerDates, on: dt.date) -> dt.date:
    """The day of the table, or that on which the tree has grown so far."""
    day = work.on + dt.timedelta(days=row.from_days)
    if not row.once or (on - work.on).days > MARKERS_WITHIN_DAYS:
        return day
    return max(day, dates(row.once, work.on) or day)


def _answered(row: Row, history: History, work: Work, first: dt.date) -> bool:
    """Whether it was done, or seen, about its days or since."""
    from_day = max(first - dt.timedelta(days=EARLY_DAYS), work.on + dt.timedelta(days=1))
    done = (*((one.on, one.job) for one in history.works), *history.rounds)
    if any(job in row.answered_by and date >= from_day for date, job in done):
        return True
    if row.seen is None:
        return False
    low, high = row.seen
    return any(date >= from_day and low <= stage <= high for date, stage in history.stages)


def _looks(
    history: History, species: Species, dates: MarkerDates, on: dt.date, table: FollowUpTable
) -> Iterator[FollowUp]:
    """The looks at wire that is on: each so long after the one before, until it should be off."""
    since = history.wired_on
    if since is None:
        return
    off_by = max(_off_by(history, species, dates, on, table), default=None)
    look = table.wire_look
    day = max(_checks(history, since, on), default=since)
    while day <= on + dt.timedelta(days=AHEAD_DAYS):
        first, last = look.in_flush_days if in_flush(table.flush, dates, day) else look.else_days
        told = FollowUp(
            *(history.tree.id, "wiring", since, look.words, (day - since).days + first),
            *(day + dt.timedelta(days=first), day + dt.timedelta(days=last)),
            on_tree="wire",
        )
        if off_by is not None and told.first >= off_by:
            return
        yield told
        if told.first > on:
            return  # the next one is counted from when this one is done
        day = told.first


def _off_by(
    history: History, species: Species, dates: MarkerDates, on: dt.date, table: FollowUpTable
) -> Iterator[dt.date]:
    found = _after_jobs(history, species, dates, on, table)
    return (one.last for one in found if one.stays and one.on_tree == "wire")


def _checks(history: History, since: dt.date, on: dt.date) -> Iterator[dt.date]:
    done = (*((one.on, one.job) for one in history.works), *history.rounds)
    return (date for date, job in done if job == "wire-check" and since < date <= on)


def in_flush(flush: Flush, dates: MarkerDates, day: dt.date) -> bool:
    """Whether branches thicken fast on a day."""
    starts, hardens = dates(flush.starts, day), dates(flush.hardens, day)
    if starts is not None and hardens is not None:
        return starts <= day <= hardens
    middle = dates(MIDSUMMER, day)
    return middle is not None and abs((day - middle).days) <= flush.longest_days
