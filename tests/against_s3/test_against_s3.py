"""A batch from and into an object store by S3's protocol, as moto's server on this machine speaks it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests
import s3fs
from click.testing import CliRunner, Result
from moto.server import ThreadedMotoServer

from season_engine.batch.folder import RunFolder
from season_engine.batch.table import schema
from season_engine.cli import main
from tests.batch.made import write_parquet
from tests.batch.runs import COMMAND, OnDisk, on_disk

SITES, BLOCK = 6, 2
WEATHER, OUT = "s3://yards/weather", "s3://yards/windows"
FIRST = "yards/windows/block=00000/part.parquet"


@pytest.fixture
def store(monkeypatch: pytest.MonkeyPatch) -> Iterator[s3fs.S3FileSystem]:
    server = ThreadedMotoServer("127.0.0.1", port=0)
    server.start()
    host, port = server.get_host_and_port()
    surroundings = {
        "AWS_ACCESS_KEY_ID": "made",
        "AWS_SECRET_ACCESS_KEY": "made",
        "AWS_DEFAULT_REGION": "us-east-1",
        "AWS_ENDPOINT_URL": f"http://{host}:{port}",
        "AWS_EC2_METADATA_DISABLED": "true",
    }
    for name, value in surroundings.items():
        monkeypatch.setenv(name, value)
    requests.post(f"{surroundings['AWS_ENDPOINT_URL']}/moto-api/reset", timeout=10)  # of the test before
    s3fs.S3FileSystem.clear_instance_cache()
    store = s3fs.S3FileSystem(use_listings_cache=False)
    store.mkdir("yards")
    yield store
    s3fs.S3FileSystem.clear_instance_cache()
    server.stop()


@pytest.fixture
def files(tmp_path: Path, store: s3fs.S3FileSystem) -> OnDisk:
    """Made sites on the disk, and their weather in the store too: a file for each two."""
    files = on_disk(tmp_path / "in", SITES)
    for first in range(0, SITES, 2):
        part = write_parquet(tmp_path / f"part-{first}.parquet", files.made[first : first + 2])
        store.put_file(str(part), f"yards/weather/{part.name}")
    return files


def batch(files: OnDisk, weather: str, out: str) -> Result:
    s3fs.S3FileSystem.clear_instance_cache()  # as a command that begins: it has listed nothing yet
    asked = ["--sites", str(files.sites), "--weather", weather, "--out", out, *COMMAND]
    return CliRunner().invoke(main, ["batch", *asked, "--workers", "1", "--block-sites", str(BLOCK)])


def tags(store: s3fs.S3FileSystem) -> dict[str, tuple[str, object]]:
    found = store.find("yards/windows", detail=True)
    return {name: (about["ETag"], about["LastModified"]) for name, about in found.items()}


def test_a_run_in_a_store_holds_what_one_on_a_disk_does(
    files: OnDisk, store: s3fs.S3FileSystem, tmp_path: Path
) -> None:
    for weather, out in ((WEATHER, OUT), (str(files.weather), str(tmp_path / "out"))):
        result = batch(files, weather, out)
        assert result.exit_code == 0, result.output
        assert f"{SITES} sites judged, 0 refused" in result.output
    names = schema().names
    there, here = (RunFolder(out).table(SITES // BLOCK, names) for out in (OUT, str(tmp_path / "out")))
    assert there.num_rows >= SITES
    assert there.equals(here)


def test_a_run_goes_on_where_a_block_is_missing_or_half_written(
    files: OnDisk, store: s3fs.S3FileSystem
) -> None:
    assert batch(files, WEATHER, OUT).exit_code == 0
    whole = tags(store)
    store.rm_file(FIRST)
    store.pipe_file(FIRST.replace("00000", "00001"), b"PAR1 and nothing more")
    time.sleep(1.1)  # its times are of whole seconds
    again = batch(files, WEATHER, OUT)
    assert again.exit_code == 0, again.output
    assert "1 of 3 blocks are done already" in again.output
    after = tags(store)
    assert {name: tag for name, (tag, _) in after.items()} == {name: tag for name, (tag, _) in whole.items()}
    kept = [name for name in whole if after[name] == whole[name]]
    assert kept == ["yards/windows/_run.json", FIRST.replace("00000", "00002")]


def test_a_run_is_refused_where_the_weather_in_the_store_is_another(
    files: OnDisk, store: s3fs.S3FileSystem, tmp_path: Path
) -> None:
    assert batch(files, WEATHER, OUT).exit_code == 0
    whole = tags(store)
    other = write_parquet(tmp_path / "other.parquet", files.made[1:2])
    store.put_file(str(other), "yards/weather/part-0.parquet")
    again = batch(files, WEATHER, OUT)
    assert again.exit_code == 2
    assert "the files of --weather" in again.output
    assert tags(store) == whole


def test_what_is_no_store_is_told(files: OnDisk) -> None:
    result = batch(files, "s3://nowhere/weather", OUT)
    assert result.exit_code == 2
    assert "There is nothing here" in result.output
