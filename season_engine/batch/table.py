"""The table of a block: a row a site, species, job and window, as Parquet, the same to the byte each time."""

from __future__ import annotations

import datetime as dt
import io
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from season_engine.batch.judging import JudgedWindow, SiteResult, SiteSums
from season_engine.maps.dataset import (
    CHANCES,
    GOOD,
    MONDAY,
    NAMES,
    PLACE,
    QUANTILES,
    STAMP,
    STATE,
    SUMS,
    USUAL,
)
from season_engine.site import Site

if TYPE_CHECKING:
    import pyarrow as pa

WORDS = (*NAMES, "school", *STATE)
Row = dict[str, str | float | dt.date | None]


def schema() -> pa.Schema:
    """Columns and their types."""
    import pyarrow as pa

    text, number, date = pa.string(), pa.float64(), pa.date32()
    columns: list[tuple[str, pa.DataType]] = [("site", text), *((name, number) for name in PLACE)]
    columns += [(name, text) for name in WORDS]
    columns += [(name, number) for name in CHANCES]
    columns += [(name, date) for name in (*QUANTILES, *USUAL)]
    columns += [(name, number) for name in GOOD]
    columns += [(MONDAY, date), *((name, number) for name in SUMS)]
    return pa.schema([*columns, ("refusal", text)])


def block_file(results: Sequence[SiteResult], stamp: Mapping[str, Any]) -> bytes:
    """A block's rows as the bytes of a Parquet file that bears the run's stamp."""
    rows = [row for result in results for row in _rows(result)]
    return parquet_bytes(rows, schema(), stamp)


def parquet_bytes(rows: Sequence[Mapping[str, Any]], columns: pa.Schema, stamp: Mapping[str, Any]) -> bytes:
    """Rows as the bytes of a stamped Parquet file."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    named = columns.with_metadata({STAMP: json.dumps(stamp, sort_keys=True).encode()})
    table = pa.Table.from_pylist([*rows], schema=named)
    written = io.BytesIO()
    pq.write_table(table, written, version="2.6", compression="zstd", compression_level=3)
    return written.getvalue()


def _rows(result: SiteResult) -> Iterator[Row]:
    place = _place(result.site)
    if result.refused is not None:
        yield {**place, "refusal": result.refused.why}
    for one in result.windows:
        yield {**place, **_window(one), **_sums(result.sums)}


def _place(site: Site) -> Row:
    return {"site": site.name, "latitude": site.latitude, "longitude": site.longitude}


def _window(found: JudgedWindow) -> Row:
    window, judged = found.window, found.judged
    quantiles = [date for end in (judged.opens, judged.closes) for date in (end.p10, end.p50, end.p90)]
    words = found.species, window.job, window.name, window.school, judged.season, judged.verdict, judged.today
    return {
        **dict(zip(WORDS, words, strict=True)),
        "floor": judged.floor,
        "chance_open": judged.chance_open,
        "chance_given": judged.chance_given,
        **dict(zip(QUANTILES, quantiles, strict=True)),
        "usual_opens": judged.usual_opens,
        "usual_closes": judged.usual_closes,
        **dict(zip(GOOD, judged.good or [None] * len(GOOD), strict=True)),
        "earliest_safe_monday": judged.earliest_safe_monday,
    }


def _sums(sums: SiteSums | None) -> Row:
    return {} if sums is None else {"chill_portions": sums.chill_portions, "heat_gdh": sums.heat_gdh}
