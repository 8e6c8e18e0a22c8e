"""A tree as it is on a day, and what it had until then: from trees.csv and the notes that were there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import cast, get_args

from season_engine.note import Amount, Note, Sign, State
from season_engine.species.jobs import JOBS
from season_engine.tree import Stage, Tree, Vigour, tree_as_of

HARD_STAGE = 91  # BBCH


@dataclass(frozen=True, slots=True)
class Work:
    """A job done on a tree."""

    on: dt.date
    job: str
    amount: Amount
    share: float | None = None  # of the roots or of the foliage; None: nobody said
    side: str = ""  # in the grower's words
    said: bool = True  # how much it took was said, or is the same whenever it is done
    noted: bool = True  # in the journal; otherwise in trees.csv alone


@dataclass(frozen=True, slots=True)
class History:
    """What is known of a tree on a day."""

    tree: Tree  # as it is on the day: where it stands, how strong it is, in what pot
    works: tuple[Work, ...] = ()  # the oldest first
    vigour_on: dt.date | None = None  # when its vigour was last noted
    sick_on: dt.date | None = None  # when it fell ill, of a tree that is ill now
    well_on: dt.date | None = None  # when it was well again
    signs: Mapping[Sign, dt.date] = field(default_factory=dict)  # at its roots, since these were last worked
    wired_on: dt.date | None = None  # the wire still on it
    tied_on: dt.date | None = None  # the ties that hold it in its pot, still on
    seasons: tuple[tuple[dt.date, bool], ...] = ()  # how years went for it: good or not
    went_badly: dt.date | None = None  # the last work on its roots, where that turned out badly
    gone: dt.date | None = None  # dead, or given away
    noted: bool = False  # whether the journal speaks of it at all
    rounds: tuple[tuple[dt.date, str], ...] = ()  # jobs noted of the whole yard, or of its species
    stages: tuple[tuple[dt.date, int], ...] = ()  # growth stages (BBCH) that had come on it

    @property
    def hard_on(self) -> tuple[dt.date, ...]:
        """When its growth was noted as hard."""
        return tuple(on for on, stage in self.stages if stage == HARD_STAGE)

    @property
    def roots_on(self) -> dt.date | None:
        """When the whole of its roots was last worked."""
        return self.last("repotting", "collecting")

    def last(self, *jobs: str) -> dt.date | None:
        """The last day on which it had one of these jobs."""
        return max((work.on for work in self.works if work.job in jobs), default=None)


def history_of(tree: Tree, notes: Iterable[Note], on: dt.date) -> History:
    """What `notes`, those known on `on`, and trees.csv say of a tree."""
    notes = tuple(notes)
    own = sorted((note for note in notes if note.tree == tree.id), key=lambda note: note.date)
    tree = _tree_now(tree_as_of(tree, on), own)
    works = _works(tree, own)
    roots_on = max((work.on for work in works if JOBS[work.job].roots), default=dt.date.min)
    found = History(
        tree,
        works,
        vigour_on=_last_of(own, get_args(Vigour)),
        signs={sign: note.date for note in own if note.date >= roots_on for sign in note.details.signs},
        seasons=tuple(
            (note.date, note.details.season == "good") for note in own if note.details.season is not None
        ),
        wired_on=_wired_on(own),
        tied_on=_tied_on(works, own),
        went_badly=max(
            (note.date for note in own if note.details.went == "badly" and note.date >= roots_on),
            default=None,
        ),
        gone=min(filter(None, (_left_on(own), tree.dead)), default=None),
        noted=bool(own),
        rounds=tuple(_rounds(tree, notes)),
        stages=tuple(
            (note.date, note.bbch) for note in own if note.bbch is not None and note.sighting != "not-yet"
        ),
    )
    return _with_health(found, own)


def kept(
    trees: Iterable[Tree], notes: Sequence[Note], on: dt.date, sites: Container[str]
) -> tuple[History, ...]:
    """Of the trees that stand at these sites on the day, what each had; `notes` are those known then."""
    found = (history_of(tree, notes, on) for tree in trees)
    return tuple(one for one in found if one.gone is None and one.tree.site in sites)


def trees_kept(
    trees: Iterable[Tree], notes: Sequence[Note], on: dt.date, sites: Container[str]
) -> tuple[Tree, ...]:
    """The trees that stand at these sites on the day, each as it is then."""
    return tuple(one.tree for one in kept(trees, notes, on, sites))


def _works(tree: Tree, own: Sequence[Note]) -> tuple[Work, ...]:
    works = [_work(note) for note in own if note.job]
    collected = {work.on for work in works if work.job == "collecting"}
    rooted = {work.on for work in works if JOBS[work.job].roots}  # on that day this is the repotting meant
    for date, job, noted in (
        (tree.last_repotted, "repotting", rooted),
        (tree.collected, "collecting", collected),
    ):
        if date is not None and date not in noted:
            works.append(Work(date, job, JOBS[job].amount, noted=False))
    return tuple(sorted(works, key=lambda work: work.on))


def _work(note: Note) -> Work:
    job = JOBS[note.job or ""]
    details = note.details
    amount = details.amount or _by_share(job.amount, details.share) or job.amount
    said = not job.varies or (details.amount or details.share) is not None
    return Work(note.date, note.job or "", amount, details.share, details.side, said)


def _by_share(usual: Amount, share: float | None) -> Amount | None:
    """Of a job that takes a middling amount as a rule: heavy from three tenths of the foliage on."""
    return None if share is None or usual != "medium" else "heavy" if share >= HEAVY_SHARE else "medium"


HEAVY_SHARE = 0.3  # of the foliage: common practice, from memory


def _tree_now(tree: Tree, own: Sequence[Note]) -> Tree:
    """The tree with what the notes say of it since: where it stands, its pot, its strength, its stage."""
    for note in own:
        details = note.details
        vigour = cast(Vigour | None, _one_of(details.states, get_args(Vigour)))
        stage = cast(Stage | None, _one_of(details.states, get_args(Stage)))
        abroad = "arrived from the other hemisphere" in details.states
        tree = replace(
            tree,
            site=details.moved_to or tree.site,
            pot=details.pot_size or tree.pot,
            vigour=vigour or tree.vigour,
            stage=stage or tree.stage,
            arrived=note.date if abroad or "arrived" in details.states else tree.arrived,
            other_hemisphere=abroad or tree.other_hemisphere,
            collected=note.date if "collected" in details.states else tree.collected,
        )
    return tree


def _with_health(found: History, own: Sequence[Note]) -> History:
    ill: dt.date | None = None
    well: dt.date | None = None
    for note in own:
        if "sick" in note.details.states:
            ill, well = ill or note.date, None
        elif "well" in note.details.states:
            ill, well = None, note.date
    return replace(found, sick_on=ill, well_on=well)


def _one_of(states: Iterable[State], wanted: Iterable[str]) -> str | None:
    return next((state for state in states if state in set(wanted)), None)


def _last_of(own: Sequence[Note], states: Iterable[str]) -> dt.date | None:
    wanted = set(states)
    return max((note.date for note in own if wanted.intersection(note.details.states)), default=None)


def _left_on(own: Sequence[Note]) -> dt.date | None:
    """When it died or was given away; None where it was, and came back since."""
    left: dt.date | None = None
    for note in own:
        if note.left:
            left = left or note.date
        elif not _CAME.isdisjoint(note.details.states):
            left = None
    return left


_CAME: frozenset[State] = frozenset(("arrived", "arrived from the other hemisphere"))


def _wired_on(own: Sequence[Note]) -> dt.date | None:
    """Since when it has wire on it: of several rounds the first, which bites first."""
    since: dt.date | None = None
    for note in own:
        if "wire" in note.details.off:
            since = None
        if note.job == "wiring":
            since = since or note.date
    return since


def _tied_on(works: Iterable[Work], own: Sequence[Note]) -> dt.date | None:
    """Since when it has been tied into its pot: each time it comes out of it, it is tied in anew."""
    tied = max((work.on for work in works if work.job in TIED_IN), default=None)
    taken = (note.date for note in own if "ties" in note.details.off and note.job not in TIED_IN)
    off = max(taken, default=None)
    return None if tied and off and off >= tied else tied


TIED_IN = ("repotting", "sectional-repotting")


def _rounds(tree: Tree, notes: Iterable[Note]) -> Iterator[tuple[dt.date, str]]:
    for note in notes:
        of_all = note.tree is None and note.site == tree.site
        if of_all and note.job and note.species in (None, tree.species):
            yield note.date, note.job
