"""Workers and clients killed with blocks outstanding: nothing is lost, doubled or left half written."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from season_engine.batch.folder import RunFolder
from season_engine.batch.machines import Cluster
from season_engine.batch.run import outstanding, run
from season_engine.batch.work import do_block
from tests.batch.runs import COMMAND, OnDisk, digests, on_disk, plan_of

PROJECT = Path(__file__).parents[2]
SITES = 12
START = "from season_engine.cli import main; main()"
PATIENCE_SECONDS = 120.0


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> OnDisk:
    return on_disk(tmp_path_factory.mktemp("in"), SITES)


@pytest.fixture(scope="module")
def expected(files: OnDisk, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    whole = tmp_path_factory.mktemp("whole")
    folder = RunFolder(str(whole))
    for task in outstanding(plan_of(files, block_sites=1), folder):
        do_block(task)
    return digests(whole)


def test_a_killed_worker_costs_no_block(files: OnDisk, expected: dict[str, str], tmp_path: Path) -> None:
    from distributed import Client, LocalCluster

    plan, out = plan_of(files, block_sites=1), tmp_path / "out"
    options = {
        "n_workers": 2,
        "threads_per_worker": 1,
        "host": "127.0.0.1",
        "dashboard_address": "127.0.0.1:0",
    }
    killed: list[int] = []

    with LocalCluster(**options, local_directory=str(tmp_path)) as cluster, Client(cluster) as client:
        first, *_ = client.run(os.getpid).values()

        def kill_one(done: int, total: int) -> None:
            if done == 2:
                os.kill(first, signal.SIGKILL)
                killed.append(total - done)

        assert run(outstanding(plan, RunFolder(str(out))), Cluster(client), kill_one) is None
    assert killed == [SITES - 2]
    assert digests(out) == expected
    assert not list(out.rglob(".part.parquet.*")) or outstanding(plan, RunFolder(str(out))) == []


def test_a_killed_client_is_followed_by_one_that_does_the_rest(
    files: OnDisk, expected: dict[str, str], tmp_path: Path
) -> None:
    out = tmp_path / "out"
    where = ("--sites", str(files.sites), "--weather", str(files.weather), "--out", str(out))
    arguments = ("batch", *where, *COMMAND, "--block-sites", "1", "--workers", "2")
    client = subprocess.Popen(
        [sys.executable, "-c", START, *arguments],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(PROJECT)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    blocks = wait_for_blocks(out, client)
    client.send_signal(signal.SIGKILL)
    client.wait()
    assert blocks < SITES
    plan = plan_of(files, block_sites=1)
    tasks = outstanding(plan, RunFolder(str(out)))
    assert 0 < len(tasks) <= SITES - blocks
    for task in tasks:
        do_block(task)
    assert digests(out) == expected
    assert outstanding(plan, RunFolder(str(out))) == []


def wait_for_blocks(out: Path, client: subprocess.Popen[bytes]) -> int:
    """How many blocks stand once there is one."""
    until = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < until and client.poll() is None:
        if found := len(list(out.glob("block=*/part.parquet"))):
            return found
        time.sleep(0.01)
    raise AssertionError(f"no block within {PATIENCE_SECONDS:g} s")
