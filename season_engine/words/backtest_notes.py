"""What was left out of a backtest, and by which rules it dates, in words; as its errors, in English."""

from __future__ import annotations

from typing import assert_never

from season_engine.files.text import listed
from season_engine.verify.notes import (
    BacktestNote,
    DatesTooFarApart,
    FittedHere,
    NearestStage,
    NoEvent,
    NoRule,
    NoTemperatures,
    SeasonsWithGaps,
    ShortRecord,
    UnusableTemperatures,
)
from season_engine.verify.station_files import Event, Undated, UnlistedSites

SITES_NAMED = 5


def backtest_note_text(note: BacktestNote) -> str:
    """A note as a line, such as ``Ridge: left out, it has no event.``."""
    match note:
        case UnlistedSites():
            return _unlisted(note)
        case Undated(file, lines):
            count = "1 line dates" if lines == 1 else f"{lines} lines date"
            return f"{file}: {count} nothing: a stage was not there yet, or there already."
        case NoEvent() | NoTemperatures() | UnusableTemperatures() | ShortRecord():
            return f"{note.site}: left out, {_site_fault(note)}"
        case SeasonsWithGaps(site, event, seasons):
            labels = ", ".join(season.label for season in seasons)
            return f"{_at(site, event)}: too many days lack readings in {labels}; left out."
        case DatesTooFarApart(site, event):
            return f"{_at(site, event)}: left out, its dates lie more than half a year apart."
        case NearestStage(event, bbch):
            rule = f"the catalogue's rule for BBCH {bbch:02d}, the nearest stage it has"
            return f"{_event(event)}: dated by {rule}."
        case FittedHere(event, _, until):
            return f"{_event(event)}: {_why_fitted(note)}, so one was fitted here, on dates to {until}."
        case NoRule(event, _, until, fewest):
            few = f"under {fewest} of its dates are in seasons with temperatures that ended by {until}"
            return f"{_event(event)}: left out; {_why_fitted(note)}, and {few}."
    assert_never(note)


def _unlisted(note: UnlistedSites) -> str:
    count = "1 line is" if note.lines == 1 else f"{note.lines} lines are"
    more = len(note.sites) - SITES_NAMED
    shown = listed(note.sites[:SITES_NAMED], "and") + (f" and {more} more" if more > 0 else "")
    hint = "" if note.meant is None else f' Did you mean "{note.meant}"?'
    return f"{note.file}: {count} left out: the sites {shown} are not listed.{hint}"


def _site_fault(note: NoEvent | NoTemperatures | UnusableTemperatures | ShortRecord) -> str:
    match note:
        case NoEvent():
            return "it has no event."
        case NoTemperatures():
            return "it has no temperatures."
        case UnusableTemperatures(_, reason):
            return reason
        case ShortRecord(_, fewest):
            return f"it has temperatures of less than {fewest} years."
    assert_never(note)


def _why_fitted(note: FittedHere | NoRule) -> str:
    if note.seen_until is None:
        return "the catalogue has no rule for it"
    return f"the catalogue's rule is fitted on dates to {note.seen_until}"


def _at(site: str, event: Event) -> str:
    return f"{site}, {event.species} {event.bbch:02d}"


def _event(event: Event) -> str:
    return f"{event.species}, BBCH {event.bbch:02d}"
