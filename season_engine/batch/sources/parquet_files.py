"""Parquet files of daily extremes: one for each site, named by it, or a dataset of all sites."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from season_engine.batch.sources.source import Readings, daily_series, file_system, stamps_of
from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from season_engine.weather.sources.origins import GivenOrigin

if TYPE_CHECKING:
    import pyarrow as pa
    import pyarrow.dataset

COLUMNS = ("date", "tmin_c", "tmax_c")
SITE = "site"


@dataclass(frozen=True, slots=True)
class ParquetDataset:
    """Files with the columns ``site``, ``date``, ``tmin_c`` and ``tmax_c``, however they are cut."""

    path: str

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

        dataset = opened(self.path)
        site = pc.field(SITE)
        if not pa.types.is_string(dataset.schema.field(SITE).type):  # such as numbers, of folders' names
            site = site.cast(pa.string())
        try:
            columns = {SITE: site, **{name: pc.field(name) for name in COLUMNS}}
            return dataset.to_table(columns=columns, filter=site.isin(names))
        except pa.ArrowInvalid as error:
            raise _damaged(error, self.path) from None


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


def opened(path: str) -> pyarrow.dataset.Dataset:
    """The dataset at a path or address; raises GrowerError where that is none with the columns it takes."""
    import pyarrow as pa
    import pyarrow.dataset as ds

    system, within = file_system(path)
    try:
        dataset = ds.dataset(within, format="parquet", filesystem=system, partitioning="hive")
    except pa.ArrowInvalid as error:
        raise _damaged(error, path) from None
    missing = [name for name in COLUMNS if name not in dataset.schema.names]
    if missing:
        hint = f"The columns are {SITE}, {', '.join(COLUMNS)}."
        raise GrowerError(f'The column "{missing[0]}" is missing.', hint=hint, file=path)
    return dataset


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
