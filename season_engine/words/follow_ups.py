"""What is still to be done after jobs, in words: a line for all the trees that want the same."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

from season_engine.facts import Text
from season_engine.report.contents import SiteReport
from season_engine.trees.follow_ups import FollowUp, due_within
from season_engine.words import prose, timing
from season_engine.words.line import Line, joined
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import said, say

WEEK_DAYS = 7
TWO_WEEKS_DAYS = 14
LINES_TOLD = 8
# In the journal's words
_UNTIL_NOTED = {
    "wire": Text('Told until "wire off" is noted.'),
    "ties": Text('Told until "ties off" is noted.'),
}


def follow_up_lines(site: SiteReport, as_of: dt.date) -> tuple[Line, ...]:
    """What is due this week, overdue wire first and then the soonest; a line a kind, with all its trees."""
    by_kind: dict[Text, list[FollowUp]] = {}
    for one in due_within(site.follow_ups, as_of, WEEK_DAYS):
        by_kind.setdefault(one.words, []).append(one)
    lines = [Line(prose.plain(words), _told(site, found, as_of)) for words, found in by_kind.items()]
    if left := lines[LINES_TOLD:]:
        others = "; ".join(line.lead for line in left)
        return (*lines[:LINES_TOLD], Line(say("Also"), prose.sentence(others)))
    return tuple(lines)


def follow_ups_of_tree(found: Iterable[FollowUp], as_of: dt.date) -> list[str]:
    """What is due on one tree within two weeks, each as in ``Out of the wind, until 14 Apr``."""
    return [
        prose.sentence(f"{prose.plain(one.words)}, {when([one], as_of)}")
        for one in due_within(found, as_of, TWO_WEEKS_DAYS)
    ]


def _told(site: SiteReport, found: Sequence[FollowUp], as_of: dt.date) -> str:
    """``Overdue since 3 Mar: Ember; by 4 May: Broom and The Ferry``, as a sentence."""
    parts = [
        say("{when}: {trees}", when=when(alike, as_of), trees=tree_names(site, (one.tree for one in alike)))
        for alike in _alike(found)
    ]
    bites = next((one.on_tree for one in found if one.overdue and one.stays), "")
    return joined(prose.sentence("; ".join(parts)), said(_UNTIL_NOTED[bites]) if bites else "")


def _alike(found: Sequence[FollowUp]) -> Iterator[list[FollowUp]]:
    """Those with the same days together; all that stays on too long is one."""
    by_days: dict[object, list[FollowUp]] = {}
    for one in found:
        late = one.overdue and one.stays
        by_days.setdefault("late" if late else (one.first, one.last), []).append(one)
    yield from by_days.values()


def when(alike: Sequence[FollowUp], as_of: dt.date) -> str:
    """When it is to be done: ``by 4 May``, ``overdue since 3 Mar``."""
    one = min(alike, key=lambda each: each.last)
    first, last = timing.short_day(one.first, as_of), timing.short_day(one.last, as_of)
    if one.overdue and one.stays:
        several = any(other.last != one.last for other in alike)
        longest, since = Text("overdue, the longest since {date}"), Text("overdue since {date}")
        return say(longest if several else since, date=last)
    if one.overdue:
        return say("due since {date}", date=last)
    if one.first > as_of:
        on_days, on_one = Text("from {first} to {last}"), Text("on {first}")
        return say(on_one if one.first == one.last else on_days, first=first, last=last)
    return say("until {date}", date=last) if one.lasts else say("by {date}", date=last)
