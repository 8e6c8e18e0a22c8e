"""What was left out of pooled notes, and why a stage isn't fitted; as what is said of files, in English."""

from __future__ import annotations

from typing import assert_never

from season_engine.files.text import shortened
from season_engine.verify.pooled_fit import FEWEST_DATES, FEWEST_YARDS, EventFit, Outcome, Slip
from season_engine.verify.pooled_notes import NotInCatalogue, OfFile, OutsideWeather, PoolNote, SameYard
from season_engine.verify.station_files import Undated, UnlistedSites
from season_engine.words.backtest_notes import backtest_note_text
from season_engine.words.prose import counted


def pool_note_text(note: PoolNote) -> str:
    """A note as a line."""
    match note:
        case OfFile(file, of):
            told = backtest_note_text(of)
            return told if isinstance(of, UnlistedSites | Undated) else f"{file}: {told}"
        case NotInCatalogue(file, species, dates):
            name = shortened(species)
            return f'{file}: the catalogue has no species "{name}"; {counted(dates, "date")} left out.'
        case OutsideWeather(file, dates):
            return f"{file}: {counted(dates, 'date')} left out, without the whole season's temperatures."
        case SameYard(yard, kept):
            return f"{yard}: the same yard as {kept}; counted once."
    assert_never(note)


def slip_text(slip: Slip) -> str:
    """A date taken for a slip, as a line."""
    side = "late" if slip.days > 0 else "early"
    event = f"{slip.event.species} {slip.event.bbch:02d}"
    off = f"{abs(slip.days):.0f} days too {side}"
    return f"{slip.yard}, {event}: {slip.date} is {off}, so it is left out as a slip."


def outcome_text(fit: EventFit) -> str:
    """What became of an event."""
    told: dict[Outcome, str] = {
        "fitted": "fitted",
        "too few": f"left: it takes {FEWEST_DATES} dates of {counted(FEWEST_YARDS, 'yard')}",
        "no marker": "left: the catalogue has no marker of this stage",
        "not of spring": "left: only buds, leaves and flowers of spring are fitted",
        "mean date": "left: the mean date does as well",
        "catalogue": "left: the catalogue's rule does as well",
    }
    return told[fit.outcome]
