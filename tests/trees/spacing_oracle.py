"""Which work on a potted tree is due, may be done, or must be left, by its journal.

The rules: common practice, written from memory, no source. Everything is a plain date. A bar ends on a date:
the work is allowed on that date itself, not on the days before.
"""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

STAGES = ("young", "training", "refined", "old")
SIGNS = frozenset(
    {"drains slowly", "roots lift", "roots ring", "pale shoots", "dries fast", "water runs off"}
)
ROOT_WORK = frozenset({"repotting", "sectional-repotting"})
DEFOLIATION = frozenset({"whole defoliation", "partial defoliation"})
HEAVY = ROOT_WORK | {"decandling", "whole defoliation", "heavy pruning", "big bend"}
COUNTED = HEAVY | {"collecting"}
YEARLY = frozenset({"needle-work", "candle-shortening", "cut-back", "after-bloom-pruning"})
PRUNING = frozenset({"structural-pruning", "heavy pruning"})
# Cut-back and pruning after bloom are pruning that isn't heavy too: the longer wait on a juniper.
LIGHT_PRUNING = frozenset({"trimming", "structural-pruning", "cut-back", "after-bloom-pruning"})
# Shortening candles and cutting back are the pinching and trimming of pines.
RESTED = frozenset({"trimming", "pinching", "candle-shortening", "cut-back"})
NOT_ON_YOUNG = DEFOLIATION | {"decandling", "pinching", "candle-shortening", "cut-back"}
SEASON = dt.timedelta(weeks=46)
TWO_SEASONS = dt.timedelta(weeks=98)
THREE_SEASONS = dt.timedelta(weeks=150)
UNKNOWN = dt.date.max  # a sign of growth is still missing: no date can be named


@dataclass(frozen=True)
class OracleTree:
    """A tree as far as the rules care for it."""

    species: str
    stage: str = "training"
    vigour: str = "normal"
    size: str = "medium"
    south: bool = False


@dataclass(frozen=True)
class Event:
    """One line of the journal; `abroad`: an arrival from the other hemisphere."""

    date: dt.date
    work: str
    amount: str = ""
    share: float | None = None
    abroad: bool = False


@dataclass(frozen=True)
class Kind:
    """What a species is: years between root works by stage, and its traits."""

    years: str
    traits: frozenset[str]


def _kind(years: str, *traits: str) -> Kind:
    return Kind(years, frozenset(traits))


KINDS = {
    "Pinus thunbergii": _kind("2-3/3/3-5/5-7", "conifer", "pine"),
    "Pinus radiata": _kind("1-2/2-3/3-4/4-5", "conifer", "pine", "monterey"),
    "Pinus parviflora": _kind("3/3-4/4-6/5-8", "conifer", "pine", "white pine"),
    "Pinus sylvestris": _kind("2-3/3-4/4-5/5-7", "conifer", "pine"),
    "Juniperus chinensis": _kind("2-3/3/3-5/5-7", "conifer", "juniper"),
    "Picea glauca": _kind("2-3/3-4/4-5/5-8", "conifer", "spruce"),
    "Larix laricina": _kind("2/2-3/3-4/4-5", "conifer"),
    "Acer palmatum": _kind("1-2/2/2-3/3-5"),
    "Acer buergerianum": _kind("1/1-2/2-3/3-4", "same day", "yearly leaves"),
    "Ulmus parvifolia": _kind("1/1-2/2-3/3-4", "same day", "yearly leaves"),
    "Carpinus betulus": _kind("2/2-3/3/3-5"),
    "Prunus mume": _kind("1-2/2/2-3/3", "same day"),
    "Rhododendron indicum": _kind("1-2/2/2-3/3-5", "same day"),
    "Olea europaea": _kind("2/3/3-4/4-6", "same day"),
    "Ficus microcarpa": _kind("1/1-2/2-3/3-4", "same day", "fig"),
    "Malus halliana": _kind("1-2/2/2-3/3", "same day"),
    "Chaenomeles speciosa": _kind("1-2/2/2-3/3", "same day"),
}


def _is(tree: OracleTree, trait: str) -> bool:
    return trait in KINDS[tree.species].traits


def _slow(tree: OracleTree) -> bool:
    """White pines and old junipers recover slowest."""
    return _is(tree, "white pine") or (_is(tree, "juniper") and tree.stage == "old")


def interval(tree: OracleTree) -> tuple[int, int]:
    """Least and most years between full root works, a small tree's a third less."""
    bounds = [int(n) for n in KINDS[tree.species].years.split("/")[STAGES.index(tree.stage)].split("-")]
    if tree.size == "small":
        bounds = [max(1, round(n * 2 / 3)) for n in bounds]
    return bounds[0], bounds[-1]


# --- dates ---


def months_on(date: dt.date, months: int) -> dt.date:
    """The same day of the month, or the month's last where it has none such."""
    year, month = divmod(date.year * 12 + date.month - 1 + months, 12)
    return dt.date(year, month + 1, min(date.day, calendar.monthrange(year, month + 1)[1]))


def _next(date: dt.date, month: int, day: int) -> dt.date:
    """The first such calendar day strictly after the date."""
    found = dt.date(date.year, month, day)
    return found if found > date else dt.date(date.year + 1, month, day)


def next_shortest(tree: OracleTree, date: dt.date) -> dt.date:
    """The first shortest day after the date."""
    return _next(date, 6 if tree.south else 12, 21)


def next_cycle(tree: OracleTree, date: dt.date) -> dt.date:
    """The first day of the next growth cycle."""
    return _next(date, 4 if tree.south else 10, 1)


def is_late(tree: OracleTree, date: dt.date) -> bool:
    """From the longest day up to, not including, the shortest; never on a fig, which has no late rule."""
    north = (6, 21) <= (date.month, date.day) < (12, 21)
    return not _is(tree, "fig") and north != tree.south


def flush_after(hard: Sequence[dt.date], date: dt.date) -> dt.date:
    """A flush hard within a month of the work grew before it, so doesn't show that it was got over."""
    return min((day for day in hard if day >= date + dt.timedelta(days=30)), default=UNKNOWN)


def spring_hard(tree: OracleTree, hard: Sequence[dt.date], date: dt.date) -> dt.date:
    """When the shoots of the spring after the work are hard."""
    turn = next_shortest(tree, date)
    return min((day for day in hard if day > turn), default=UNKNOWN)


def kind_of_work(event: Event) -> str:
    """The event's work in the words of the work asked for."""
    if event.work == "defoliation":
        return "partial defoliation" if event.amount == "medium" else "whole defoliation"
    if event.amount == "heavy" and event.work in ("structural-pruning", "wiring"):
        return "heavy pruning" if event.work == "structural-pruning" else "big bend"
    return event.work


# --- spacing: each rule yields the dates on which its bars end ---


def _after_full_root_work(
    tree: OracleTree, date: dt.date, hard: Sequence[dt.date], asked: str
) -> Iterator[dt.date]:
    late, conifer = is_late(tree, date), _is(tree, "conifer")
    if asked in ROOT_WORK:
        quick = not conifer and tree.stage in ("young", "training") and interval(tree)[0] == 1
        yield date + SEASON if quick and tree.vigour != "weak" else months_on(date, 18)
    elif asked in RESTED or asked == "partial defoliation":
        refined_broadleaf = tree.stage == "refined" and not conifer
        if not (asked == "pinching" and (refined_broadleaf or _is(tree, "spruce"))):
            yield date + dt.timedelta(days=60)
            yield flush_after(hard, date)
    elif (asked == "decandling" and not late) or (
        asked == "whole defoliation" and not late and not _is(tree, "fig")
    ):
        yield date + SEASON
    elif asked == "heavy pruning" and not late and not _is(tree, "same day"):
        yield flush_after(hard, date)
        if conifer:
            yield months_on(date, 18 if _slow(tree) or _is(tree, "spruce") else 12)
    elif asked == "big bend" and not late and conifer:
        yield months_on(date, 12)
    # Beside the rules above: a trimmed juniper waits for the flush and for the year's end.
    if _is(tree, "juniper") and asked in LIGHT_PRUNING:
        yield date + SEASON


def _after_root_work(
    tree: OracleTree, event: Event, hard: Sequence[dt.date], asked: str
) -> Iterator[dt.date]:
    if event.work == "repotting":
        yield from _after_full_root_work(tree, event.date, hard, asked)
    elif asked in ROOT_WORK:
        # Thirds, and a part not written down, wait as long as quarters: only halves are known to be quicker.
        half = event.share is not None and abs(event.share - 0.5) < 0.01
        fit = not _is(tree, "conifer") or (_is(tree, "monterey") and tree.vigour == "strong")
        yield months_on(event.date, 12 if half and fit else 24)
    elif asked in RESTED and _is(tree, "conifer"):
        yield event.date + dt.timedelta(days=60)
        yield flush_after(hard, event.date)
    if asked in HEAVY and is_late(tree, event.date):
        yield spring_hard(tree, hard, event.date)


def _after_collecting(tree: OracleTree, date: dt.date, asked: str) -> Iterator[dt.date]:
    if asked in ROOT_WORK:
        yield date + (THREE_SEASONS if _is(tree, "conifer") else TWO_SEASONS)
    elif asked == "decandling" or asked in DEFOLIATION:  # partial too: the longer wait
        yield date + THREE_SEASONS
    else:  # only what helps it, for two years at the least
        yield date + TWO_SEASONS


def _after_heavy_work(tree: OracleTree, date: dt.date, done: str, asked: str) -> Iterator[dt.date]:
    conifer = _is(tree, "conifer")
    if done == "decandling" and asked == "repotting":  # a section isn't named here, as it is elsewhere
        yield next_shortest(tree, date)
    elif done == asked == "decandling":
        yield date + SEASON
    elif done == asked == "whole defoliation":
        if _is(tree, "fig"):
            yield date + dt.timedelta(weeks=8)
        else:
            yearly = _is(tree, "yearly leaves") and tree.vigour == "strong"
            yield date + (SEASON if yearly else TWO_SEASONS)
    elif done == "heavy pruning" and conifer and (asked in ROOT_WORK or asked == "decandling"):
        yield months_on(date, 12)
    elif done in ("big bend", "deadwood") and conifer and asked in ROOT_WORK:
        yield months_on(date, 24 if _slow(tree) else 12)


def _after_event(tree: OracleTree, event: Event, hard: Sequence[dt.date], asked: str) -> Iterator[dt.date]:
    done = kind_of_work(event)
    if done in ROOT_WORK:
        yield from _after_root_work(tree, event, hard, asked)
    elif done == "collecting":
        yield from _after_collecting(tree, event.date, asked)
    elif done == "arrival":  # nothing but what helps a new tree
        # From abroad the 18 months stand in place of the season, as exceptions do all through the table.
        season = next_cycle(tree, next_shortest(tree, event.date))
        yield months_on(event.date, 18) if event.abroad else season
    else:
        yield from _after_heavy_work(tree, event.date, done, asked)
    # An ordinary structural pruning holds up a heavy one too; a light one holds up nothing.
    pruning = done in PRUNING and asked in PRUNING and event.amount != "light"
    if (done == asked and done in YEARLY) or pruning:
        yield event.date + SEASON


def _after_illness(known: Sequence[Event], hard: Sequence[dt.date]) -> dt.date:
    """Of a sick and a well on one day the sick counts: the longer wait."""
    health = [event for event in known if event.work in ("sick", "well")]
    if not health:
        return dt.date.min
    last = max(health, key=lambda event: (event.date, event.work == "sick"))
    return UNKNOWN if last.work == "sick" else flush_after(hard, last.date)


def _cycle_is_full(tree: OracleTree, known: Sequence[Event], asked: str, day: dt.date) -> bool:
    """Would the work asked for be one heavy job too many in the day's growth cycle?

    A fig bears whole defoliation again and again in one summer, so its own rule stands alone.
    """
    if _is(tree, "fig") and asked == "whole defoliation":
        return False
    end = next_cycle(tree, day)
    start = end.replace(year=end.year - 1)
    jobs = [kind_of_work(event) for event in known if start <= event.date < end]
    jobs = [job for job in jobs if job in COUNTED and not (job == "whole defoliation" and _is(tree, "fig"))]
    jobs.append(asked)
    count = len(jobs)
    if _is(tree, "same day"):  # a repotting and a heavy pruning are one job together
        count -= min(jobs.count("repotting"), jobs.count("heavy pruning"))
    two = not _is(tree, "conifer") and tree.stage in ("young", "training")
    return count > (2 if two else 1)


def _known(events: Sequence[Event], day: dt.date) -> list[Event]:
    return [event for event in events if event.date <= day]


def allowed_from(
    tree: OracleTree, events: Sequence[Event], hard: Sequence[dt.date], asked: str, day: dt.date
) -> dt.date | None:
    """The first day, from `day` on, on which no spacing rule forbids the work; None: no date known yet."""
    known = _known(events, day)
    ends = [end for event in known for end in _after_event(tree, event, hard, asked)]
    first = max([day, _after_illness(known, hard), *ends])
    if first == UNKNOWN or (asked == "decandling" and tree.vigour == "weak"):
        return None
    if asked in HEAVY and _cycle_is_full(tree, known, asked, first):
        return next_cycle(tree, first)
    return first


def barred(
    tree: OracleTree, events: Sequence[Event], hard: Sequence[dt.date], asked: str, day: dt.date
) -> bool:
    """Does any spacing rule forbid the work that day?"""
    return allowed_from(tree, events, hard, asked, day) != day


# --- what is due ---


def repotting_state(
    tree: OracleTree, events: Sequence[Event], signs: frozenset[str], opens: dt.date, day: dt.date
) -> str:
    """Due, may or leave, by the years since the last full root work and the signs alone."""
    # Whichever of repotting and collecting came last: the longer wait.
    dates = [event.date for event in _known(events, day) if event.work in ("repotting", "collecting")]
    if dates:
        years = round((max(day, opens) - max(dates)).days / 365.25)
        least, most = interval(tree)
        state = "leave" if years < least else "may" if years < most else "due"
    else:
        state = "leave" if _is(tree, "conifer") and tree.stage == "old" else "may"
    needed = {"leave": 2, "may": 1, "due": 0}[state]
    return "due" if len(signs & SIGNS) >= needed else state


def _need_by_stage(tree: OracleTree, asked: str) -> str:
    stage = tree.stage
    if stage == "young" and asked in NOT_ON_YOUNG:
        return "leave"
    if stage == "old" and (asked == "decandling" or asked in DEFOLIATION):
        return "may" if tree.vigour == "strong" else "leave"
    if asked in ("heavy pruning", "big bend"):
        return "may" if stage in ("young", "training") else "leave"
    due = asked == "after-bloom-pruning" and stage != "young"
    # "Of pines" is taken of the needle-work too: on anything else it only may be done.
    if stage in ("training", "refined") and _is(tree, "pine"):
        due = due or asked in ("needle-work", "structural-pruning")
    if stage == "refined":
        due = due or asked in ("decandling", "candle-shortening", "pinching")
    return "due" if due else "may"


def need(
    tree: OracleTree,
    events: Sequence[Event],
    hard: Sequence[dt.date],
    signs: frozenset[str],
    opens: dt.date,
    asked: str,
    day: dt.date,
) -> str:
    """Due, may or leave, spacing and health included, by what is known on `day`."""
    # Nothing done after `day` counts, though the bar is judged on the day the window opens.
    known = _known(events, day)
    if barred(tree, known, hard, asked, max(day, opens)):
        return "leave"  # a sick tree is always barred
    if tree.vigour == "weak" and not (asked in ROOT_WORK and len(signs & SIGNS) >= 2):
        return "leave"
    if asked == "repotting":
        return repotting_state(tree, events, signs, opens, day)
    if asked == "sectional-repotting":
        return "due"
    return _need_by_stage(tree, asked)
