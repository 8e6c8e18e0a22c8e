"""The order of the week's work beside that of two growers who ranked twenty yards by hand.

`python -m tests.benchmarks.ranked_by_hand`: how often the same tree and job come first, and how many of the
first three are the same, of what is due and told in a report.
"""

from __future__ import annotations

from collections.abc import Sequence

from season_engine.species.jobs import JOBS
from tests.advice.test_work_first import Key, ours, ranked, rows
from tests.benchmarks.markdown import markdown_table, show


def of_due(order: Sequence[Key], table: Sequence[dict[str, str]]) -> list[Key]:
    due = {
        (row["tree"], row["job"]) for row in table if row["need"] == "due" and JOBS[row["job"]].told_in_full
    }
    return [key for key in order if key in due]


def main() -> None:
    readers = {name: ranked(name) for name in "ab"}
    found: dict[str, list[tuple[bool, int, int]]] = {"a and engine": [], "b and engine": [], "a and b": []}
    for yard, table in rows().items():
        orders = {name: of_due(order[yard], table) for name, order in readers.items()} | {
            "engine": ours(table)
        }
        if not orders["engine"]:
            continue
        for pair, those in found.items():
            one, other = (orders[name] for name in pair.split(" and "))
            those.append((one[0] == other[0], len(set(one[:3]) & set(other[:3])), min(3, len(one))))
    told = [
        (
            pair,
            f"{sum(first for first, _, _ in those)} of {len(those)}",
            f"{sum(same for _, same, _ in those)} of {sum(of for _, _, of in those)}",
        )
        for pair, those in found.items()
    ]
    show(*markdown_table(("Between", "Same tree and job first", "Same in the first three"), told))


if __name__ == "__main__":
    main()
