"""Why today's advice is what it is, in a sentence."""

from __future__ import annotations

from collections.abc import Mapping

from season_engine.facts import Day, Text
from season_engine.windows.assessment import Verdict
from season_engine.windows.why_today import (
    ClosingNow,
    HardlyEverWell,
    Held,
    LightTrimOnly,
    NeedsCover,
    NeedsShade,
    NotOpen,
    OpenNow,
    RescueNow,
    Risky,
    Stale,
    Unsure,
    WhyToday,
)
from season_engine.words.need import need_text, sign_words
from season_engine.words.one_hazard import hazard_text
from season_engine.words.prose import odds
from season_engine.words.speech import said, say
from season_engine.words.timing import part_of_month

_NOT_OPEN: Mapping[Verdict, Text] = {
    "wait": Text("It is too early."),
    "soon": Text("It is a little too early; get ready, the window opens soon."),
    "closed": Text("It is too late; the window has closed for this season."),
    "not-here": Text("This window does not come at this site in most years."),
}


def today_why(why: WhyToday) -> str:
    """The whole sentence, with the odds of a hazard."""
    match why:
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
        case RescueNow(signs):
            told = Text(
                "Its roots are dying ({signs}), and the window isn't open: rescue it, and no more. Lift it "
                "whole, cut off what is rotten, give it a coarse mix and a larger box, then shade and no "
                "frost. Never in heat or while the ground is frozen."
            )
            return say(told, signs=sign_words(signs))
        case Unsure() | Stale() | Risky() | NeedsCover() | NeedsShade():
            return _held(why)
        case ClosingNow():
            return say("The window is open but closing; do it now or leave it for another year.")
        case OpenNow():
            return say("The window is open, and what past years brought from here on is safe enough for it.")
        case _:
            return need_text(why)


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
            told = Text("Needs cover afterwards: {hazard}.")
            return say(told, hazard=hazard_text(hazard))
        case NeedsShade(hazard):
            told = Text("Needs shade at midday afterwards: {hazard}.")
            return say(told, hazard=hazard_text(hazard))


def today_why_brief(why: WhyToday) -> str:
    """The same without a hazard's odds, for where those stand elsewhere."""
    match why:
        case Risky(hazard):
            return say("Wait for safer weather") if hazard.cold else say("Better not now")
        case NeedsCover():
            return say("Needs cover afterwards")
        case NeedsShade():
            return say("Needs shade at midday afterwards")
        case _:
            return today_why(why)
