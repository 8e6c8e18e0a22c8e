"""What to do today: a second question, after where the window stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.facts import Day
from season_engine.messages import Message
from season_engine.note import Note
from season_engine.site import Season
from season_engine.species.jobs import JOBS
from season_engine.species.schema import ColdHazard, HazardRule, Window
from season_engine.tree import Tree
from season_engine.windows.assessment import Hazard, Today, Verdict


@dataclass(frozen=True, slots=True)
class TreeState:
    """A tree as it is on the day asked about."""

    tree: Tree
    worked: tuple[tuple[dt.date, str], ...]  # jobs done this season, as the journal and trees.csv have them

    @property
    def sheltered(self) -> bool:
        """Whether it can go under cover for some weeks."""
        return self.tree.shelter


def tree_state(tree: Tree, notes: Iterable[Note], season: Season) -> TreeState:
    """A tree with the jobs that were done on it since the season began; `notes` end with today."""
    done = [(note.date, note.job) for note in notes if note.tree == tree.id and note.job]
    if tree.last_repotted is not None:
        done.append((tree.last_repotted, "repotting"))
    return TreeState(tree, tuple(sorted({(on, job) for on, job in done if on >= season.start})))


def is_for(window: Window, tree: Tree) -> bool:
    """Whether a window is for a tree of this size that came so."""
    origins = JOBS[window.job].origins
    return window.size in (None, tree.size) and (not origins or tree.origin in origins)


def advise(
    job: str,
    verdict: Verdict,
    *,
    unsure: bool,
    stale: str,
    hazards: Sequence[tuple[HazardRule, Hazard]],
    state: TreeState | None,
) -> tuple[Today, str]:
    """Today's advice and the sentence that says why; the first criterion that applies decides.

    `stale` is a sentence where the readings are too old to work by, else empty.
    """
    if verdict not in ("open", "last-call"):
        return "no", _NOT_OPEN[verdict]
    if state is not None and (refusal := refusal_of(job, state)):
        return "no", refusal
    if unsure:
        return "hold", Message("The odds are too even to call it open; go by the tree itself.")
    if stale:
        return "hold", stale
    risky = [(rule, hazard) for rule, hazard in hazards if hazard.chance > rule.limit]
    for rule, hazard in risky:
        if not isinstance(rule, ColdHazard):
            return "hold", Message("Better not now: {hazard}.", hazard=hazard.text)
        if state is not None and not state.sheltered:
            return "hold", Message("Wait for safer weather: {hazard}.", hazard=hazard.text)
    for _, hazard in risky:
        covered = Message("Only if it can stand under cover afterwards: {hazard}.", hazard=hazard.text)
        return "only-with-shelter", covered
    if verdict == "last-call":
        return "do", Message("The window is open but closing; do it now or leave it for another year.")
    return "do", Message(
        "The window is open, and what past years brought from here on is safe enough for it."
    )


def refusal_of(key: str, state: TreeState) -> str:
    """Why this tree must not have a job this season; empty where it may."""
    job = JOBS[key]
    for on, done in state.worked:
        if done == key and job.rank == "bench":
            once = Message("This was done on {date}; once a season is enough.")
            return Message(once, date=Day(on, year=True))
        if job.heavy and done in JOBS and JOBS[done].heavy:
            one = Message("It had {job} on {date}; one heavy job a season is enough.")
            return Message(one, job=Message(JOBS[done].words), date=Day(on, year=True))
    if job.heavy and state.tree.vigour == "weak":
        return Message("This tree is marked weak; let it gain strength before heavy work.")
    return ""


_NOT_OPEN: dict[Verdict, str] = {
    "wait": Message("It is too early."),
    "soon": Message("It is a little too early; get ready, the window opens soon."),
    "closed": Message("It is too late; the window has closed for this season."),
    "not-here": Message("This window does not come at this site in most years."),
}
