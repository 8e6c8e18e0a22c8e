"""A command run in a real terminal, with somebody who types the answers."""

from __future__ import annotations

import os
import pty
import select
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

PATIENCE_S = 60
COMMAND = Path(sys.executable).parent / "season-engine"


def typed(
    arguments: Sequence[str], answers: Sequence[str], *, folder: Path, environment: Mapping[str, str] = {}
) -> tuple[int, str]:
    """Exit code and all that stood in the terminal; each answer is typed once the command waits for it."""
    process, terminal = pty.fork()
    if process == 0:
        os.chdir(folder)
        kept = {**os.environ, "TERM": "xterm", "COLUMNS": "100", **environment}
        os.execve(COMMAND, [str(COMMAND), *arguments], kept)
    shown, left, start = b"", list(answers), time.monotonic()
    while time.monotonic() - start < PATIENCE_S:
        if select.select([terminal], [], [], 0.05)[0]:
            try:
                came = os.read(terminal, 65536)
            except OSError:  # Linux tells the end so
                break
            if not came:
                break
            shown += came
        elif left and shown.rstrip(b" ").endswith((b">", b":")):
            os.write(terminal, f"{left.pop(0)}\n".encode())
    _, status = os.waitpid(process, 0)
    assert not left, (left, shown.decode())
    return os.waitstatus_to_exitcode(status), shown.decode("utf-8", "replace").replace("\r", "")
