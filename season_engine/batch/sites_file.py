"""sites.csv of a batch: where each site is."""

from __future__ import annotations

from season_engine.files.csv_rows import Row, Sheet
from season_engine.files.foreign_values import decimal_number
from season_engine.files.packed import Readable
from season_engine.files.text import shortened
from season_engine.site import Site

NEEDED = ("site", "latitude", "longitude")
COLUMNS = (*NEEDED, "elevation_m", "bench_frost_allowance_c")
LOWEST_M, HIGHEST_M = -450.0, 9000.0  # no ground is lower or higher
MOST_ALLOWANCE_C = 8.0


def read_batch_sites(path: Readable) -> tuple[Site, ...]:
    """The sites in the file's order; raises GrowerError, or InputErrors with every fault of the file."""
    sheet = Sheet(path, COLUMNS, NEEDED)
    sites: list[Site] = []
    lines: dict[str, int] = {}
    for row in sheet:
        sites.append(_site(row))
        name = sites[-1].name
        first = lines.setdefault(name.casefold(), row.line)
        if name and first != row.line:
            row.fault("site", f'The site "{shortened(name)}" is on line {first} already.')
    if not sites:
        sheet.fault(1, "There is a header but no site.")
    sheet.finish()
    return tuple(sites)


def _site(row: Row) -> Site:
    name = row.needed("site")
    if name.startswith(".") or "/" in name or "\\" in name:
        row.fault(
            "site", "A site's name holds no / and no \\, and begins with no dot: files are named by it."
        )
    row.needed("latitude")
    row.needed("longitude")
    return Site(
        name,
        _number(row, "latitude", -90, 90) or 0.0,
        _number(row, "longitude", -180, 180) or 0.0,
        _number(row, "elevation_m", LOWEST_M, HIGHEST_M),
        bench_frost_allowance_c=_number(row, "bench_frost_allowance_c", 0, MOST_ALLOWANCE_C) or 0.0,
    )


def _number(row: Row, column: str, low: float, high: float) -> float | None:
    """A number within its limits; None where nothing is written, or a fault was noted."""
    value = row.words(column)
    if not value:
        return None
    number = decimal_number(value)
    if number is None or not low <= number <= high:
        row.fault(column, f'{column} must be a number from {low:g} to {high:g}; got "{shortened(value)}".')
        return None
    return number
