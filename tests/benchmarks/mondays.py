"""A year of Mondays: how long the mail is, and how much of it is new since the week before.

`python -m tests.benchmarks.mondays [texts]`: the demo's two yards, and a yard of fifteen trees by a mild
southern sea; every fourth Monday and the longest of all; with `texts` every fourth Monday's mail itself.
"""

from __future__ import annotations

import datetime as dt
import re
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from season_engine.pipeline import make_report
from season_engine.prints.mail import mail_text
from season_engine.report.said_before import statements
from season_engine.verify.own_record import add_to_record, read_record
from season_engine.workspace.workspace import Workspace, load_workspace
from tests.benchmarks.markdown import markdown_row

FIRST = dt.date(2025, 12, 8)
MONDAYS, TOLD_EVERY, TOLD = 52, 4, 12
WEEK = dt.timedelta(weeks=1)
SENTENCE = re.compile(r"(?<=[.!?;:])\s+")
SETTINGS = """[[site]]
name = "dune"
latitude = -38.1
longitude = -110.5
[site.weather]
source = "demo"
climate = "mild-maritime-south"
"""
TREES = """id,name,site,species,size,stage,vigour,last_repotted,bench
s1,The Groyne,dune,Pinus radiata,large,training,strong,2023-07-22,back
s2,Breakwater,dune,Pinus radiata,medium,training,strong,2024-07-25,back
b1,Marram,dune,Pinus thunbergii,large,refined,normal,2022-08-10,back
b2,Skua,dune,Pinus thunbergii,medium,training,strong,2024-08-12,back
t1,Ember,dune,Acer buergerianum,medium,training,strong,2024-08-01,front
t2,Clinker,dune,Acer buergerianum,small,young,strong,2025-08-02,front
m1,Rust,dune,Acer palmatum,medium,refined,normal,2022-08-05,front
f1,Lodger,dune,Ficus rubiginosa,large,training,strong,2023-11-20,front
f2,Porter,dune,Ficus microcarpa,small,training,strong,2024-11-15,front
o1,Oyster,dune,Olea europaea,medium,training,normal,2023-09-10,back
j1,Cairn,dune,Juniperus chinensis,medium,old,normal,2020-09-15,back
a1,Plum Lane,dune,Prunus mume,medium,training,normal,2024-07-10,front
e1,Tally,dune,Ulmus parvifolia,small,training,strong,2024-08-03,front
l1,Teasel,dune,Leptospermum laevigatum,small,young,strong,2025-09-20,back
q1,Lantern,dune,Wisteria floribunda,medium,refined,normal,2022-08-15,front
"""


def mail_of(workspace: Workspace, on: dt.date, record: Path) -> str:
    """The mail of a Monday, what it says kept for the next."""
    report = make_report(workspace, workspace.sites, on)
    add_to_record(record, read_record(record, on), statements(report, on))
    return mail_text(report)


def sentences(mail: str) -> list[str]:
    """What it says, without its heading lines."""
    return [one for one in SENTENCE.split(" ".join(mail.split())) if len(one.split()) > 2]


def mondays(folder: Path) -> Iterator[tuple[dt.date, str, float]]:
    """Every Monday's mail, and the share of its sentences that the one a week before hadn't."""
    workspace, record = load_workspace(folder), folder / "record.jsonl"
    before = set(sentences(mail_of(workspace, FIRST - WEEK, record)))
    for place in range(MONDAYS):
        on = FIRST + place * WEEK
        mail = mail_of(workspace, on, record)
        told = sentences(mail)
        yield on, mail, sum(one not in before for one in told) / len(told)
        before = set(told)


def told(name: str, weeks: list[tuple[dt.date, str, float]], *, texts: bool) -> Iterator[str]:
    """The table of every fourth Monday and the longest of all; or the mails."""
    yield f"**{name}**\n"
    if texts:
        for on, mail, _ in weeks[: TOLD * TOLD_EVERY : TOLD_EVERY]:
            yield f"{on:%d %b %Y}, {len(mail.split())} words:\n\n```text\n{mail.strip()}\n```\n"
        return
    yield markdown_row(("Monday", "Words", "New since last week"))
    yield markdown_row(["---"] * 3)
    for on, mail, new in weeks[: TOLD * TOLD_EVERY : TOLD_EVERY]:
        yield markdown_row((f"{on:%d %b %Y}", str(len(mail.split())), f"{new:.0%}"))
    words = [len(mail.split()) for _, mail, _ in weeks]
    longest = weeks[words.index(max(words))][0]
    yield (
        f"\nOf all {len(weeks)} Mondays the longest has {max(words)} words ({longest:%d %b %Y}), the "
        f"shortest {min(words)}; {sum(n > 300 for n in words)} have more than 300, "
        f"{sum(n <= 100 for n in words)} at most 100.\n"
    )


def main(*which: str) -> None:
    with tempfile.TemporaryDirectory() as place:
        south, demo = Path(place) / "south", Path(place) / "demo"
        for folder in (south, demo):
            folder.mkdir()
        (south / "season.toml").write_text(SETTINGS, "utf-8")
        (south / "trees.csv").write_text(TREES, "utf-8")
        for name, folder in (("demo", demo), ("mild south, fifteen trees", south)):
            lines = told(name, [*mondays(folder)], texts="texts" in which)
            sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
