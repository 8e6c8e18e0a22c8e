"""What several tests rest on and takes long, made once a run whichever process asks first."""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")

FOLDER = "SEASON_ENGINE_TEST_RUN"  # names the run's own folder, which conftest.py makes and removes


def once_a_run(name: str, make: Callable[[], T]) -> T:
    """What `make` gives; processes that ask for the same name later read it from a file."""
    from filelock import FileLock  # conftest.py imports this module where the library may be missing

    if FOLDER not in os.environ:  # no test run: a script of tests/benchmarks
        return make()
    kept = Path(os.environ[FOLDER]) / f"{name}.pickle"
    with FileLock(kept.with_suffix(".lock")):
        if not kept.exists():
            kept.write_bytes(pickle.dumps(make()))
        result: T = pickle.loads(kept.read_bytes())
        return result
