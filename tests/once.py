"""What several tests rest on and takes long, made once a run whichever process asks first."""

from __future__ import annotations

import os
import pickle
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from filelock import FileLock

T = TypeVar("T")

RUN = "PYTEST_XDIST_TESTRUNUID"  # the same in every process of a run


def once_a_run(name: str, make: Callable[[], T]) -> T:
    """What `make` gives; processes that ask for the same name later read it from a file."""
    if RUN not in os.environ:
        return make()
    folder = Path(tempfile.gettempdir()) / f"season-engine-tests-{os.environ[RUN]}"
    folder.mkdir(exist_ok=True)
    kept = folder / f"{name}.pickle"
    with FileLock(folder / f"{name}.lock"):
        if not kept.exists():
            kept.write_bytes(pickle.dumps(make()))
        result: T = pickle.loads(kept.read_bytes())
        return result
