"""The guard in conftest.py works: other machines are out of reach, this one is not."""

from __future__ import annotations

import socket
import subprocess
import sys

import pytest

OUTSIDE = "192.0.2.1"  # RFC 5737 keeps this block for documentation: it belongs to nobody


@pytest.mark.parametrize("way_out", ["connect", "connect_ex"])
def test_another_machine_is_out_of_reach(way_out: str) -> None:
    with socket.socket() as caller, pytest.raises(OSError, match="stay on this machine"):
        getattr(caller, way_out)((OUTSIDE, 80))


def test_a_datagram_is_stopped_too() -> None:
    with (
        socket.socket(type=socket.SOCK_DGRAM) as caller,
        pytest.raises(OSError, match="stay on this machine"),
    ):
        caller.sendto(b"x", (OUTSIDE, 53))


def test_a_name_is_not_looked_up() -> None:
    with pytest.raises(socket.gaierror, match="stay on this machine"):
        socket.create_connection(("weather.example", 80))


def test_this_machine_answers() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        socket.create_connection(server.getsockname()).close()


def test_a_started_program_gets_nowhere() -> None:
    fetch = f"import urllib.request; urllib.request.urlopen('http://{OUTSIDE}/', timeout=5)"
    done = subprocess.run([sys.executable, "-c", fetch], capture_output=True, text=True)
    assert done.returncode != 0
    assert "refused" in done.stderr
