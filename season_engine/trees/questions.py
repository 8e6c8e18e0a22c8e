"""What a grower is asked about a tree, each once: in the week in which the answer is of use."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from season_engine.trees.history import History

Asked = Literal["last repotting", "how much", "still so", "good season"]
WEEK = dt.timedelta(days=7)
YEAR = dt.timedelta(weeks=52)


@dataclass(frozen=True, slots=True)
class Question:
    """Something about a tree that its grower knows and the journal doesn't."""

    tree: str  # its id
    asks: Asked
    job: str = ""  # the one it is about
    on: dt.date | None = None  # when that was done, or when its strength was noted


def questions_of(history: History, on: dt.date) -> Iterator[Question]:
    """What is asked of one tree on a day: how much a pruning took, whether it is still so weak or strong."""
    tree = history.tree
    for work in history.works:
        if not work.said and timely(work.on, on):
            yield Question(tree.id, "how much", work.job, work.on)
    noted = history.vigour_on
    if noted is not None and tree.vigour != "normal" and timely(noted + YEAR, on):
        yield Question(tree.id, "still so", on=noted)


def timely(day: dt.date, on: dt.date) -> bool:
    """Whether a day lies in the week up to today, so that a weekly report asks in one week alone."""
    return dt.timedelta(0) <= on - day < WEEK


def gathered(questions: Iterable[Question]) -> tuple[Question, ...]:
    """Each once."""
    return tuple(dict.fromkeys(questions))
