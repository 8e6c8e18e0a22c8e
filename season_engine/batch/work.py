"""What a worker does: one block, from the readings to its file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from season_engine.batch.asked import Asked
from season_engine.batch.folder import RunFolder
from season_engine.batch.judging import judge_block
from season_engine.batch.sources.chosen import AnySource
from season_engine.batch.sources.grid import Grid
from season_engine.batch.sources.source import Readings
from season_engine.batch.stamp import Stamp, refuse_other_program
from season_engine.batch.table import block_file
from season_engine.errors import GrowerError
from season_engine.site import Site


@dataclass(frozen=True, slots=True)
class Task:
    """One block as it is sent to a worker: where to read and write, and no readings."""

    number: int
    sites: tuple[Site, ...] | range  # or numbers of a grid's cells
    source: AnySource
    asked: Asked
    out: str
    stamp: Stamp


@dataclass(frozen=True, slots=True)
class Done:
    """What became of a block."""

    number: int
    sites: int


Work = Callable[[Task], Done]


def do_block(task: Task) -> Done:
    """Read, judge and write one block; raises OSError where a file, a disk or a network fails."""
    refuse_other_program(task.stamp)
    sites, readings = sites_and_readings(task)
    results = judge_block(sites, readings, task.asked)
    RunFolder(task.out).write_block(task.number, block_file(results, task.stamp))
    return Done(task.number, len(task.sites))


def sites_and_readings(task: Task) -> tuple[Sequence[Site], Sequence[Readings]]:
    """The sites of a block with their readings; of cells those alone that have any, since others are sea."""
    if not isinstance(task.sites, range):
        return task.sites, [*task.source.read(task.sites)]
    assert isinstance(task.source, Grid)
    cells = task.source.cells(task.sites.start, task.sites.stop)
    both = [(cell, read) for cell, read in zip(cells, task.source.read(cells), strict=True) if _land(read)]
    return [cell for cell, _ in both], [read for _, read in both]


def _land(readings: Readings) -> bool:
    if isinstance(readings.series, GrowerError):
        return True
    return not (np.isnan(readings.series.tmin_c).all() and np.isnan(readings.series.tmax_c).all())
