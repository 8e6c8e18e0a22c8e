"""One run at a time in a folder."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import filelock

from season_engine.errors import DeliveryError, GrowerError

PATIENCE_S = 15.0


@contextmanager
def one_run_in(folder: Path) -> Iterator[None]:
    """Hold `folder` for this run; the system lets go of it however the run ends.

    Raises DeliveryError where another run still holds it after a short wait, GrowerError where the folder
    can't be written to.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lock = filelock.FileLock(folder / ".lock", timeout=PATIENCE_S)
        lock.acquire()
    except filelock.Timeout:
        raise DeliveryError(
            "Another run of season-engine is at work here.", hint="Try again when it has ended.", file=folder
        ) from None
    except (OSError, NotImplementedError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise GrowerError(f"This folder can't be written to: {reason}.", file=folder) from None
    try:
        yield
    finally:
        lock.release()
