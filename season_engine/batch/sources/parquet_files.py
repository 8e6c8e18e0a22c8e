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
        import pyarrow.compute as pc

        dataset = opened(self.path)
        names = [site.name for site in sites]
        table = dataset.to_table(columns=[SITE, *COLUMNS], filter=pc.field(SITE).isin(names))
        name = np.asarray(table[SITE].to_numpy(zero_copy_only=False), dtype=object)
        order = np.argsort(name, kind="stable")
        first = np.searchsorted(name[order], names, "left")
        stop = np.searchsorted(name[order], names, "right")
        for place, site in enumerate(sites):
            yield _readings(table.take(order[first[place] : stop[place]]), f"weather of {site.name}")

    def files(self) -> Mapping[str, str]:
        """The Parquet files."""
        return parquet_files(self.path)


@dataclass(frozen=True, slots=True)
class ParquetBySite:
    """Files such as ``ridge.parquet`` with the columns ``date``, ``tmin_c`` and ``tmax_c``."""

    folder: str

    def read(self, sites: Sequence[Site]) -> Iterator[Readings]:
        """Each site's readings, in order."""
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
        raise GrowerError(f"This is no Parquet dataset: {str(error).splitlines()[0]}.", file=path) from None
    missing = [name for name in COLUMNS if name not in dataset.schema.names]
    if missing:
        hint = f"The columns are {SITE}, {', '.join(COLUMNS)}."
        raise GrowerError(f'The column "{missing[0]}" is missing.', hint=hint, file=path)
    return dataset


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
