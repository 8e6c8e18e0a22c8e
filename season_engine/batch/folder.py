"""The folder of a run, on a disk or in an object store: its stamp, and a file for each block that is done."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from season_engine.batch.sources.source import file_system
from season_engine.batch.stamp import Stamp, as_text, refuse_other
from season_engine.errors import GrowerError
from season_engine.files.whole import write_whole
from season_engine.maps.dataset import PART, RUN, STAMP

if TYPE_CHECKING:
    import pyarrow as pa

LOCK = ".lock"


class RunFolder:
    """Where a run writes; a block's file is there whole or not at all."""

    def __init__(self, path: str) -> None:
        self._system, self._within = file_system(path)
        self.local = self._system.protocol == "file" or "file" in self._system.protocol
        self.path = self._within if self.local else path  # whole, for workers in folders of their own

    def write(self, name: str, content: bytes) -> None:
        """Write a file whole: beside its place and then renamed, or in one request to a store."""
        if self.local:
            write_whole(Path(self._at(name)), content)
        else:
            self._system.pipe_file(self._at(name), content)

    def write_block(self, number: int, content: bytes) -> None:
        """Write the file of a block."""
        self.write(_of_block(number), content)

    def begin(self, stamp: Stamp) -> None:
        """Take the folder for a run, or go on with it; raises GrowerError where it is another run's."""
        try:
            there: Stamp = json.loads(self._system.cat_file(self._at(RUN)))
        except FileNotFoundError:
            if self._blocks():
                problem = f"This folder holds blocks, and no {RUN} that says of which run."
                raise GrowerError(problem, hint="Name another with --out.", file=self.path) from None
            self.write(RUN, as_text(stamp).encode())
            return
        except ValueError:
            raise GrowerError(
                "This file doesn't say of which run the blocks are.",
                hint="Name another folder with --out.",
                file=self._at(RUN),
            ) from None
        refuse_other(stamp, there, self.path)

    def done(self, stamp: Stamp) -> set[int]:
        """Numbers of the blocks that stand whole.

        Raises GrowerError where one is of another run. What a killed run left half written is taken away.
        """
        found = set()
        for number in self._blocks():
            theirs = self._stamp_of(number)
            if theirs is not None:
                refuse_other(stamp, theirs, self._at(_of_block(number)))
                found.add(number)
        if self.local:
            for half in Path(self._within).glob(f"block=*/.{PART}.*"):
                half.unlink(missing_ok=True)
        return found

    def table(self, numbers: int, columns: list[str]) -> pa.Table:
        """Some columns of so many blocks, in their order."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        parts = []
        for number in range(numbers):
            with self._system.open(self._at(_of_block(number)), "rb") as file:
                parts.append(pq.ParquetFile(file).read(columns=columns))
        return pa.concat_tables(parts)

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Keep a second run on this machine out; raises GrowerError where one is at work."""
        from filelock import FileLock, Timeout

        if not self.local:
            yield
            return
        Path(self._within).mkdir(parents=True, exist_ok=True)
        try:
            with FileLock(self._at(LOCK), timeout=0):
                yield
        except Timeout:
            raise GrowerError("Another run is at work in this folder.", file=self.path) from None

    def _blocks(self) -> list[int]:
        try:
            names = self._system.find(self._within)
        except FileNotFoundError:
            return []
        parts = (str(name).rsplit("/", 2)[1:] for name in names if str(name).endswith(f"/{PART}"))
        return sorted(
            int(folder.removeprefix("block=")) for folder, _ in parts if folder.startswith("block=")
        )

    def _stamp_of(self, number: int) -> Stamp | None:
        """The stamp that a block's file bears; None where the file is damaged."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        try:
            with self._system.open(self._at(_of_block(number)), "rb") as file:
                about = pq.ParquetFile(file).schema_arrow.metadata or {}
            stamp: Stamp = json.loads(about[STAMP])
        except (pa.ArrowInvalid, KeyError, ValueError):
            return None
        return stamp

    def _at(self, name: str) -> str:
        return f"{self._within.rstrip('/')}/{name}"


def _of_block(number: int) -> str:
    return f"block={number:05d}/{PART}"
