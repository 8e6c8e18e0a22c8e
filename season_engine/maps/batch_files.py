"""Reading the Parquet files of a batch: blocks of sites, and `_run.json` beside them."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, get_args

import numpy as np
from pydantic import BaseModel, ConfigDict, NonNegativeInt, Strict, ValidationError, field_validator

from season_engine.errors import GrowerError
from season_engine.files.foreign_values import year_served
from season_engine.files.spelling import plain_name
from season_engine.files.text import did_you_mean, listed, read_text, shortened
from season_engine.maps.batch_rows import COLUMNS, DATES, NUMBERS, TEXTS, BatchRows
from season_engine.maps.dataset import NAMES, PART, PLACE, RUN, STAMP
from season_engine.maps.libraries import of_the_extra
from season_engine.species.catalogue import Catalogue
from season_engine.species.jobs import job_named
from season_engine.windows.assessment import Verdict

SEASON = re.compile(r"\d{4}/\d{2}")
NO_BATCH = "Name the folder that `season-engine batch` wrote with --out."


class Run(BaseModel):
    """What `_run.json` says of a batch: the day it judges as today, and how many blocks it has when done.

    0 blocks: not said, and only a block left out before the last one is noticed.
    """

    model_config = ConfigDict(extra="allow")

    on: Annotated[dt.date, Strict()]
    blocks: NonNegativeInt = 0

    @field_validator("on")
    @classmethod
    def _served(cls, on: dt.date) -> dt.date:
        if not year_served(on.year):
            raise ValueError(on)
        return on

    def differs_from(self, stamp: Mapping[str, object]) -> bool:
        """Whether a block rests on something else; what either doesn't tell of tells nothing."""
        mine = {"on": self.on.isoformat(), **(self.model_extra or {})}
        return any(str(mine[key]) != str(stamp[key]) for key in mine.keys() & stamp.keys())


def read_rows(
    folder: Path, *, species: str | None = None, job: str | None = None, window: str | None = None
) -> BatchRows:
    """The rows of one window, the only one where nothing is named.

    `species` and `job` go by any of their names. Raises GrowerError where the folder holds no batch, a file
    can't be read, or the names fit no window or several.
    """
    run = _run_of(folder)
    files = _blocks(folder)
    if not files:
        raise GrowerError("there is no finished block here.", hint=NO_BATCH, file=folder)
    _refuse_of_another_run(files.values(), run)
    found = _table(files.values(), list(NAMES))
    names = _asked_for(_named(found, folder), species, job, window, folder)
    rows = _table(files.values(), [name for name in COLUMNS if name != "school"])
    missing = max(run.blocks, max(files) + 1) - len(files)
    return _rows(rows.filter(_those_of(names)), names, run, missing, folder)


def _blocks(folder: Path) -> dict[int, Path]:
    """The files of all blocks there are by their numbers, in order."""
    named = {file.parent.name.removeprefix("block="): file for file in folder.glob(f"block=*/{PART}")}
    return dict(sorted((int(number), file) for number, file in named.items() if number.isdecimal()))


def _run_of(folder: Path) -> Run:
    if not folder.is_dir():
        raise GrowerError("There is no such folder.", hint=NO_BATCH, file=folder)
    file = folder / RUN
    try:
        return Run.model_validate_json(read_text(file))
    except ValidationError:
        problem = "This file doesn't say on which day the batch was made."
        raise GrowerError(problem, hint=NO_BATCH, file=file, field="on") from None


def _refuse_of_another_run(files: Iterable[Path], run: Run) -> None:
    """Raise GrowerError for a block that says it is of another run: its sites may be another block's."""
    parquet = of_the_extra("pyarrow.parquet")
    for file in files:
        try:
            about = parquet.read_schema(file).metadata or {}
            stamp = json.loads(about.get(STAMP, b"{}"))
        except (of_the_extra("pyarrow").ArrowException, OSError, ValueError):
            continue  # which reading it tells of, or nothing does
        if isinstance(stamp, dict) and run.differs_from(stamp):
            problem = f"This block is of another run than {RUN} tells of."
            hint = "Delete it and run the batch again, which makes that block anew."
            raise GrowerError(problem, hint=hint, file=file)


def _table(files: Iterable[Path], columns: list[str]) -> Any:
    parquet, arrow = of_the_extra("pyarrow.parquet"), of_the_extra("pyarrow")
    parts = []
    for file in files:
        try:
            one = parquet.ParquetFile(file)
            missing = [name for name in columns if name not in one.schema_arrow.names]
            part = one.read([name for name in columns if name not in missing])
        except (arrow.ArrowException, OSError) as error:
            hint = "Delete it and run the batch again, which makes that block anew."
            raise GrowerError(f"This block can't be read: {error}.", hint=hint, file=file) from None
        if missing:
            raise GrowerError(f"This block has no column {listed(missing, 'and')}.", hint=NO_BATCH, file=file)
        parts.append(_plain(part))
    return arrow.concat_tables(parts, promote_options="permissive")


def _plain(part: Any) -> Any:
    """Texts that are kept by number, as Parquet may, as themselves, so that blocks fit together."""
    arrow = of_the_extra("pyarrow")
    for place, field in enumerate(part.schema):
        if arrow.types.is_dictionary(field.type):
            part = part.set_column(place, field.name, part.column(place).cast(field.type.value_type))
    return part


def _named(table: Any, folder: Path) -> list[tuple[str, str, str]]:
    """Species, job and window of all rows that have them, each once, in the order they come."""
    unique = table.group_by(list(NAMES), use_threads=False).aggregate([]).to_pylist()
    named = [(row["species"], row["job"], row["window"]) for row in unique]
    found = [names for names in named if None not in names]
    if not found:
        hint = "Its rows say why in the column refusal."
        raise GrowerError("every site of this batch was refused.", hint=hint, file=folder)
    return found


def _asked_for(
    found: list[tuple[str, str, str]],
    species: str | None,
    job: str | None,
    window: str | None,
    folder: Path,
) -> tuple[str, str, str]:
    """The one window that is meant; each name narrows down what the next may be."""
    kinds = list(dict.fromkeys(names[0] for names in found))
    kind = _one(kinds, species and _species(species, kinds), "species", folder)
    jobs = list(dict.fromkeys(names[1] for names in found if names[0] == kind))
    done = _one(jobs, job and _job(job, jobs), "job", folder)
    windows = [names[2] for names in found if names[:2] == (kind, done)]
    return kind, done, _one(windows, window, "window", folder)


def _one(there: Sequence[str], asked: str | None, field: str, folder: Path) -> str:
    if asked is None and len(there) == 1:
        return there[0]
    hint = f"It has {listed(there, 'and')}."
    if asked is None:
        say_which = f"say which {field} with --{field}: this batch has several."
        raise GrowerError(say_which, hint=hint, file=folder)
    known = {plain_name(name): name for name in there}
    if (spelt := plain_name(asked)) not in known:
        problem = f'this batch has no {field} "{shortened(asked)}" here.'
        raise GrowerError(problem, hint=did_you_mean(asked, there) or hint, file=folder)
    return known[spelt]


def _species(asked: str, there: Sequence[str]) -> str:
    """The name the batch has for a species; one of a grower's own catalogue goes by that alone."""
    if plain_name(asked) in {plain_name(name) for name in there}:
        return asked
    found = Catalogue().get(asked)
    return found.name if found else asked


def _job(asked: str, there: Sequence[str]) -> str:
    return asked if plain_name(asked) in {plain_name(name) for name in there} else job_named(asked, there)


def _those_of(names: tuple[str, str, str]) -> Any:
    """Rows of one window; a refused site may have one row for all its windows."""
    field = of_the_extra("pyarrow.compute").field
    species, job, window = names
    of_window = (field("species") == species) & (field("job") == job) & (field("window") == window)
    for_all = field("species").is_null() | field("job").is_null() | field("window").is_null()
    return of_window | (for_all & field("refusal").is_valid())


def _rows(table: Any, names: tuple[str, str, str], run: Run, missing_blocks: int, folder: Path) -> BatchRows:
    arrow = of_the_extra("pyarrow")
    try:
        dates = {name: table[name].cast(arrow.date32()).to_numpy() for name in DATES}
        numbers = {name: table[name].cast(arrow.float64()).to_numpy() for name in (*NUMBERS, *PLACE)}
        texts = {name: table[name].cast(arrow.string()).fill_null("").to_numpy() for name in TEXTS}
        sites = table["site"].cast(arrow.string()).to_pylist()
    except arrow.ArrowException as error:
        problem = f"The values of this batch are of another kind than a map needs: {error}."
        raise GrowerError(problem, hint=NO_BATCH, file=folder) from None
    latitude, longitude = (numbers.pop(name).astype(float) for name in PLACE)
    _check(sites, latitude, longitude, texts, folder)
    species, job, window = names
    found = Catalogue().get(species)
    return BatchRows(
        *(species, job, window, run.on, sites, latitude, longitude),
        dates={name: days.astype("datetime64[D]") for name, days in dates.items()},
        numbers={name: values.astype(float) for name, values in numbers.items()},
        texts=texts,
        common_name=found.common[0] if found and found.common else "",
        missing_blocks=missing_blocks,
    )


def _check(
    sites: Sequence[str], latitude: Any, longitude: Any, texts: Mapping[str, Any], folder: Path
) -> None:
    """Refuse a place that can't be, a verdict or season not known: a map would hide any."""
    nowhere = ~((np.abs(latitude) <= 90) & (np.abs(longitude) <= 360))
    if nowhere.any():
        first = int(np.argmax(nowhere))
        where = f"{latitude[first]:g}, {longitude[first]:g}"
        raise GrowerError(f"a site lies at {where}, which is nowhere.", file=folder, field=str(sites[first]))
    for word in {*texts["verdict"]} - {*get_args(Verdict), ""}:
        raise GrowerError(f'"{shortened(word)}" is no verdict.', file=folder, field="verdict")
    for word in {*texts["season"]}:
        if word and not SEASON.fullmatch(word):
            raise GrowerError(f'"{shortened(word)}" is no season.', file=folder, field="season")
