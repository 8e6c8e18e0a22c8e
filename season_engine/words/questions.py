"""What a grower is asked about trees, in a line for all that are asked the same."""

from __future__ import annotations

from collections.abc import Mapping

from season_engine.facts import Day, Text
from season_engine.report.contents import SiteReport
from season_engine.trees.questions import Asked, Question
from season_engine.words.line import Line
from season_engine.words.naming import job_name
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import said, say

_ASKED: Mapping[Asked, Text] = {
    "last repotting": Text(
        'When was it repotted last? Write it into trees.csv; if nobody knows, note "drains slowly" or "roots '
        'lift it" where that is so.'
    ),
    "still so": Text('Is it still so? Note "weak", "normal" or "strong".'),
    "good season": Text('How did the last year go for it? Note "a good season" or "a bad season".'),
}


def question_lines(site: SiteReport) -> tuple[Line, ...]:
    """A line a question, with all the trees that it is about."""
    alike: dict[str, list[str]] = {}
    for question in site.questions:
        alike.setdefault(question_text(question), []).append(question.tree)
    return tuple(Line(tree_names(site, trees), text) for text, trees in alike.items())


def question_text(question: Question) -> str:
    """The question alone."""
    if question.asks == "how much" and question.on is not None:
        told = Text(
            'How much did {job} on {date} take? Note it again with "light", "medium" or "heavy": heavy is '
            "three tenths of the foliage or a main branch. Until then it counts as medium."
        )
        return say(told, job=job_name(question.job), date=Day(question.on))
    return said(_ASKED[question.asks])
