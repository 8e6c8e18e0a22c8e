"""Which kind of source a path is."""

from __future__ import annotations

from season_engine.batch.sources.grid import ENDINGS, Grid, is_zarr
from season_engine.batch.sources.logger_files import LoggerFiles
from season_engine.batch.sources.parquet_files import ParquetBySite, ParquetDataset, dataset_or_files
from season_engine.batch.sources.source import file_system
from season_engine.errors import GrowerError

AnySource = LoggerFiles | ParquetBySite | ParquetDataset | Grid


def source_at(path: str) -> AnySource:
    """The source at a path or address, by what lies there; raises GrowerError where that is nothing known."""
    system, within = file_system(path)
    if "file" in (system.protocol if isinstance(system.protocol, tuple) else (system.protocol,)):
        path = within  # whole, for workers in folders of their own
    if not system.exists(within):
        raise GrowerError("There is nothing here.", hint="Give --weather a folder or a file.", file=path)
    if is_zarr(system, within):
        return Grid(path)
    names = [str(name) for name in system.find(within)] if system.isdir(within) else [within]
    if any(name.endswith(".parquet") for name in names):
        return dataset_or_files(path)
    if any(name.endswith(ENDINGS) for name in names):
        return Grid(path)
    if system.isdir(within) and any(name.endswith(".csv") for name in names):
        return LoggerFiles(path)
    raise GrowerError(
        "There is no weather here that can be read.",
        hint="Give a folder with a CSV or Parquet file for each site, a Parquet dataset of all, or a grid "
        "(NetCDF, Zarr).",
        file=path,
    )
