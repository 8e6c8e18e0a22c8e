"""The engine's usual dates beside a table of when growers do each job, and where they part.

`python -m tests.benchmarks.practice [--job JOB]`: by job, by climate, by species, with each climate left out,
every end more than three weeks off, what isn't counted, and pines' winter by a mild sea, year by year; with a
job, or the beginning of one, its rows only. `tests/data/practice` says what the table is. An error is the
engine's date less the growers', so late is plus. In place of all that, `--numbers` prints which numbers of
the catalogue would be nearer to the table, `--spreads` what each claims to be out by beside what it is, and
`--write` writes what the package tells of its dates, as is to be done after a change to the catalogue or to
the table.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np

from season_engine.files.whole import write_whole
from tests.benchmarks.markdown import markdown_table, show
from tests.practice.ends import End, climate_of, counted, job_of, practice_ends
from tests.practice.left_out import LeftOut, better_numbers, left_out
from tests.practice.south import JULY_DAYS, PINES, Winter, southern_winters
from tests.practice.spread import spreads
from tests.practice.table import NO_LEAP_YEAR, practice_rows
from tests.practice.written import practice_toml, shipped_file

NEAR_DAYS, FAR_DAYS = 10, 21
HEAD = ("Ends", "Within 10 days", "Within 21", "Middle error", "Bias", "Of openings", "Of closings")


def species_of(end: End) -> str:
    return end.row.species


def figures(ends: Sequence[End]) -> tuple[str, ...]:
    """Cells of a line of the tables: shares, the middle error in days, and mean errors with their signs."""
    off = np.array([end.off_days for end in ends])
    shares = (f"{(off <= days).mean():.0%}" for days in (NEAR_DAYS, FAR_DAYS))
    biases = (_bias(ends, which) for which in (("opens", "closes", "comes"), ("opens",), ("closes",)))
    return (str(off.size), *shares, f"{np.median(off):.0f}", *biases)


def _bias(ends: Iterable[End], which: Sequence[str]) -> str:
    errors = [end.error_days for end in ends if end.which in which and end.error_days is not None]
    return f"{round(float(np.mean(errors))):+d}" if errors else ""


def grouped(title: str, ends: Iterable[End], key: Callable[[End], str]) -> Iterator[str]:
    """A table by a key, the worst first by the share that is more than three weeks off."""
    groups: dict[str, list[End]] = {}
    for end in ends:
        groups.setdefault(key(end), []).append(end)

    def goodness(name: str) -> tuple[float, float]:
        off = np.array([end.off_days for end in groups[name]])
        return float((off <= FAR_DAYS).mean()), float((off <= NEAR_DAYS).mean())

    names = sorted(groups, key=goodness)
    yield from markdown_table((title, *HEAD), ((name, *figures(groups[name])) for name in names))
    yield ""


def far_off(ends: Iterable[End]) -> Iterator[str]:
    """Every end more than three weeks off, the worst first."""
    far = sorted((end for end in ends if end.off_days > FAR_DAYS), key=lambda end: -end.off_days)
    head = ("Error", "Job", "Window", "Species", "Climate", "End", "Growers", "Engine")
    yield f"More than {FAR_DAYS} days off, the worst first: {len(far)} ends."
    yield ""
    rows = ((f"{end.error_days:+d}", *_row_cells(end), end.which, end.growers, _day(end)) for end in far)
    yield from markdown_table(head, rows)
    yield ""


def left_out_told(ends: Sequence[End]) -> Iterator[str]:
    """By job, as it is and by numbers that never saw the climate they are held against."""
    jobs: dict[str, list[LeftOut]] = {}
    for one in left_out(ends):
        jobs.setdefault(job_of(one.end), []).append(one)
    head = ("Job", "Ends", "Within 21 days", "With each climate left out", "Middle error", "Left out")
    yield "Each number of ours set on the other climates, and held against the one left out."
    yield ""
    yield from markdown_table(head, (_left_out_cells(job, jobs[job]) for job in sorted(jobs)))
    yield ""


def _left_out_cells(job: str, ends: Sequence[LeftOut]) -> tuple[str, ...]:
    off = [np.abs([one.error_days for one in ends]), np.abs([one.unseen_days for one in ends])]
    shares = (f"{(one <= FAR_DAYS).mean():.0%}" for one in off)
    return (job, str(len(ends)), *shares, *(f"{np.median(one):.0f}" for one in off))


def numbers_told(ends: Sequence[End]) -> Iterator[str]:
    head = ("File", "Marker", "Number", "Now", "Nearer", "Ends", "Mean error", "Then")
    rows = (
        (
            *(one.file, one.marker, one.field, f"{one.value:g}", f"{one.better:.4g}", str(one.ends)),
            *(f"{one.error_days:.1f}", f"{one.better_days:.1f}"),
        )
        for one in better_numbers(ends)
    )
    yield from markdown_table(head, rows)


def spreads_told(ends: Sequence[End]) -> Iterator[str]:
    """The first claims least for what it is out by."""
    head = ("File", "Marker", "Ends", "Out by", "Claimed")
    found = sorted(spreads(ends), key=lambda one: one.claimed_days - one.out_days)
    rows = (
        (one.file, one.marker, str(one.ends), f"{one.out_days:.1f}", f"{one.claimed_days:.1f}")
        for one in found
    )
    yield from markdown_table(head, rows)


def _row_cells(end: End) -> tuple[str, str, str, str]:
    return end.row.job, end.row.window, end.row.species, end.row.climate


def _day(end: End) -> str:
    return f"{end.engine:%m-%d}" if end.engine else ""


def not_counted(ends: Sequence[End]) -> Iterator[str]:
    """Windows that don't come at a site, rows without an answer, and ends that were left out of the table."""
    for state, words in (("not here", "Not here by the engine"), ("unanswered", "Unanswered")):
        found = [end for end in ends if end.state == state]
        yield f"{words}: {len(found)} ends."
        yield ""
        if found:
            cells = ((*_row_cells(end), end.which, end.growers, end.why) for end in found)
            head = ("Job", "Window", "Species", "Climate", "End", "Growers", "Why")
            yield from markdown_table(head, cells)
            yield ""
    reasons = [end.why for end in ends if end.state == "left out"]
    yield f"Left out, since what was written later contradicts it: {len(reasons)} ends."
    yield ""
    if reasons:
        counts = ((why, str(reasons.count(why))) for why in dict.fromkeys(reasons))
        yield from markdown_table(("Why", "Ends"), counts)
        yield ""


def winters_told(winters: Sequence[Winter]) -> Iterator[str]:
    """Pines' winter by a mild sea, year by year."""
    years = list(dict.fromkeys(winter.year for winter in winters))
    found = {(winter.species, winter.year): winter for winter in winters}
    for pine in PINES:
        ours = [found[pine, year] for year in years]
        july = sum(winter.july_days_open == JULY_DAYS for winter in ours)
        repotted = sum(winter.repotting_opens is not None for winter in ours)
        both = sum(winter.as_practised for winter in ours)
        yield (
            f"{pine}, large, mild south: structural pruning is open on every day of July in {july} of "
            f"{len(ours)} winters; repotting opens after pruning began and before 30 September in "
            f"{repotted}; both in {both}."
        )
        yield ""
    head = [f"{pine}: {what}" for pine in PINES for what in ("days of July open", "repotting opens")]
    rows = ((str(year), *(cell for pine in PINES for cell in _winter(found[pine, year]))) for year in years)
    yield from markdown_table(("Winter", *head), rows)
    yield ""


def _winter(winter: Winter) -> tuple[str, str]:
    opens = winter.repotting_opens
    return str(winter.july_days_open), f"{opens.replace(year=NO_LEAP_YEAR):%m-%d}" if opens else "no"


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--job", default="", help="a job as the table has it, or the beginning of one")
    parser.add_argument("--numbers", action="store_true", help="numbers that would be nearer to the table")
    parser.add_argument("--spreads", action="store_true", help="what numbers claim to be out by, and are")
    parser.add_argument("--write", action="store_true", help="write what the package tells of its dates anew")
    asked = parser.parse_args()
    if asked.write:
        write_whole(shipped_file(), practice_toml(practice_ends()))
        return
    job = asked.job
    rows = [row for row in practice_rows() if row.job.startswith(job)]
    if not rows:
        parser.error(
            f"the table has no job {job}; it has {', '.join(sorted({r.job for r in practice_rows()}))}"
        )
    ends = practice_ends(rows=rows)
    dated = list(counted(ends))
    if asked.numbers or asked.spreads:
        show(*(numbers_told if asked.numbers else spreads_told)(dated))
        return
    for title, key in (("Job", job_of), ("Climate", climate_of), ("Species", species_of)):
        show(*grouped(title, dated, key))
    show(*left_out_told(dated))
    show(*far_off(dated), *not_counted(ends))
    if "structural pruning".startswith(job):
        show(*winters_told(southern_winters()))
    if dated:
        show(*markdown_table(("", *HEAD), [("All", *figures(dated))]))


if __name__ == "__main__":
    main()
