"""Reading what a batch wrote, and what is said where it can't be read."""

from __future__ import annotations

import json

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from season_engine.errors import GrowerError
from season_engine.maps import libraries
from season_engine.maps.batch_files import read_rows
from season_engine.maps.batch_rows import COLUMNS, State
from tests.made_country import ON, SCHEMA, a_refusal, a_row, write_batch

OPENS = ON.replace(day=20)


def two_windows():
    names = (("spring", "repotting"), ("late summer", "repotting"), ("wiring", "wiring"))
    dated = [
        a_row(site, 45, east, OPENS, window=window, job=job)
        for site, east in (("a", 5), ("b", 6))
        for window, job in names
    ]
    return [
        *dated,
        a_refusal("c", 45, 7),
        a_row("a", 45, 5, OPENS, species="Ulmus minor", job="wiring", window="wiring"),
    ]


def test_the_columns_read_are_those_a_batch_writes():
    assert sorted(COLUMNS) == sorted(SCHEMA.names)


def test_one_window_is_picked_and_refused_sites_are_in_every_one(tmp_path):
    folder = write_batch(tmp_path, two_windows(), block=3)
    rows = read_rows(folder, species="japanese maple", job="repotted", window="late-summer")
    assert (rows.species, rows.common_name, rows.job, rows.window) == (
        *("Acer palmatum", "Japanese maple"),
        *("repotting", "late summer"),
    )
    assert (rows.on, rows.sites) == (ON, ["a", "b", "c"])
    assert rows.state.tolist() == [State.DATED, State.DATED, State.REFUSED]
    assert rows.dates["opens_p50"].astype(str).tolist() == [OPENS.isoformat()] * 2 + ["NaT"]
    assert np.isnan(rows.numbers["chance_open"]).tolist() == [False, False, True]
    assert rows.missing_blocks == 0
    elm = read_rows(folder, species="Ulmus minor")
    assert (elm.job, elm.sites) == ("wiring", ["c", "a"])


def test_a_refusal_may_name_its_window(tmp_path):
    given = [a_row("a", 45, 5, OPENS), a_row("a", 45, 5, OPENS, window="wiring")]
    named = a_refusal("b", 45, 6, species="Acer palmatum", job="repotting", window="wiring")
    folder = write_batch(tmp_path, [*given, named])
    assert read_rows(folder, window="spring").sites == ["a"]
    assert read_rows(folder, window="wiring").sites == ["a", "b"]


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (
            {},
            'which species with --species: this batch has several. It has "Acer palmatum" and "Ulmus minor".',
        ),
        (
            {"species": "Acer palmatum"},
            'which job with --job: this batch has several. It has "repotting" and "wiring"',
        ),
        ({"species": "Acer palmatum", "job": "repotting"}, 'It has "spring" and "late summer".'),
        ({"species": "Acer palmatun"}, 'no species "Acer palmatun" here. Did you mean "Acer palmatum"?'),
        ({"species": "Acer palmatum", "job": "decandling"}, 'no job "decandling" here. It has "repotting"'),
        ({"species": "Acer palmatum", "job": "zzz"}, 'There is no job "zzz"'),
        ({"species": "Acer palmatum", "job": "repotting", "window": "autumn"}, 'no window "autumn" here.'),
    ],
)
def test_names_that_fit_none_or_several_are_told_with_those_there_are(tmp_path, names, told):
    folder = write_batch(tmp_path, two_windows())
    with pytest.raises(GrowerError) as raised:
        read_rows(folder, **names)
    assert told in str(raised.value)


def test_species_of_a_growers_own_catalogue_go_by_their_name(tmp_path):
    folder = write_batch(tmp_path, [a_row("a", 45, 5, OPENS, species="Arbor inventa"), *two_windows()])
    rows = read_rows(folder, species="arbor inventa")
    assert (rows.species, rows.common_name) == ("Arbor inventa", "")


def test_texts_kept_by_number_are_read_as_well(tmp_path):
    folder = write_batch(tmp_path, two_windows(), block=3)
    part = folder / "block=00001" / "part.parquet"
    table = pq.read_table(part, partitioning=None)
    for name in ("species", "verdict", "window"):
        table = table.set_column(table.schema.get_field_index(name), name, table[name].dictionary_encode())
    pq.write_table(table, part)
    assert read_rows(folder, species="Acer palmatum", job="wiring").sites == ["a", "b", "c"]


@pytest.mark.parametrize(("blocks", "deleted", "missing"), [(3, 1, 1), (3, 2, 1), (0, 1, 1), (5, None, 2)])
def test_blocks_that_are_not_written_yet_are_counted(tmp_path, blocks, deleted, missing):
    """Where `_run.json` says how many there will be, else where one lies between those there are."""
    folder = write_batch(tmp_path, two_windows(), block=3)
    stamp = {"on": ON.isoformat()} | ({"blocks": str(blocks)} if blocks else {})
    (folder / "_run.json").write_text(json.dumps(stamp), "utf-8")
    if deleted is not None:
        (folder / f"block={deleted:05d}" / "part.parquet").unlink()
    assert read_rows(folder, species="Acer palmatum", job="wiring").missing_blocks == missing


def test_a_block_of_another_run_is_refused(tmp_path):
    """Blocks of three sites beside one cut in fours: its sites are another block's as well."""
    folder = write_batch(tmp_path, two_windows(), block=3)
    (folder / "_run.json").write_text(json.dumps({"on": ON.isoformat(), "block_sites": "3"}), "utf-8")
    part = folder / "block=00001" / "part.parquet"
    for said, refused in (("3", False), ("4", True)):
        stamp = {b"season_engine": json.dumps({"on": ON.isoformat(), "block_sites": said}).encode()}
        table = pq.read_table(part, partitioning=None).replace_schema_metadata(stamp)
        pq.write_table(table, part)
        if not refused:
            assert read_rows(folder, species="Acer palmatum", job="wiring").sites == ["a", "b", "c"]
            continue
        with pytest.raises(GrowerError, match=r"block=00001/part.parquet: This block is of another run"):
            read_rows(folder, species="Acer palmatum", job="wiring")


def spoil_run(folder):
    (folder / "_run.json").write_text('{"on": "soon"}', "utf-8")


def lose_run(folder):
    (folder / "_run.json").unlink()


def lose_blocks(folder):
    (folder / "block=00000").rename(folder / "block=first")


def cut_block(folder):
    part = folder / "block=00000" / "part.parquet"
    part.write_bytes(part.read_bytes()[:-100])


def change(name, values):
    def spoil(folder):
        part = folder / "block=00000" / "part.parquet"
        table = pq.read_table(part, partitioning=None)
        place = table.schema.get_field_index(name)
        column = pa.array(values[: table.num_rows] + values[-1:] * (table.num_rows - len(values)))
        pq.write_table(table.set_column(place, name, column), part)

    return spoil


def lose_column(folder):
    part = folder / "block=00000" / "part.parquet"
    pq.write_table(pq.read_table(part, partitioning=None).drop_columns(["opens_p50", "floor"]), part)


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (spoil_run, "_run.json, on: This file doesn't say on which day"),
        (lose_run, "_run.json: This file does not exist."),
        (lose_blocks, "there is no finished block here."),
        (cut_block, "part.parquet: This block can't be read"),
        (lose_column, 'part.parquet: This block has no column "floor" and "opens_p50".'),
        (change("latitude", [95.0]), "a: a site lies at 95, 5, which is nowhere."),
        (change("longitude", [float("nan")]), "a: a site lies at 45, nan, which is nowhere."),
        (change("verdict", ["maybe"]), 'verdict: "maybe" is no verdict.'),
        (change("season", ["summer"]), 'season: "summer" is no season.'),
        (change("opens_p50", ["2026-03-02", "soon"]), "of another kind than a map needs"),
        (change("floor", ["much"]), "of another kind than a map needs"),
    ],
)
def test_what_cant_be_read_is_told_with_its_place(tmp_path, spoil, told):
    folder = write_batch(tmp_path, [a_row("a", 45, 5, OPENS), a_row("b", 46, 5, OPENS)])
    spoil(folder)
    with pytest.raises(GrowerError) as raised:
        read_rows(folder)
    assert told in str(raised.value)
    assert str(folder) in str(raised.value)


def test_a_batch_of_refusals_alone_says_so(tmp_path):
    folder = write_batch(tmp_path, [a_refusal("a", 45, 5)])
    with pytest.raises(GrowerError, match="every site of this batch was refused"):
        read_rows(folder)


def test_no_folder_is_told(tmp_path):
    with pytest.raises(GrowerError, match="There is no such folder"):
        read_rows(tmp_path / "nowhere")


def test_a_library_that_is_missing_is_named_with_what_brings_it(monkeypatch):
    def missing(name):
        raise ModuleNotFoundError(f"No module named {name!r}", name=name)

    monkeypatch.setattr(libraries, "import_module", missing)
    with pytest.raises(GrowerError, match="maps need the library pyarrow") as raised:
        libraries.of_the_extra("pyarrow.parquet")
    assert '".[maps]"' in raised.value.hint
