"""The round of small care: where a window stands, without all that a day's heavy work has to weigh."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from season_engine.markers.base import By
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.tree import Tree
from season_engine.trees.history import History
from season_engine.trees.need import Need
from season_engine.trees.need_why import Barred
from season_engine.windows.assess import Prospect, judged
from season_engine.windows.assessment import Verdict, by_of
from season_engine.windows.cautions import Caution
from season_engine.windows.hazard import Hazard
from season_engine.windows.hazards import hazard_if_done
from season_engine.windows.today import advise
from season_engine.windows.tree_need import case_of, left_without, roots_bar
from season_engine.windows.verdict import verdict_on
from season_engine.windows.weights import heaviest
from season_engine.windows.why_today import Risky

WITHOUT_A_BREAK = dt.timedelta(days=7)  # a window that opens so soon after another has closed goes on with it


@dataclass(frozen=True, slots=True)
class Care:
    """One window of one species, as it stands on a day."""

    species: str  # botanical name
    common_name: str
    job: str
    window: str
    verdict: Verdict
    opens: dt.date | None  # with the odds the job wants
    closes: dt.date | None
    cautions: tuple[Caution, ...] = ()
    opens_by: By = "weather"
    closes_by: By = "weather"
    spared: tuple[str, ...] = ()  # ids of the trees left without it about work on their roots
    for_none: bool = False  # of none but these
    one_of_several: bool = False  # of the species' windows of that job
    held: Hazard | None = None  # what is likelier to come than the job bears, where it is open
    goes_on_as: str = ""  # the window of that job that is open when this one closes, or soon after

    @property
    def on_hold(self) -> bool:
        """Whether it is open, and better left by the hazards of the job."""
        return self.held is not None

    @property
    def by(self) -> By:
        """What sets its dates: the calendar where it sets both ends."""
        return by_of(self.opens_by, self.closes_by)


def care_of(prospect: Prospect, window: Window, tree: Tree | None = None) -> Care:
    """Where one window stands on the view's day, and what to mind with that tree."""
    shift, now = judged(prospect, window, JOBS[window.job].floor)
    kind = prospect.species
    verdict = verdict_on(prospect.view.on, now)
    # A tree that is still to come, such as one to dig, may be of any size.
    if JOBS[window.job].new_tree:
        cautions = prospect.cautions(window.job, "large")
    else:
        size, pot = (tree.size, tree.stands_in) if tree else (None, None)
        cautions = prospect.cautions(window.job, size, pot)
    opening = prospect.told(window, shift)
    dating = prospect.dating(0)
    hazards = [(rule, hazard_if_done(rule, dating, prospect.view.on)) for rule in window.hazard]
    shelter = tree.shelter if tree else None
    _, why = advise(verdict, unsure=False, stale=None, hazards=hazards, shelter=shelter)
    return Care(
        *(kind.name, kind.common[0], window.job, window.name, verdict),
        *(now.opens, now.closes, cautions, opening.set_by("opens"), opening.set_by("closes")),
        held=why.hazard if isinstance(why, Risky) else None,
    )


def small_care(
    prospect: Prospect, trees: Sequence[History] | None = None, roots_first: Container[str] = ()
) -> list[Care]:
    """A species' windows that are not told in full, but those that are for none of its trees.

    `trees`: the grower's of the species; None where no trees are kept at all. `roots_first`: ids of those
    that are to have their roots worked now.
    """
    return beside_one_another(_each_alone(prospect, trees, roots_first))


def _each_alone(
    prospect: Prospect, trees: Sequence[History] | None, roots_first: Container[str]
) -> Iterator[Care]:
    for window in prospect.species.full_windows:
        job = JOBS[window.job]
        if job.told_in_full:
            continue
        if trees is None or job.new_tree:
            yield care_of(prospect, window, heaviest(one.tree for one in trees or ()))
            continue
        left = {one.tree.id: left_without(prospect, window, one) for one in trees}
        spared = tuple(
            one.tree.id
            for one in trees
            if _for_its_roots(left[one.tree.id])
            or (one.tree.id in roots_first and roots_bar(case_of(prospect, one), window))
        )
        may = [one.tree for one in trees if not (left[one.tree.id] or one.tree.id in spared)]
        if may or spared:
            found = care_of(prospect, window, heaviest(may))
            yield replace(found, spared=spared, for_none=not may)


def _for_its_roots(need: Need | None) -> bool:
    return need is not None and isinstance(need.why, Barred) and need.why.bar.of_roots


def beside_one_another(care: Iterable[Care]) -> list[Care]:
    """One species' windows, each with what the others of its job make of it."""
    of_job: dict[str, list[Care]] = {}
    for one in care:
        of_job.setdefault(one.job, []).append(one)
    return [
        replace(one, one_of_several=len(group) > 1, goes_on_as=_goes_on_as(one, group))
        for group in of_job.values()
        for one in group
    ]


def _goes_on_as(one: Care, of_job: Iterable[Care]) -> str:
    """The first of the job's windows to go on without a break where this one closes."""
    after = [other for other in of_job if _follows(other, one)]
    return min(after, key=lambda other: other.opens or dt.date.max).window if after else ""


def _follows(other: Care, one: Care) -> bool:
    if "not-here" in (other.verdict, one.verdict) or not (other.opens and other.closes and one.closes):
        return False
    return other.opens <= one.closes + WITHOUT_A_BREAK and other.closes > one.closes
