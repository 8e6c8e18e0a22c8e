"""What holds for every test: nothing reaches past this machine, and a busy machine fails nothing."""

from __future__ import annotations

import atexit
import gc
import ipaddress
import os
import shutil
import socket
import tempfile
from collections.abc import Iterator
from typing import Any

import hypothesis
import pytest

from season_engine.commands import clock
from tests import once

NOWHERE = "http://127.0.0.1:9"  # the discard port: nobody answers

# The process that starts the run makes its folder, and takes it away; the workers inherit the name.
if once.FOLDER not in os.environ:
    os.environ[once.FOLDER] = tempfile.mkdtemp(prefix="season-engine-tests-")
    atexit.register(shutil.rmtree, os.environ[once.FOLDER], ignore_errors=True)

# One moment for the whole run, in every process: a run that passes midnight stays in its day.
os.environ.setdefault(clock.VARIABLE, clock.now().isoformat())

# Whole runs live in one process here: looking for garbage at the usual pace takes a twelfth of the time.
gc.set_threshold(200_000, 20, 20)

# Two workers on two cores: more threads would only wait for each other. NumPy reads these when imported.
for _library in ("OPENBLAS", "OMP", "MKL"):
    os.environ.setdefault(f"{_library}_NUM_THREADS", "1")

# Arrays are made and dropped all the time: given back to the system, each costs a walk through fresh pages.
# Workers' glibc reads these as they start.
os.environ.setdefault("MALLOC_MMAP_THRESHOLD_", str(1 << 30))
os.environ.setdefault("MALLOC_TRIM_THRESHOLD_", str(1 << 30))
os.environ.setdefault("MALLOC_TOP_PAD_", str(1 << 26))

# The same examples in every run, so that one that fails can be looked at again; `HYPOTHESIS_PROFILE=thorough`
# searches on, for examples of its own.
hypothesis.settings.register_profile("patient", deadline=None, derandomize=True, max_examples=25)
hypothesis.settings.register_profile("thorough", deadline=None, max_examples=500)
hypothesis.settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "patient"))


def pytest_collection_finish() -> None:
    """What was collected stays to the end: nobody need look through it for garbage."""
    gc.freeze()


def is_local(address: Any) -> bool:
    """Say whether a socket's address stays on this machine: a Unix socket, or a loopback name or number."""
    if not isinstance(address, tuple):
        return True
    host = address[0]
    if host in ("", "localhost"):
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def only_local(call: Any) -> Any:
    """Wrap a socket's way out so that it refuses any other machine."""

    def guarded(self: socket.socket, *arguments: Any) -> Any:
        address = arguments[-1]
        if not is_local(address):
            raise OSError(f"a test tried to reach {address}: tests stay on this machine")
        return call(self, *arguments)

    return guarded


@pytest.fixture(scope="session", autouse=True)
def no_network() -> Iterator[None]:
    """Refuse other machines here, and send the HTTP clients of any program a test starts nowhere."""
    patch = pytest.MonkeyPatch()
    for way_out in ("connect", "connect_ex", "sendto"):
        patch.setattr(socket.socket, way_out, only_local(getattr(socket.socket, way_out)))
    look_up = socket.getaddrinfo

    def look_up_local(host: Any, *arguments: Any, **options: Any) -> Any:
        if host is not None and not is_local((host,)):
            raise socket.gaierror(f"a test tried to look up {host}: tests stay on this machine")
        return look_up(host, *arguments, **options)

    patch.setattr(socket, "getaddrinfo", look_up_local)
    for name in ("http_proxy", "https_proxy", "all_proxy"):
        patch.setitem(os.environ, name, NOWHERE)
        patch.setitem(os.environ, name.upper(), NOWHERE)
    for name in ("no_proxy", "NO_PROXY"):
        patch.setitem(os.environ, name, "localhost,127.0.0.1,::1")
    yield
    patch.undo()
