"""Parquet files of daily extremes: one for each site, named by it, or a dataset of all sites."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from season_engine.batch.sources.source import Readings, daily_series, file_system, stamps_of
from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from season_engine.weather.sources.origins import GivenOrigin

if TYPE_CHECKING:
    import pyarrow as pa
    import pyarrow.dataset
    from fsspec import AbstractFileSystem

COLUMNS = ("date", "tmin_c", "tmax_c")
SITE = "site"


@dataclass(frozen=True, slots=True)
class Part:
    """A file of a dataset, and the first and last name of its sites; None where it doesn't say."""

    path: str
    names: tuple[str, str] | None

    def may_hold(self, names: Sequence[str]) -> bool:
        """Whether one of the names, given in their order, lies between its first and last."""
        if self.names is None:
            return True
        first, last = self.names
        place = bisect_left(names, first)
        return place < len(names) and names[place] <= last


@dataclass(frozen=True, slots=True)
class ParquetDataset:
    """Files with the columns ``site``, ``date``, ``tmin_c`` and ``tmax_c``, however they are cut.

    `schema` is what the whole dataset has: of a few of its files, named by folders, another might be guessed.
    """

    path: str
    schema: pa.Schema
    parts: tuple[Part, ...]

    def of(self, sites: Sequence[Site]) -> ParquetDataset:
        """What has to be read for some sites: looking into every file costs more the more there are."""
        names = sorted(site.name for site in sites)
        some = tuple(part for part in self.parts if part.may_hold(names))
        return replace(self, parts=some or self.parts[:1])

    def read(self, sites: Sequence[Site]) -> Iterator[Readings]:
        """Each site's readings, in order; of the files those parts alone are read that may hold them."""
        names = [site.name for site in sites]
        table = self._rows_of(names)
        name = np.asarray(table[SITE].to_numpy(zero_copy_only=False), dtype=object)
        order = np.argsort(name, kind="stable")
        first = np.searchsorted(name[order], names, "left")
        stop = np.searchsorted(name[order], names, "right")
        for place, site in enumerate(sites):
            yield _readings(table.take(order[first[place] : stop[place]]), f"weather of {site.name}")

    def files(self) -> Mapping[str, str]:
        """The Parquet files."""
        return parquet_files(self.path)

    def _rows_of(self, names: Sequence[str]) -> pa.Table:
        """The rows of some sites; raises GrowerError where the files are damaged."""
        import pyarrow as pa
        import pyarrow.compute as pc

        site = pc.field(SITE)
        if not pa.types.is_string(self.schema.field(SITE).type):  # such as numbers, of folders' names
            site = site.cast(pa.string())
        columns = {SITE: site, **{name: pc.field(name) for name in COLUMNS}}
        try:
            # One thread: each of many would keep memory of its own, and a worker has one processor.
            return self._dataset().to_table(columns=columns, filter=site.isin(names), use_threads=False)
        except pa.ArrowInvalid as error:
            raise _damaged(error, self.path) from None

    def _dataset(self) -> pyarrow.dataset.Dataset:
        import pyarrow.dataset as ds

        system, within = file_system(self.path)
        return ds.dataset(
            [part.path for part in self.parts],
            schema=self.schema,
            format="parquet",
            filesystem=system,
            partitioning="hive",
            partition_base_dir=within if system.isdir(within) else None,
        )


@dataclass(frozen=True, slots=True)
class ParquetBySite:
    """Files such as ``ridge.parquet`` with the columns ``date``, ``tmin_c`` and ``tmax_c``."""

    folder: str

    def read(self, sites: Sequence[Site]) -> Iterator[Readings]:
        """Each site's readings, in order."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        system, folder = file_system(self.folder)
        for site in sites:
            path, origin = f"{folder.rstrip('/')}/{site.name}.parquet", f"file {site.name}.parquet"
            try:
                with system.open(path, "rb") as file:
                    yield _readings(pq.read_table(file, columns=[*COLUMNS]), origin)
            except FileNotFoundError:
                missing = WeatherError("this file of readings does not exist.", file=path)
                yield Readings(GivenOrigin(origin), missing)
            except pa.ArrowInvalid as error:
                yield Readings(GivenOrigin(origin), _damaged(error, path))

    def files(self) -> Mapping[str, str]:
        """The Parquet files."""
        return parquet_files(self.folder)


def dataset_or_files(path: str) -> ParquetDataset | ParquetBySite:
    """What the Parquet files at a path or address are; raises GrowerError where they lack a column."""
    import pyarrow as pa
    import pyarrow.dataset as ds

    system, within = file_system(path)
    try:
        dataset = ds.dataset(within, format="parquet", filesystem=system, partitioning="hive")
        missing = [name for name in COLUMNS if name not in dataset.schema.names]
        if missing:
            hint = f"The columns are {SITE}, {', '.join(COLUMNS)}."
            raise GrowerError(f'The column "{missing[0]}" is missing.', hint=hint, file=path)
        if SITE not in dataset.schema.names:
            return ParquetBySite(path)
        parts = tuple(_part(system, fragment) for fragment in dataset.get_fragments())
    except pa.ArrowInvalid as error:
        raise _damaged(error, path) from None
    return ParquetDataset(path, dataset.schema, parts)


def _part(system: AbstractFileSystem, fragment: pyarrow.dataset.ParquetFileFragment) -> Part:
    """A file with its sites' names, by its folder or by what is told of its row groups at its end."""
    import pyarrow.dataset as ds
    import pyarrow.parquet as pq

    folders = ds.get_partition_keys(fragment.partition_expression)
    if SITE in folders:
        return Part(fragment.path, (str(folders[SITE]), str(folders[SITE])))
    with system.open(fragment.path, "rb") as file:
        about = pq.read_metadata(file)
    paths = [about.schema.column(place).path for place in range(about.num_columns)]
    if SITE not in paths:
        return Part(fragment.path, None)
    groups = [
        about.row_group(number).column(paths.index(SITE)).statistics for number in range(about.num_row_groups)
    ]
    told = [(one.min, one.max) for one in groups if one is not None and one.has_min_max]
    if len(told) < len(groups) or not all(isinstance(name, str) for both in told for name in both):
        return Part(fragment.path, None)
    return Part(fragment.path, (min(low for low, _ in told), max(high for _, high in told)) if told else None)


def _damaged(error: Exception, path: str) -> GrowerError:
    return GrowerError(f"This can't be read as Parquet: {str(error).splitlines()[0]}.", file=path)


def parquet_files(path: str) -> Mapping[str, str]:
    """The Parquet files at a path or in a folder."""
    system, folder = file_system(path)
    return {name: stamp for name, stamp in stamps_of(system, folder).items() if name.endswith(".parquet")}


def _readings(table: pa.Table, name: str) -> Readings:
    origin = GivenOrigin(name)
    try:
        days = table["date"].to_numpy(zero_copy_only=False).astype("datetime64[D]")
        low, high = (
            np.asarray(table[column].to_numpy(zero_copy_only=False), np.float64) for column in COLUMNS[1:]
        )
        if np.isnat(days).any():
            raise GrowerError(f"{name}: a line has no date.")
        return Readings(origin, daily_series(days, low, high, name))
    except GrowerError as error:
        return Readings(origin, error)
    except (ValueError, TypeError) as error:
        return Readings(origin, GrowerError(f"{name}: dates or temperatures are of another type: {error}."))
