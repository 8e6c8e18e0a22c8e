"""What a tree needs of a window's job, added to how the window stands: due, may, or leave."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.species.spacing import HEAVY, Asked, spacing
from season_engine.trees.growth import HARD_AFTER_LONGEST, GrowthDates
from season_engine.trees.history import History
from season_engine.trees.need import Need, TreeCase, asked_by, is_for, need_of, tree_case
from season_engine.trees.need_why import ToRescue, WouldBar
from season_engine.trees.recovery import recovery_of
from season_engine.trees.spacing import Event, Rules, done_by
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import AT_HAND, Assessment
from season_engine.windows.course import winter_course
from season_engine.windows.tree_notes import OffLater
from season_engine.windows.why_today import HardlyEverWell, RescueNow

HARDENED = ("leaves_hard", "shoots_hard")  # markers of a flush that is hard
SEASONS_BACK, SEASONS_AHEAD = 3, 2
OFF_WITHIN = dt.timedelta(weeks=60)  # what is off later than that is no news


def growth_dates(prospect: Prospect, history: History) -> GrowthDates:
    """When a flush was hard, or will be: in past seasons by their own weather, and by the tree's notes."""
    site, on = prospect.view.site, prospect.view.on
    name = next((one for one in HARDENED if one in prospect.species.markers), None)
    this = site.season_on(on)
    dates = {
        year: this.shifted(year - this.year).longest_day + HARD_AFTER_LONGEST
        for year in range(this.year - SEASONS_BACK, this.year + SEASONS_AHEAD)
    }
    if name is not None:
        dates |= dict(_dated(prospect, name, range(-SEASONS_BACK, SEASONS_AHEAD)))
    return GrowthDates(site, tuple(sorted({*dates.values(), *history.hard_on})))


def _dated(prospect: Prospect, name: str, shifts: range) -> Iterator[tuple[int, dt.date]]:
    """A marker's day in each season, as far as it has one."""
    this = prospect.view.site.season_on(prospect.view.on)
    for shift in shifts:
        date = prospect.marker_date(name, shift)
        if date is not None:
            yield this.year + shift, date


def case_of(prospect: Prospect, history: History) -> TreeCase:
    """A tree as the rules of its kind see it; worked out once for all windows."""
    kept = prospect.cases.get(id(history))
    if kept is None or kept.history is not history:
        kept = prospect.cases[id(history)] = _case_of(prospect, history)
    return kept


def left_without(prospect: Prospect, window: Window, history: History) -> Need | None:
    """Why a tree is to be left without a window's job today; None where it isn't."""
    need = need_of(case_of(prospect, history), window, prospect.view.on)
    return need if need.state == "leave" else None


def _case_of(prospect: Prospect, history: History) -> TreeCase:
    species = prospect.species
    rules = Rules(species, history.tree, (*species.spacing, *spacing().rule), spacing().most)
    return tree_case(history, rules, growth_dates(prospect, history), prospect.view.on)


def with_need(found: Assessment, prospect: Prospect, window: Window, history: History | None) -> Assessment:
    """The assessment with what one tree needs; unchanged where none was asked about."""
    if history is None:
        return found
    case = case_of(prospect, history)
    by = _by(found)
    need = _need(case, prospect, window, by)
    told = replace(
        found,
        tree=history.tree.id,
        need=need,
        programme=case.programme if JOBS[window.job].roots else None,
        next=found.next and replace(found.next, left=_left_next(case, window, found)),
        recovery=recovery_of(case, _windows_of(prospect, history), found.as_of),
        course=winter_course(case, prospect, window),
        of_tree=tuple(_off_later(case, prospect, window, by)) if _advised(found, need) else (),
    )
    return _with_advice(told, need)


def roots_bar(case: TreeCase, window: Window) -> bool:
    """Whether work on its roots would keep a window's job from the tree for a while."""
    rule = case.rules.rule_for("root work", asked_by(window))
    return rule is not None and rule.bars


def _by(found: Assessment) -> dt.date:
    """The day on which the job would be done: today, or once the window is open."""
    opens = found.standing.opens
    waits = opens is not None and found.verdict in ("wait", "soon")
    return max(found.as_of, opens) if waits and opens else found.as_of


def _left_next(case: TreeCase, window: Window, found: Assessment) -> bool:
    opens = found.next.standing.opens if found.next else None
    return opens is not None and need_of(case, window, opens).state == "leave"


def _advised(found: Assessment, need: Need) -> bool:
    return need.state != "leave" and found.verdict in AT_HAND and found.seldom_well is None


def _need(case: TreeCase, prospect: Prospect, window: Window, by: dt.date) -> Need:
    """The need; a lesser job is left where it would keep a greater one from a tree that is due for it."""
    need, asked = need_of(case, window, by), asked_by(window)
    if need.state == "leave" or JOBS[window.job].roots or asked not in HEAVY:
        return need
    after = _once_done(case, window, asked, by)
    for other, opens in _ahead(prospect, case.history, by):
        greater = JOBS[other.job].roots and need_of(case, other, opens).state == "due"
        if greater and after.bars(asked_by(other), opens):
            return Need("leave", WouldBar(other.job, opens), "greater-first", need.last)
    return need


def _off_later(case: TreeCase, prospect: Prospect, window: Window, by: dt.date) -> Iterator[OffLater]:
    """The jobs that a heavy one, done on a day, would keep from the tree when their windows open."""
    asked = asked_by(window)
    if asked not in HEAVY:
        return
    after, told = _once_done(case, window, asked, by), set[str]()
    for other, opens in _ahead(prospect, case.history, by):
        if other.job == window.job or other.job in told or opens > by + OFF_WITHIN:
            continue
        kept = need_of(case, other, opens).state != "leave" and after.bars(asked_by(other), opens)
        if kept:
            told.add(other.job)
            yield OffLater(other.job, opens)


def _once_done(case: TreeCase, window: Window, asked: Asked, by: dt.date) -> TreeCase:
    """The tree as it would be, had it the job on a day."""
    amount = "medium" if asked == "partial defoliation" else JOBS[window.job].amount
    late = case.growth.site.days_shorten(by)
    share = 1 / case.programme.parts if case.programme else None
    done = Event(by, window.job, done_by(window.job, amount, late=late), share)
    return replace(case, events=(*case.events, done))


def _ahead(prospect: Prospect, history: History, by: dt.date) -> list[tuple[Window, dt.date]]:
    """The tree's windows of jobs told in full, each with the first day from `by` on that it is open."""
    spans = ((window, prospect.next_open(window, by)) for window in _windows_of(prospect, history))
    return sorted(((window, span[0]) for window, span in spans if span), key=lambda one: one[1])


def _windows_of(prospect: Prospect, history: History) -> list[Window]:
    told = (window for window in prospect.species.full_windows if JOBS[window.job].told_in_full)
    return [window for window in told if is_for(window, history.tree)]


def _with_advice(found: Assessment, need: Need) -> Assessment:
    """Today's advice for the tree: nothing to one that is to be left, and a rescue out of window."""
    if isinstance(need.why, ToRescue) and not found.in_window:
        return replace(found, today="no", today_why=RescueNow(need.why.signs))
    hopeless = isinstance(found.today_why, HardlyEverWell)
    if need.state != "leave" or not found.in_window or hopeless:
        return found
    return replace(found, today="no", today_why=need.why)
