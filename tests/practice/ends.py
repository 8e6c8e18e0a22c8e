"""Growers' dates beside the usual dates the engine tells: one `End` for each end of a row."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Literal

from season_engine.species.catalogue import Catalogue, Species, load_catalogue
from season_engine.species.schema import Window
from season_engine.tree import Size
from season_engine.windows.assess import Prospect
from tests.practice.climates import CLIMATES, view
from tests.practice.mapping import Answer, Moment, Stage, Windows, answer_to, size_of, species_of
from tests.practice.table import Row, days_after, days_between, practice_rows

Which = Literal["opens", "closes", "comes"]
State = Literal["counted", "left out", "not here", "unanswered"]
Dates = tuple[dt.date, dt.date]  # of opening and closing
WINDOW: tuple[Which, ...] = ("opens", "closes")
MOMENT: tuple[Which, ...] = ("comes",)
JOBS_OF_SEVERAL_WINDOWS = ("repotting", "winter cover")


@dataclass(frozen=True)
class End:
    """One end of a row: growers' date, MM-DD, and the engine's usual one.

    `error_days` is the engine's less the growers'. It is there where the engine gives a date, so also where
    the end is left out of the count.
    """

    row: Row
    which: Which  # "comes": the middle of a row that gives a range for one date
    growers: str
    state: State
    engine: dt.date | None = None
    error_days: int | None = None
    why: str = ""  # it isn't counted

    @property
    def off_days(self) -> int:
        """The error without its sign, of an end that has one."""
        assert self.error_days is not None
        return abs(self.error_days)


def practice_ends(catalogue: Catalogue | None = None, rows: Iterable[Row] | None = None) -> list[End]:
    """Every end of the rows, all where none are given, by a catalogue, the shipped one where none is given.

    "Usual" is what a report calls so: the middle date of whole past seasons.
    """
    known = catalogue or load_catalogue()

    @cache
    def prospect(climate: str, species: str, size: Size) -> Prospect:
        return Prospect(view(climate), known.find(species), size)

    found: list[End] = []
    for row in practice_rows() if rows is None else rows:
        name, answer = species_of(row), answer_to(row)
        if known.get(name) is None:
            found += _without_date(row, "unanswered", f"the catalogue has no {name}")
        elif answer is None:
            found += _without_date(row, "unanswered", "nothing in the catalogue is named for it")
        else:
            found += ends_by(row, answer, prospect(row.climate, name, size_of(row)))
    return found


def ends_by(row: Row, answer: Answer, prospect: Prospect) -> list[End]:
    """The ends of a row as one answer gives them."""
    species = prospect.species.name
    match answer:
        case Stage(marker):
            if marker not in prospect.species.markers:
                return _without_date(row, "unanswered", f"{species} has no marker {marker}", MOMENT)
            past = prospect.past
            return _of_moment(row, past.traces.date_of(float(past.odds(marker).by(0.5))))
        case Moment(job, name, end):
            windows = windows_of(prospect.species, job, (name,))
            if not windows:
                return _without_date(row, "unanswered", f"{species} has no {job} {name}", MOMENT)
            dates = _usual(prospect, windows)
            return _of_moment(row, dates and dates[0 if end == "opens" else 1])
        case Windows(job, names):
            windows = windows_of(prospect.species, job, names)
            if not windows:
                return _without_date(row, "unanswered", f"{species} has no {job} {', '.join(names)}")
            return _of_window(row, _usual(prospect, windows))


def windows_of(species: Species, job: str, names: Iterable[str]) -> list[Window]:
    """The species' windows of a job that go by these names."""
    return [one for one in species.windows if one.job == job and one.name in names]


def _usual(prospect: Prospect, windows: Iterable[Window]) -> Dates | None:
    """From the first opening to the last closing of those that come; None where none does."""
    usual = [prospect.past_opening(window) for window in windows]
    dates = [(one.opened_by(0.5), one.closed_by(0.5)) for one in usual]
    opens = [first for first, last in dates if first and last]
    closes = [last for first, last in dates if first and last]
    return (min(opens), max(closes)) if opens else None


def _of_window(row: Row, dates: Dates | None) -> list[End]:
    """Both ends; the closing's error follows the opening's, so that a long window can't turn the year."""
    if dates is None:
        return _without_date(row, "not here")
    late = days_after(dates[0], row.opens)
    longer = days_between(*dates) - row.length_days
    return [_dated(row, "opens", dates[0], late), _dated(row, "closes", dates[1], late + longer)]


def _of_moment(row: Row, date: dt.date | None) -> list[End]:
    if date is None:
        return _without_date(row, "not here", which=MOMENT)
    return [_dated(row, "comes", date, days_after(date, row.middle))]


def _dated(row: Row, which: Which, date: dt.date, error_days: int) -> End:
    left_out = which in row.ends_left_out
    state: State = "left out" if left_out else "counted"
    return End(row, which, _growers(row, which), state, date, error_days, row.left_out if left_out else "")


def _without_date(row: Row, state: State, why: str = "", which: tuple[Which, ...] = WINDOW) -> list[End]:
    return [
        End(row, one, _growers(row, one), "left out", why=row.left_out)
        if one in row.ends_left_out
        else End(row, one, _growers(row, one), state, why=why)
        for one in which
    ]


def _growers(row: Row, which: Which) -> str:
    return {"opens": row.opens, "closes": row.closes, "comes": row.middle}[which]


def job_of(end: End) -> str:
    """The job, with its window where that makes it another job."""
    row = end.row
    return f"{row.job}, {row.window}" if row.job in JOBS_OF_SEVERAL_WINDOWS else row.job


def climate_of(end: End) -> str:
    """The climate's name."""
    return CLIMATES[end.row.climate][0]


def counted(ends: Iterable[End]) -> Iterator[End]:
    """Those that have an error which counts."""
    return (one for one in ends if one.state == "counted")
