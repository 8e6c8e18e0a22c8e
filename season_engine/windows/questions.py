"""What is asked about a tree before a window opens: when it was repotted, whether its years were good."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from season_engine.trees.need_why import NoDateKnown, OldAndUnknown
from season_engine.trees.questions import Question, timely
from season_engine.windows.assessment import Assessment
from season_engine.windows.verdict import NOTICE


def questions_before(assessments: Iterable[Assessment]) -> Iterator[Question]:
    """What decides over root work, asked in the first week in which its window is a fortnight off."""
    for a in assessments:
        opens = a.standing.opens
        if a.tree is None or a.verdict != "soon" or opens is None or not timely(opens - NOTICE, a.as_of):
            continue
        if a.job == "repotting" and a.need and isinstance(a.need.why, NoDateKnown | OldAndUnknown):
            yield Question(a.tree, "last repotting", a.job)
        if a.job == "sectional-repotting" and a.programme and a.programme.asks_good_season:
            yield Question(a.tree, "good season", a.job)
