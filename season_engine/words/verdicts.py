"""What is said of a window: its verdict, its dates and odds, today's advice, now against later."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping

from season_engine.facts import Text
from season_engine.windows.assessment import Assessment, Quantiles, Reason, Today, Verdict
from season_engine.words import prose
from season_engine.words.one_hazard import hazard_brief
from season_engine.words.prose import capital, counts, odds, plain, small
from season_engine.words.speech import said, say
from season_engine.words.timing import (
    about,
    against_usual,
    day,
    give_or_take,
    part_of_month,
    roughly,
    short_day,
    when,
)

_VERDICTS: Mapping[Verdict, Text] = {
    "wait": Text("Too early", context="verdict"),
    "soon": Text("Opening soon", context="verdict"),
    "open": Text("In window", context="verdict"),
    "last-call": Text("Last call", context="verdict"),
    "closed": Text("Closed", context="verdict"),
    "not-here": Text("Not here", context="verdict"),
}
_ADVICE: Mapping[Today, Text] = {
    "do": Text("Do"),
    "hold": Text("Hold"),
    "only-with-shelter": Text("Only with shelter"),
    "no": Text("Leave"),
}


def verdict_words(assessment: Assessment) -> str:
    """The verdict in a word or three."""
    return capital(said(_VERDICTS[assessment.verdict]))


def verdict_within(assessment: Assessment) -> str:
    """The same inside a sentence."""
    return small(said(_VERDICTS[assessment.verdict]))


def today_words(assessment: Assessment) -> str:
    """Today's advice in a word or three."""
    return capital(said(_ADVICE[assessment.today]))


def today_within(assessment: Assessment) -> str:
    """The same inside a sentence."""
    return small(said(_ADVICE[assessment.today]))


def verdict_sentence(assessment: Assessment) -> str:
    """Where the window stands today, with its dates and odds."""
    a = assessment
    if a.verdict == "not-here":
        return say("{share} here have this window at all.", share=_share_of_seasons(a.chance_given))
    if a.verdict in ("wait", "soon"):
        return _ahead(a)
    if a.verdict == "closed":
        return _behind(a)
    if a.opens.calendar:
        return say(
            "Opened {about}. Closes {when}.", about=about(a.opens, a.as_of), when=when(a.closes, a.as_of)
        )
    opened = (
        Text("Opened {about}{compared}; {odds} that it is open today. Closes {when}.")
        if a.opens.p50 is not None and a.opens.p50 <= a.as_of
        else Text("Opens {about}{compared}; {odds} that it is open today. Closes {when}.")
    )
    return say(
        opened,
        about=about(a.opens, a.as_of),
        compared=_compared(a),
        odds=odds(a.chance_open_now),
        when=when(a.closes, a.as_of),
    )


def _ahead(a: Assessment) -> str:
    opens = maybe_open(a) or say(
        "Opens {when}{compared}.", when=when(a.opens, a.as_of), compared=_compared(a)
    )
    if a.closes.p50 is None:
        return opens
    return f"{opens} {say('Closes {about}.', about=roughly(a.closes, a.as_of))}"


def maybe_open(a: Assessment) -> str:
    """For a window whose middle date is past while the job still wants better odds; else empty."""
    if a.verdict != "soon" or a.opens.p50 is None or a.opens.p50 > a.as_of:
        return ""
    chance, wanted = odds(a.chance_open_now), odds(a.floor)
    if chance == wanted:
        return say("May be open already: just under the {wanted} that this job wants.", wanted=wanted)
    return say(
        "May be open already: {odds} that it is, and this job wants {wanted}.", odds=chance, wanted=wanted
    )


def _behind(a: Assessment) -> str:
    if a.closes.p50 is None:
        closed = say("Closed.")
    elif a.closes.p50 > a.as_of:
        closed = say("Too late to count on: it closes {about}.", about=about(a.closes, a.as_of))
    else:
        closed = say("Closed {about}.", about=about(a.closes, a.as_of))
    return f"{closed} {next_words(a)}".rstrip()


def next_words(assessment: Assessment) -> str:
    """When the window opens again, or nothing where that isn't known."""
    ahead = assessment.next
    if ahead is None or ahead.opens.p50 is None:
        return ""
    return say("Opens again {about}.", about=about(ahead.opens, assessment.as_of))


def _compared(a: Assessment) -> str:
    compared = against_usual(a.opens, a.usual.opens_p50)
    return f", {compared}" if compared else ""


def brief_sentence(assessment: Assessment) -> str:
    """The one date that matters next: when an open window closes, when another opens."""
    a = assessment
    if a.in_window:
        return say("Closes {about}.", about=about(a.closes, a.as_of))
    if a.verdict in ("wait", "soon"):
        return maybe_open(a) or say("Opens {about}.", about=about(a.opens, a.as_of))
    return verdict_sentence(a)


def until(assessment: Assessment) -> str:
    """`` by about Tue 21 Apr``, for a window that is open, and when best; empty where its end isn't known."""
    a = assessment
    if a.closes.p50 is None:
        return ""
    if a.closes.calendar:
        part = part_of_month(a.closes.p50, a.as_of)
        return f" {say('until {part}, by the calendar', part=part)}{_best_about(a)}"
    return f" {say('by about {date}', date=day(a.closes.p50, a.as_of))}{_best_about(a)}"


def ending(assessment: Assessment) -> str:
    """``, closes about Tue 21 Apr``, for a window that is open though today is no day for it."""
    a = assessment
    if a.closes.p50 is None:
        return ""
    return f", {say('closes {about}', about=roughly(a.closes, a.as_of))}{_best_about(a)}"


def _best_about(a: Assessment) -> str:
    if a.best is None or a.best == a.as_of:
        return ""
    return f", {say('best about {date}', date=short_day(a.best, a.as_of))}"


def weighing(assessment: Assessment) -> str:
    """Now against two weeks on: the worst hazard, the chance of being too late, and the best date."""
    a = assessment
    if len(a.ahead) < 3:
        return ""
    weighed, spared = _weighed(a)
    later, too_late = a.ahead[2], ""
    if later.chance_closed >= 0.05 and a.closes.calendar:
        too_late = say(", and by then it has closed")
    elif later.chance_closed >= 0.05:
        closed = odds(later.chance_closed, in_hundreds=True)
        but = Text(", but {odds} that it has closed by then")
        too_late = say(but if spared else Text(", with {odds} that it has closed by then"), odds=closed)
    return f"{weighed}{too_late}. {_best(a)}".rstrip()


def _weighed(a: Assessment) -> tuple[str, bool]:
    """Now against two weeks on, and whether waiting spares the tree something."""
    today, later = a.ahead[0], a.ahead[2]
    either = [max(pair) for pair in zip(today.hazards, later.hazards, strict=True)]
    if a.verdict == "soon" or max(either, default=0.0) < 0.005:
        good, then = (odds(week.chance_good, in_hundreds=True) for week in (today, later))
        weighed = Text("Done today: {good} that it is open and all goes well after; in two weeks {then}")
        return say(weighed, good=good, then=then), False
    worst = either.index(max(either))
    hurt, then = plain(hazard_brief(a.hazards[worst])), odds(later.hazards[worst], in_hundreds=True)
    spared = later.hazards[worst] < today.hazards[worst]
    repot, done = (
        Text("Repot today: {hurt}; in two weeks {then}"),
        Text("Done today: {hurt}; in two weeks {then}"),
    )
    return say(repot if a.job == "repotting" else done, hurt=hurt, then=then), spared


def _best(a: Assessment) -> str:
    if a.best is None:
        return ""
    if a.best == a.as_of:
        return say("No week of the next five is better than this one.")
    ahead = a.opens if a.opens.p50 and a.opens.p50 > a.as_of else a.closes
    spread = "" if ahead.p10 == ahead.p90 else give_or_take(ahead)
    spread = f", {spread}" if spread else ""
    return say("Best about {date}{spread}.", date=day(a.best, a.as_of), spread=spread)


def usual_sentence(assessment: Assessment) -> str:
    """The middle dates of the past seasons, of the ends that weather sets."""
    usual, as_of = assessment.usual, assessment.as_of
    if usual.opens_p50 is None or usual.years == 0 or assessment.by == "calendar":
        return ""
    opens = short_day(usual.opens_p50, as_of)
    if assessment.opens.calendar and usual.closes_p50:
        return counts(
            "Over {n} past season it closes about {closes}.",
            "Over {n} past seasons it closes about {closes}.",
            usual.years,
            closes=short_day(usual.closes_p50, as_of),
        )
    if usual.closes_p50 is None or assessment.closes.calendar:
        return counts(
            "Over {n} past season it opens about {opens}.",
            "Over {n} past seasons it opens about {opens}.",
            usual.years,
            opens=opens,
        )
    return counts(
        "Over {n} past season it opens about {opens} and closes about {closes}.",
        "Over {n} past seasons it opens about {opens} and closes about {closes}.",
        usual.years,
        opens=opens,
        closes=short_day(usual.closes_p50, as_of),
    )


def reason_state(reason: Reason, as_of: dt.date) -> str:
    """Whether the criterion is met, and when it will be or was."""
    if reason.date_p50 is None:
        return say("reached") if reason.met else say("not yet")
    if reason.by == "calendar":
        part = part_of_month(reason.date_p50, as_of)
        return say("reached in {part}", part=part) if reason.met else say("not yet: in {part}", part=part)
    date = short_day(reason.date_p50, as_of)
    return say("reached about {date}", date=date) if reason.met else say("not yet: about {date}", date=date)


def floor_sentence(assessment: Assessment) -> str:
    """The odds this job wants; empty where the calendar alone opens and closes it."""
    if assessment.by == "calendar":
        return ""
    return say("This job is called open once the odds that it is reach {odds}.", odds=odds(assessment.floor))


def given_sentence(assessment: Assessment) -> str:
    """How often a season has this window, where that isn't nearly always."""
    if assessment.chance_given >= 0.95:
        return ""
    return say("{share} here have this window.", share=_share_of_seasons(assessment.chance_given))


def _share_of_seasons(chance: float) -> str:
    if prose.beyond_telling(chance):
        return capital(say("{odds} seasons", odds=odds(chance)))
    return say("About {odds} seasons", odds=odds(chance))


def resting_sentence(
    waiting: Iterable[tuple[str, Quantiles]], count: int, as_of: dt.date, most: int = 4
) -> str:
    """Every window that rests, in a sentence or two: how many, and the next to open."""
    if count == 0:
        return ""
    rest = capital(counts("{n} other window rests.", "{n} other windows rest.", count))
    nearest = sorted(waiting, key=lambda item: (item[1].p50 or dt.date.max, item[0]))[:most]
    if not nearest:
        return rest
    told = (say("{name}, {about}", name=name, about=roughly(dates, as_of)) for name, dates in nearest)
    return f"{rest} {say('Next to open: {windows}.', windows='; '.join(told))}"
