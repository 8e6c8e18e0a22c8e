"""What wants cover in the days ahead: trees worked lately, and leaves still tender."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.species.schema import ColdHazard, HeatHazard, ShortSeason
from season_engine.tree import Tree
from season_engine.trees.history import History
from season_engine.trees.need import is_for
from season_engine.windows.assess import Prospect
from season_engine.windows.hazard import Hazard, WeatherEvent
from season_engine.windows.hazards import event_of, hazard_if_done

DAYS = 10
ALARM = 0.1  # a mild chance makes no alarm
HEALED_DAYS = 45  # so long after work a tree is as hardy as before (from memory)
TENDER_DAYS = 28  # leaves are soft for some weeks (from memory)
TENDER = ColdHazard.model_validate(  # from memory; a light frost already blackens new leaves
    {"name": "frost", "level_c": -1.0, "days": DAYS, "limit": ALARM, "from": "memory"}
)
LEAVES = (9, 19)  # BBCH, from the first green tips to all leaves unfolded


@dataclass(frozen=True, slots=True)
class Threat:
    """An event in the coming days that would hurt trees because they were worked, or are in soft leaf."""

    hazard: Hazard  # `days` ahead from today
    event: WeatherEvent
    why: str  # the job that was done, empty for soft leaves
    trees: tuple[str, ...]  # ids
    worked_on: dt.date | None  # the last of the jobs


def threats(trees: Iterable[tuple[History, Prospect]], on: dt.date) -> tuple[Threat, ...]:
    """What may come within ten days that matters to some tree, the surest first; none in a mild week."""
    found: dict[tuple[object, ...], Threat] = {}
    for history, prospect in trees:
        for rule, why, worked in _at_risk(history, prospect, on):
            hazard = hazard_if_done(rule, prospect.dating(0), on)
            if hazard.forecast_on is None and hazard.chance < ALARM:
                continue
            event = event_of(rule)
            key = (event, round(hazard.chance, 2), hazard.forecast_on, hazard.days, why)
            before = found.get(key)
            known = before.trees if before else ()
            dates = [date for date in (worked, before and before.worked_on) if date]
            ids = (*known, history.tree.id)
            found[key] = Threat(hazard, event, why, ids, max(dates, default=None))
    return tuple(
        sorted(found.values(), key=lambda t: (t.hazard.forecast_on is None, -t.hazard.chance, t.why))
    )


def _at_risk(
    history: History, prospect: Prospect, on: dt.date
) -> Iterable[tuple[ColdHazard | HeatHazard, str, dt.date | None]]:
    """Each rule that bears on a tree for the next days: of a job done lately, or of soft leaves."""
    worked = False
    for job in dict.fromkeys(work.job for work in history.works):
        done = history.last(job) or on
        for rule in _rules(history.tree, prospect, job):
            left = (done + dt.timedelta(days=min(rule.days, HEALED_DAYS)) - on).days
            if left > 0:
                worked = True
                yield rule.model_copy(update={"days": min(left, DAYS)}), job, done
    if not worked and _in_soft_leaf(prospect, on):
        yield TENDER, "", None


def _rules(tree: Tree, prospect: Prospect, job: str) -> list[ColdHazard | HeatHazard]:
    """The hazards after a job: of its windows' rules each kind's first."""
    windows = (one for one in prospect.species.windows if one.job == job and is_for(one, tree))
    rules = (rule for one in windows for rule in one.hazard if not isinstance(rule, ShortSeason))
    kinds: dict[str, ColdHazard | HeatHazard] = {}
    for rule in rules:
        kinds.setdefault(rule.name, rule)
    return list(kinds.values())


def _in_soft_leaf(prospect: Prospect, on: dt.date) -> bool:
    """Whether leaves have come within the last weeks, by more than even odds."""
    dating = prospect.dating(0)
    today = dating.traces.column(on)
    first, last = LEAVES
    markers = prospect.species.markers.items()
    leafing = [dating.dates[name] for name, one in markers if one.bbch and first <= one.bbch <= last]
    return any(dating.weights[(came <= today) & (came > today - TENDER_DAYS)].sum() > 0.5 for came in leafing)
