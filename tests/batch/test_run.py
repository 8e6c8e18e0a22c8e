"""Runs that are stopped, asked again, asked otherwise, and spoilt from inside."""

from __future__ import annotations

import errno
import shutil
from collections.abc import Iterator, Sequence
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

import pyarrow.dataset as ds
import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner

from season_engine.batch import judging
from season_engine.batch.folder import RunFolder
from season_engine.batch.machines import Processes, machines
from season_engine.batch.run import outstanding, run
from season_engine.batch.table import schema
from season_engine.batch.work import Done, Task, Work, do_block
from season_engine.cli import main
from season_engine.errors import GrowerError
from season_engine.maps.batch_files import read_rows
from tests.batch.runs import COMMAND, OnDisk, digests, on_disk, plan_of

SITES, BLOCK = 10, 4


@pytest.fixture
def files(tmp_path: Path) -> OnDisk:
    return on_disk(tmp_path / "in", SITES)


class Here:
    """Does tasks in this very process, the last first where asked, and no more than so many."""

    def __init__(self, *, backwards: bool = False, most: int = 1000) -> None:
        self._backwards, self._most = backwards, most

    def results(self, work: Work, tasks: Sequence[Task]) -> Iterator[Done | Exception]:
        for task in (tasks[::-1] if self._backwards else tasks)[: self._most]:
            try:
                yield work(task)
            except Exception as error:
                yield error


def quiet(done: int, total: int) -> None:
    assert 0 < done <= total


def whole_run(files: OnDisk, out: Path, here: Here | None = None) -> dict[str, str]:
    plan, folder = plan_of(files, block_sites=BLOCK), RunFolder(str(out))
    assert run(outstanding(plan, folder), here or Here(), quiet) is None
    return digests(out)


def test_the_bytes_are_the_same_in_any_order_and_by_however_many(files: OnDisk, tmp_path: Path) -> None:
    expected = whole_run(files, tmp_path / "a")
    assert sorted(expected) == ["_run.json", *(f"block=0000{n}/part.parquet" for n in range(3))]
    assert whole_run(files, tmp_path / "b", Here(backwards=True)) == expected
    plan, folder = plan_of(files, block_sites=BLOCK), RunFolder(str(tmp_path / "c"))
    with machines(2, None) as two:
        assert run(outstanding(plan, folder), two, quiet) is None
    assert digests(tmp_path / "c") == expected
    folder = RunFolder(str(tmp_path / "d"))
    assert run(outstanding(plan, folder), Processes(2), quiet) is None
    assert digests(tmp_path / "d") == expected


def test_a_map_of_a_run_half_done_says_how_many_blocks_are_missing(files: OnDisk, tmp_path: Path) -> None:
    plan, folder = plan_of(files, block_sites=BLOCK), RunFolder(str(tmp_path / "out"))
    assert run(outstanding(plan, folder)[:1], Here(), quiet) is None
    assert read_rows(tmp_path / "out").missing_blocks == 2
    assert run(outstanding(plan, folder), Here(), quiet) is None
    assert read_rows(tmp_path / "out").missing_blocks == 0


OWN = """
[species."Ulmus inventa"]
group = "elm"
common = ["made elm"]
"""


def test_a_catalogue_of_ones_own_goes_along_to_workers_and_is_part_of_the_run(
    files: OnDisk, tmp_path: Path
) -> None:
    """A species of one's own is judged as the one whose group it has, by processes that see no such file."""
    own, out = tmp_path / "catalogue.toml", tmp_path / "out"
    own.write_text(OWN, "utf-8")
    asked = "--species", "Ulmus inventa", "--catalogue", str(own)
    assert command(files, out, *asked).exit_code == 0
    whole_run(files, tmp_path / "ours")
    mine, ours = (
        [{**row, "species": None} for row in ds.dataset(folder).to_table().to_pylist()]
        for folder in (out, tmp_path / "ours")
    )
    assert mine == ours
    own.write_text(OWN.replace("made elm", "elm of ours"), "utf-8")
    told = command(files, out, *asked)
    assert (told.exit_code, "What differs: --catalogue." in told.stderr) == (2, True)
    unknown = command(files, tmp_path / "none", "--species", "Ulmus inventa")
    assert unknown.exit_code == 2 and "Ulmus inventa" in unknown.stderr


def test_every_site_is_there_once_with_all_its_windows(files: OnDisk, tmp_path: Path) -> None:
    whole_run(files, tmp_path / "out")
    table = ds.dataset(tmp_path / "out", partitioning="hive").to_table()
    assert set(schema().names) <= set(table.schema.names)
    rows = table.to_pylist()
    assert len({(row["site"], row["job"], row["window"]) for row in rows}) == len(rows)
    assert {row["site"] for row in rows} == {one.site.name for one in files.made}
    assert all(row["refusal"] is None and 0 <= row["chance_open"] <= 1 for row in rows)


def test_a_run_that_was_stopped_goes_on_where_it_stopped(files: OnDisk, tmp_path: Path) -> None:
    expected = whole_run(files, tmp_path / "whole")
    plan, out = plan_of(files, block_sites=BLOCK), tmp_path / "out"
    folder = RunFolder(str(out))
    left = run(outstanding(plan, folder)[:1], Here(), quiet)
    assert left is None
    first = out / "block=00000" / "part.parquet"
    when = first.stat().st_mtime_ns
    (out / "block=00001").mkdir()
    (out / "block=00001" / ".part.parquet.half").write_bytes(b"PAR1")  # what a killed worker leaves
    tasks = outstanding(plan, folder)
    assert [task.number for task in tasks] == [1, 2]
    assert not list(out.rglob(".part.parquet.*"))
    assert run(tasks, Here(), quiet) is None
    assert digests(out) == expected
    assert first.stat().st_mtime_ns == when
    first.write_bytes(first.read_bytes()[:-20])  # a damaged file is no block that stands
    assert [task.number for task in outstanding(plan, folder)] == [0]


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (("--on", "2026-03-21"), "--on"),
        (("--jobs", "winter-tidy"), "--jobs"),
        (("--species", "Acer palmatum"), "--species"),
        (("--block-sites", "3"), "--block-sites"),
    ],
)
def test_a_run_asked_otherwise_refuses_and_names_what_differs(
    files: OnDisk, tmp_path: Path, change: tuple[str, ...], named: str
) -> None:
    out = tmp_path / "out"
    whole_run(files, out)
    before = digests(out)
    told = command(files, out, *change)
    assert told.exit_code == 2
    assert "blocks of another run" in told.stderr
    assert f"What differs: {named}." in told.stderr
    assert digests(out) == before


def test_changed_sites_weather_and_program_refuse_as_well(files: OnDisk, tmp_path: Path) -> None:
    out = tmp_path / "out"
    whole_run(files, out)
    plan = plan_of(files, block_sites=BLOCK)
    for key, named in (("version", "the version"), ("catalogue", "catalogue"), ("libraries", "numpy")):
        other = replace(plan, stamp={**plan.stamp, key: "other"})
        with pytest.raises(GrowerError, match=named):
            outstanding(other, RunFolder(str(out)))
    files.sites.write_text(files.sites.read_text("utf-8").replace("100.0", "101.0"), "utf-8")
    shutil.copy(files.weather / "days.parquet", files.weather / "more.parquet")
    told = command(files, out)
    assert "What differs: sites.csv; the files of --weather." in told.stderr
    (out / "_run.json").unlink()
    assert "no _run.json" in command(files, out).stderr


def command(files: OnDisk, out: Path, *more: str):
    where = ("--sites", str(files.sites), "--weather", str(files.weather), "--out", str(out))
    asked = [*COMMAND]
    block = ["--block-sites", str(BLOCK)]
    if more and more[0] in ("--on", "--species"):
        place = asked.index(more[0])
        asked[place + 1] = more[1]
        asked += more[2:]
    elif more and more[0] == "--block-sites":
        block = [*more]
    else:
        asked += more
    return CliRunner().invoke(main, ["batch", *where, *asked, *block, "--workers", "1"])


@pytest.fixture
def no_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """The command does its blocks in this very process: what it says hangs on nobody's being started."""
    monkeypatch.setattr("season_engine.batch.machines.machines", lambda _workers, _at: nullcontext(Here()))


def test_a_poisoned_site_is_told_as_a_fault_of_ours_and_stops_no_other(
    files: OnDisk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One breaks as it is mended, another among others as they are judged."""
    mended, judged = judging.check_and_fill, judging._judged
    names = [one.site.name for one in files.made]

    def poisoned_mending(raw, **options):
        if np_same(raw, files.made[1].raw):
            raise ZeroDivisionError("made")
        return mended(raw, **options)

    def poisoned_judging(part, asked):
        if any(one.site.name == names[5] for one in part):
            raise IndexError("made as well")
        return judged(part, asked)

    clean = rows_by_site(files, tmp_path / "clean")
    monkeypatch.setattr(judging, "check_and_fill", poisoned_mending)
    monkeypatch.setattr(judging, "_judged", poisoned_judging)
    found = rows_by_site(files, tmp_path / "out")
    assert found.keys() == clean.keys()
    for name, rows in found.items():
        if name in (names[1], names[5]):
            assert len(rows) == 1
            assert "a fault of its own" in rows[0]["refusal"]
            assert rows[0]["verdict"] is None
        else:
            assert rows == clean[name]


def np_same(raw, other) -> bool:
    return raw.first_day == other.first_day and bool((raw.tmin_c[:50] == other.tmin_c[:50]).all())


def rows_by_site(files: OnDisk, out: Path) -> dict[str, list[dict[str, object]]]:
    whole_run(files, out)
    rows: dict[str, list[dict[str, object]]] = {}
    for row in ds.dataset(out, partitioning="hive").to_table().to_pylist():
        rows.setdefault(row["site"], []).append(row)
    return rows


def test_a_full_disk_stops_the_run_loses_nothing_and_the_next_goes_on(
    files: OnDisk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = whole_run(files, tmp_path / "whole")
    plan, out = plan_of(files, block_sites=BLOCK), tmp_path / "out"
    written = RunFolder.write_block

    def full(self: RunFolder, number: int, content: bytes) -> None:
        if number == 1:
            raise OSError(errno.ENOSPC, "No space left on device")
        written(self, number, content)

    with monkeypatch.context() as patch:
        patch.setattr(RunFolder, "write_block", full)
        left = run(outstanding(plan, RunFolder(str(out))), Here(), quiet)
    assert left is not None
    assert isinstance(left.error, OSError)
    assert sorted(digests(out)) == ["_run.json", "block=00000/part.parquet"]
    assert run(outstanding(plan, RunFolder(str(out))), Here(), quiet) is None
    assert digests(out) == expected


@pytest.mark.usefixtures("no_process")
def test_the_command_lists_refused_sites_and_says_what_was_done(files: OnDisk, tmp_path: Path) -> None:
    told = command(files, tmp_path / "out")
    assert told.exit_code == 0, told.stderr
    assert f"{SITES} sites judged, 0 refused" in told.stderr
    text = files.sites.read_text("utf-8")
    first = files.made[0].site
    files.sites.write_text(text.replace(f",{first.latitude},", f",{-first.latitude},"), "utf-8")
    told = command(files, tmp_path / "other")
    assert told.exit_code == 0, told.stderr
    assert f"{SITES - 1} sites judged, 1 refused" in told.stderr
    assert f"{first.name}: the year of the weather of {first.name} is warmest about" in told.stderr
    again = command(files, tmp_path / "other")
    assert "3 of 3 blocks are done already." in again.stderr


def test_a_site_list_is_refused_whole_with_every_fault(tmp_path: Path, files: OnDisk) -> None:
    files.sites.write_text("site,latitude,longitude\na,95,0\n,10,10\n../b,10,x\n", "utf-8")
    told = command(files, tmp_path / "out")
    assert told.exit_code == 2
    for line, column in ((2, "latitude"), (3, "site"), (4, "site"), (4, "longitude")):
        assert f"line {line}, {column}" in told.stderr
    assert not (tmp_path / "out").exists()


def test_a_block_bears_the_stamp_and_no_time(files: OnDisk, tmp_path: Path) -> None:
    plan = plan_of(files, block_sites=BLOCK)
    out = tmp_path / "out"
    task = outstanding(plan, RunFolder(str(out)))[0]
    do_block(task)
    about = pq.read_schema(out / "block=00000" / "part.parquet").metadata[b"season_engine"].decode()
    assert all(value in about for value in (plan.stamp["on"], plan.stamp["weather"], plan.stamp["sites"]))


def test_a_worker_with_another_program_does_no_block(files: OnDisk, tmp_path: Path) -> None:
    plan = plan_of(files, block_sites=BLOCK)
    task = outstanding(plan, RunFolder(str(tmp_path / "out")))[0]
    with pytest.raises(GrowerError, match="another program"):
        do_block(replace(task, stamp={**plan.stamp, "version": "0.0.9"}))
