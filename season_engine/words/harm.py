"""Weather that harms, in words: what comes, whom it harms, what to do by when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

from season_engine.advice.dangers import Face
from season_engine.advice.harm import Act, FrozenBall, Harm, HarmEvent, WarmSpell
from season_engine.facts import Degrees, DegreesRange, Text
from season_engine.report.contents import SiteReport
from season_engine.windows.cautions import WORK_STOPS_C
from season_engine.windows.hazard import ColdRoots, HotDays, HotRoots
from season_engine.words import naming, prose, timing
from season_engine.words.one_hazard import event_text
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import say, say_count

TREES_NAMED = 3
KEPT_COOL = DegreesRange(Degrees(0.0), Degrees(5.0))
_DO: Mapping[Act, Text] = {
    "cover": Text("move {trees} under cover {by}"),
    "in by night": Text("{trees}: in by night, out by day, {by}"),
    "screen": Text("shade {trees} and screen them from wind {by}"),
    "keep cool": Text("keep {trees} at {cool}, in shade and out of a warm shed"),
    "shade and water": Text("shade {trees} {by}, water twice a day, no feed"),
}
_DO_HEAVY: Mapping[Act, Text] = {
    "cover": Text("wrap and mulch {trees} where it stands, {by}"),
    "in by night": Text("fleece over {trees} by night, {by}"),
}
_DO_HEAVY_MANY: Mapping[Act, Text] = {"cover": Text("wrap and mulch {trees} where they stand, {by}")}
_DO_BOTH: Mapping[Act, Text] = {
    "cover": Text("{by}, move {trees} under cover, and wrap and mulch {heavy} in place"),
    "in by night": Text("{by}, {trees} in by night and out by day, and fleece over {heavy} in place"),
}
_GOES_ON: Mapping[Act, Text] = {
    "cover": Text("keep {trees} under cover or wrapped"),
    "in by night": Text("{trees} in by night, or under fleece"),
    "screen": Text("{trees} shaded and out of the wind"),
    "keep cool": Text("{trees} kept cool"),
    "shade and water": Text("shade and water for {trees}, no feed"),
}


_GOES_ON_AWAY: Mapping[Act, Text] = {
    "cover": Text("keep {trees} under cover"),
    "in by night": Text("{trees} in by night"),
}
_GOES_ON_WHERE_IT_STANDS: Mapping[Act, Text] = {
    "cover": Text("keep {trees} wrapped"),
    "in by night": Text("{trees} under fleece by night"),
}

# Why these trees, where it is their state and not their kind.
_TOO_COLD: Mapping[Face, Text] = {
    "late frost": Text("{odds} for {event} within ten days, too cold for moving buds"),
    "early frost": Text("{odds} for {event} within ten days, too cold before they are hard"),
}

# Short, for a headline and a calendar.
_BRIEFLY: Mapping[Act, Text] = {
    "cover": Text("cover {trees} by {date}"),
    "in by night": Text("{trees} in by night {since}"),
    "screen": Text("screen {trees} by {date}"),
    "keep cool": Text("keep {trees} cool"),
    "shade and water": Text("shade {trees} by {date}"),
    "shade cloth": Text("shade cloth up by {date}"),
    "out": Text("{trees} out again"),
}
_BRIEFLY_HEAVY: Mapping[Act, Text] = {
    "cover": Text("wrap {trees} by {date}"),
    "in by night": Text("fleece over {trees} by night {since}"),
}
_BRIEFLY_BOTH: Mapping[Act, Text] = {
    "cover": Text("cover or wrap {trees} by {date}"),
    "in by night": Text("{trees} in by night or under fleece {since}"),
}


def harm_in_brief(site: SiteReport, harm: Harm, as_of: dt.date, most: int = 1) -> str:
    """``cover Ember and two more by Tue 4 Mar``."""
    move = [tree for tree in harm.trees if tree not in harm.heavy]
    stay = [tree for tree in harm.trees if tree in harm.heavy]
    told = _BRIEFLY
    if stay and harm.act in _BRIEFLY_BOTH:
        told = _BRIEFLY_BOTH if move else _BRIEFLY_HEAVY
    trees, date = tree_names(site, [*move, *stay], most), timing.day(max(harm.by, as_of), as_of)
    return say(told[harm.act], trees=trees, date=date, since=_since(harm.by, as_of))


def harm_sentences(site: SiteReport, harms: Sequence[Harm], as_of: dt.date) -> tuple[str, ...]:
    """What begins and what is over, a sentence each; what goes on, in one."""
    told = [harm_sentence(site, one, as_of) for one in harms if one.stage != "lasts"]
    going_on = [_going_on(site, one, as_of) for one in harms if one.stage == "lasts"]
    if going_on:
        told.append(prose.sentence(say("As before: {told}", told="; ".join(going_on))))
    if any(one.hot and (one.spell or one.stage == "lasts") for one in harms):
        told.append(say("Nobody works in the sun above {level}.", level=Degrees(WORK_STOPS_C)))
    return tuple(told)


def harm_in_a_mail(site: SiteReport, harms: Sequence[Harm], as_of: dt.date) -> tuple[str, ...]:
    """The same without until when; of what goes on and isn't forecast anew, only for whom or how many."""
    as_before = [one for one in harms if one.stage == "lasts" and one.spell is None]
    told = harm_sentences(site, [replace(one, until=None) for one in harms if one not in as_before], as_of)
    trees = dict.fromkeys(tree for one in as_before for tree in one.trees)
    if not trees:
        return told
    names = tree_names(site, trees, TREES_NAMED)
    if len(trees) > TREES_NAMED:
        names = prose.counts("{n} tree", "{n} trees", len(trees))
    return (*told, prose.sentence(say("Protected as before: {trees}", trees=names)))


def harm_text(event: HarmEvent | None) -> str:
    """What harms, as words that follow "for"; empty for the season's shade."""
    match event:
        case None:
            return ""
        case FrozenBall(days=days):
            return say_count("a day with the pot frozen", "{n} days running with the pot frozen", days)
        case WarmSpell(level_c=level_c, days=days):
            level = Degrees(level_c)
            return say_count(
                "a day that averages {level}", "{n} days running that average {level}", days, level=level
            )
        case _:
            return event_text(event)


def harm_sentence(site: SiteReport, harm: Harm, as_of: dt.date) -> str:
    """What comes, whom it harms and what to do by when; or that it is over."""
    if harm.face == "shade cloth":
        put_up = Text("Put up shade cloth (30 to 50 %) over {trees} {by}, until the sun is lower")
        return prose.sentence(
            say(put_up, trees=tree_names(site, harm.trees, TREES_NAMED), by=_by(harm.by, as_of))
        )
    if harm.stage == "ends":
        return _over(site, harm)
    return prose.sentence(say("{coming}: {act}", coming=_coming(harm, as_of), act=_act(site, harm, as_of)))


def _coming(harm: Harm, as_of: dt.date) -> str:
    """What is forecast, or the odds: ``-9 °C forecast for the night to Tue 4 Mar``."""
    if harm.spell is None:
        if harm.here:
            frozen = Text("Pots have been frozen for days")
            return say(Text("Warm days have come") if harm.face == "waking" else frozen)
        within = _TOO_COLD.get(harm.face, Text("{odds} for {event} within ten days"))
        return say(within, odds=prose.odds(harm.chance, in_hundreds=True), event=harm_text(harm.event))
    return say(
        _forecast(harm, one=harm.spell.first == harm.spell.last),
        worst=Degrees(round(harm.spell.worst_c)),
        first=timing.day(harm.spell.first, as_of),
        last=timing.day(harm.spell.last, as_of),
    )


def _forecast(harm: Harm, *, one: bool) -> Text:
    match harm.event:
        case FrozenBall():
            return Text("Pots forecast to stay frozen, to {last}")
        case WarmSpell():
            return Text("Days averaging up to {worst} forecast, to {last}")
        case ColdRoots():
            return Text("The pot's middle forecast to fall to {worst}, first in the night to {first}")
        case HotRoots():
            return Text("The pot's middle forecast to reach {worst}, first on {first}")
        case HotDays():
            several = Text("Up to {worst} forecast, {first} to {last}")
            return Text("{worst} forecast for {first}") if one else several
        case _:
            several = Text("Down to {worst} forecast, first in the night to {first}")
            return Text("{worst} forecast for the night to {first}") if one else several


def _act(site: SiteReport, harm: Harm, as_of: dt.date) -> str:
    """What to do with those that can be moved, and with those that can't."""
    stay = harm.heavy if harm.act in _DO_HEAVY else ()
    move = [tree for tree in harm.trees if tree not in stay]
    by = (_since if harm.act == "in by night" else _by)(harm.by, as_of)
    names = tree_names(site, move or stay, TREES_NAMED) + _why(harm, as_of)
    heavy = tree_names(site, stay, TREES_NAMED) if stay else ""
    told = say(_what_to_do(harm.act, bool(move), len(stay)), trees=names, heavy=heavy, by=by, cool=KEPT_COOL)
    until = _until(harm, as_of)
    return f"{told} ({until})" if until else told


def _what_to_do(act: Act, move: bool, stay: int) -> Text:
    if move:
        return _DO_BOTH[act] if stay else _DO[act]
    return _DO_HEAVY_MANY.get(act, _DO_HEAVY[act]) if stay > 1 else _DO_HEAVY[act]


def _why(harm: Harm, as_of: dt.date) -> str:
    if not (harm.job and harm.worked_on):
        return ""
    done = say("{job} on {date}", job=naming.job_name(harm.job), date=timing.short_day(harm.worked_on, as_of))
    return f" ({done})"


def _by(date: dt.date, as_of: dt.date) -> str:
    if date <= as_of:
        return say("by tonight")
    return say("by the evening of {date}", date=timing.day(date, as_of))


def _since(date: dt.date, as_of: dt.date) -> str:
    return say("from tonight") if date <= as_of else say("from {date}", date=timing.day(date, as_of))


def _until(harm: Harm, as_of: dt.date) -> str:
    if harm.until is None or harm.act not in ("cover", "in by night"):
        return ""
    return say("at least to about {date}", date=timing.short_day(harm.until, as_of))


def _over(site: SiteReport, harm: Harm) -> str:
    trees = tree_names(site, harm.trees, TREES_NAMED)
    if harm.face == "frozen ball":
        return prose.sentence(say("Screens and shade off {trees}: pots thaw", trees=trees))
    if harm.face == "late frost":
        return prose.sentence(say("{trees} may stay out by night: the last frost is past", trees=trees))
    if harm.face == "early frost":
        return prose.sentence(say("{trees} may stay out by night: they are hard now", trees=trees))
    return prose.sentence(say("{trees} may come out again: likely nights do no harm now", trees=trees))


def _going_on(site: SiteReport, harm: Harm, as_of: dt.date) -> str:
    goes_on = _GOES_ON
    if len(harm.heavy) in (0, len(harm.trees)):
        goes_on = {**_GOES_ON, **(_GOES_ON_WHERE_IT_STANDS if harm.heavy else _GOES_ON_AWAY)}
    told = say(goes_on[harm.act], trees=tree_names(site, harm.trees, TREES_NAMED))
    until = (
        ""
        if harm.until is None
        else say("at least to about {date}", date=timing.short_day(harm.until, as_of))
    )
    worst = ""
    if harm.spell is not None:
        worst = say("{worst} forecast", worst=Degrees(round(harm.spell.worst_c)))
    return told + "".join(f" ({one})" for one in ["; ".join(filter(None, (until, worst)))] if one)
