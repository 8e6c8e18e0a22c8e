"""Writing a file whole: it is the old one or the new one, never half of either."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, content: str | bytes) -> None:
    """Write `content` (text as UTF-8) to `path` through a temporary file, fsync and replace."""
    data = content.encode("utf-8") if isinstance(content, str) else content
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(0o644)
        Path(temporary).replace(path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Make a rename inside `folder` survive a power cut, where the system allows it."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:  # Windows can't open a folder
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
