"""A yard's notes as one .zip of CSV files, in the columns that `backtest` reads, and a text that says so.

The same yard gives the same bytes: no clock and no machine shows in them.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Sequence
from typing import Any

from season_engine.verify.shared_yard import SharedYard
from season_engine.verify.station_files import EVENT_COLUMNS, NOTE_COLUMNS, SITE_COLUMNS
from season_engine.verify.weather_file import COLUMNS as WEATHER_COLUMNS

SITES_FILE, WEATHER_FILE, EVENTS_FILE, ABOUT_FILE = "sites.csv", "weather.csv", "events.csv", "README.txt"
ABOUT = """\
Growth stages that a grower noted on trees in containers, and the temperatures of
those seasons, given away for fitting when buds and flowers come.

sites.csv    site       a code for the yard
             latitude, longitude   degrees, north and east positive, rounded to 0.1
             elevation  metres, rounded to 50; empty: nobody said
events.csv   site       as above
             species    botanical name
             bbch       growth stage by its code, 0 to 99
             date       year-month-day of the note
             sighting   seen: come by that day, and noted then; not-yet: looked for and
                        not there yet; already: it had come on some day before
             tree       a number within the yard, to tell trees apart; empty: none named
weather.csv  site, date
             tmin, tmax lowest and highest temperature of the day, degC, to 0.1;
                        faulty and missing readings mended. Only seasons with notes,
                        from 1 October in the north, from 1 April in the south.

There are no names of people, yards or trees in it, and no words of the grower's.
"""
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest that a .zip can say


def shared_zip(yards: Sequence[SharedYard], credits: Iterable[str] = ()) -> bytes:
    """The file of some yards; `credits` name whose readings a public station's are, and on what terms."""
    told = "".join(f"\nReadings of a public station, changed here: {one}\n" for one in dict.fromkeys(credits))
    contents = {
        ABOUT_FILE: ABOUT + told,
        SITES_FILE: _table(SITE_COLUMNS, (_site(yard) for yard in yards)),
        EVENTS_FILE: _table(
            (*EVENT_COLUMNS, *NOTE_COLUMNS), (row for yard in yards for row in _events(yard))
        ),
        WEATHER_FILE: _table(WEATHER_COLUMNS, (row for yard in yards for row in _days(yard))),
    }
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in contents.items():
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type, entry.create_system = zipfile.ZIP_DEFLATED, 3
            entry.external_attr = 0o644 << 16
            packed.writestr(entry, text)
    return file.getvalue()


def _table(columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return text.getvalue()


def _site(yard: SharedYard) -> tuple[str, ...]:
    site = yard.site
    height = "" if site.elevation_m is None else f"{site.elevation_m:.0f}"
    return site.name, f"{site.latitude:.1f}", f"{site.longitude:.1f}", height


def _events(yard: SharedYard) -> Iterable[tuple[Any, ...]]:
    for note in yard.notes:
        tree = "" if note.tree is None else note.tree
        yield yard.site.name, note.species, f"{note.bbch:02d}", note.date, note.sighting, tree


def _days(yard: SharedYard) -> Iterable[tuple[Any, ...]]:
    for series in yard.weather:
        for day, low, high in zip(series.days.tolist(), series.tmin_c, series.tmax_c, strict=True):
            yield yard.site.name, day, f"{low:.1f}", f"{high:.1f}"
