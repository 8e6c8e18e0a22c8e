"""Why today's advice is what it is, in a sentence."""

from __future__ import annotations

from collections.abc import Mapping

from season_engine.facts import Day, Text
from season_engine.windows.assessment import Verdict
from season_engine.windows.tree_notes import InSections, NotDue
from season_engine.windows.why_today import (
    ClosingNow,
    DoneBefore,
    HardlyEverWell,
    HeavilyBefore,
    HeavyBefore,
    Held,
    LightTrimOnly,
    NeedsCover,
    NeedsShade,
    NotOpen,
    OpenNow,
    Refusal,
    Risky,
    RootsBefore,
    Stale,
    Unsure,
    Weak,
    WhyToday,
)
from season_engine.words.naming import job_name
from season_engine.words.one_hazard import hazard_text
from season_engine.words.prose import odds
from season_engine.words.speech import said, say
from season_engine.words.timing import part_of_month
from season_engine.words.tree_notes import tree_note

_NOT_OPEN: Mapping[Verdict, Text] = {
    "wait": Text("It is too early."),
    "soon": Text("It is a little too early; get ready, the window opens soon."),
    "closed": Text("It is too late; the window has closed for this season."),
    "not-here": Text("This window does not come at this site in most years."),
}


def today_why(why: WhyToday) -> str:
    """The whole sentence, with the odds of a hazard."""
    match why:
        case DoneBefore() | HeavyBefore() | HeavilyBefore() | RootsBefore() | Weak():
            return refused(why)
        case NotOpen(verdict):
            return said(_NOT_OPEN[verdict])
        case HardlyEverWell(at_best):
            best = odds(at_best, in_hundreds=True)
            return say("Here it seldom goes well: at best {odds} that nothing hurts the tree.", odds=best)
        case LightTrimOnly(until, by_calendar):
            then = say("A light trim of the roots may still be done, until about {date}.", date=Day(until))
            if by_calendar:
                part = part_of_month(until, until)
                then = say("A light trim of the roots may still be done, until {part}.", part=part)
            return say("{first} {then}", first=said(_NOT_OPEN["closed"]), then=then)
        case NotDue() | InSections():
            return tree_note(why)
        case Unsure() | Stale() | Risky() | NeedsCover() | NeedsShade():
            return _held(why)
        case ClosingNow():
            return say("The window is open but closing; do it now or leave it for another year.")
        case OpenNow():
            return say("The window is open, and what past years brought from here on is safe enough for it.")


def _held(why: Held) -> str:
    match why:
        case Unsure():
            return say("The odds are too even to call it open; go by the tree itself.")
        case Stale(days):
            return say("The last reading is {n} days old, too old to work by.", n=days)
        case Risky(hazard):
            wait, leave = Text("Wait for safer weather: {hazard}."), Text("Better not now: {hazard}.")
            return say(wait if hazard.cold else leave, hazard=hazard_text(hazard))
        case NeedsCover(hazard):
            told = Text("Only if it can stand under cover afterwards: {hazard}.")
            return say(told, hazard=hazard_text(hazard))
        case NeedsShade(hazard):
            told = Text("Only if it stands out of the midday sun afterwards: {hazard}.")
            return say(told, hazard=hazard_text(hazard))


def today_why_brief(why: WhyToday) -> str:
    """The same without a hazard's odds, for where those stand elsewhere."""
    match why:
        case Risky(hazard):
            return say("Wait for safer weather") if hazard.cold else say("Better not now")
        case NeedsCover():
            return say("Only if it can stand under cover afterwards")
        case NeedsShade():
            return say("Only if it stands out of the midday sun afterwards")
        case _:
            return today_why(why)


def refused(refusal: Refusal | None) -> str:
    """Why a tree must not be worked, whatever the dates; empty where it may."""
    match refusal:
        case None:
            return ""
        case DoneBefore(on):
            return say("This was done on {date}; once a season is enough.", date=Day(on, year=True))
        case HeavyBefore(job, on):
            told = Text("It had {job} on {date}; one heavy job a season is enough.")
            return say(told, job=job_name(job), date=Day(on, year=True))
        case HeavilyBefore(job, on):
            told = Text(
                "It had {job} on {date}, a heavy one by your note, with a third of the crown or more gone; "
                "leave it until next season."
            )
            return say(told, job=job_name(job), date=Day(on, year=True))
        case RootsBefore(on, rest_days):
            told = Text("Its roots were worked on {date}; leave it so for {n} days.")
            return say(told, date=Day(on, year=True), n=rest_days)
        case Weak():
            return say("This tree is marked weak; let it gain strength first.")
