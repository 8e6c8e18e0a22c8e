"""A run: the blocks that are still to be done, and who does them."""

from __future__ import annotations

import errno
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields

from season_engine.batch.asked import Asked
from season_engine.batch.folder import RunFolder
from season_engine.batch.machines import Machines
from season_engine.batch.scores import ScoreTask, Scoring
from season_engine.batch.sources.chosen import AnySource
from season_engine.batch.sources.parquet_files import ParquetDataset
from season_engine.batch.stamp import Stamp
from season_engine.batch.work import Done, Task, Work, do_block
from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.verify.station_files import Sighting

FULL = (errno.ENOSPC, errno.EDQUOT)
Progress = Callable[[int, int], None]  # sites done in this run, and left of it


@dataclass(frozen=True)
class Plan:
    """A batch cut into blocks of a fixed size, whoever does them."""

    asked: Asked
    source: AnySource
    sites: tuple[Site, ...] | range  # or numbers of a grid's cells
    block_sites: int
    stamp: Stamp

    @property
    def blocks(self) -> int:
        """How many there are."""
        return -(-len(self.sites) // self.block_sites)

    def task(self, number: int, out: str) -> Task:
        """One block as it is sent to a worker."""
        start = number * self.block_sites
        some = self.sites[start : start + self.block_sites]
        source = self.source
        if isinstance(source, ParquetDataset) and not isinstance(some, range):
            source = source.of(some)
        return Task(number, some, source, self.asked, out, self.stamp)


@dataclass(frozen=True)
class ScorePlan(Plan):
    """A backtest cut into such blocks."""

    sightings: tuple[Sighting, ...]
    scoring: Scoring

    def task(self, number: int, out: str) -> ScoreTask:
        """One block with what was seen at its sites."""
        plain = super().task(number, out)
        assert not isinstance(plain.sites, range)
        names = {site.name for site in plain.sites}
        seen = tuple(one for one in self.sightings if one.site in names)
        parts = {field.name: getattr(plain, field.name) for field in fields(Task)}
        return ScoreTask(**parts, sightings=seen, scoring=self.scoring)


@dataclass(frozen=True, slots=True)
class Left:
    """Blocks that could not be done, and why the first of them couldn't."""

    blocks: int
    error: Exception


def outstanding(plan: Plan, folder: RunFolder) -> list[Task]:
    """The blocks of a plan that don't stand yet; raises GrowerError where the folder is another run's."""
    folder.begin({**plan.stamp, "blocks": str(plan.blocks)})
    done = folder.done(plan.stamp)
    return [plan.task(number, folder.path) for number in range(plan.blocks) if number not in done]


def run(tasks: Sequence[Task], machines: Machines, progress: Progress, work: Work = do_block) -> Left | None:
    """Do the tasks; those that fail keep no other from being done, unless the disk is full."""
    total, done = sum(len(task.sites) for task in tasks), 0
    failed: list[Exception] = []
    for result in machines.results(work, tasks):
        if isinstance(result, Done):
            done += result.sites
            progress(done, total)
            continue
        failed.append(result)
        if isinstance(result, GrowerError) or getattr(result, "errno", None) in FULL:
            break
    missing = total - done
    return Left(len(failed), failed[0]) if missing else None
