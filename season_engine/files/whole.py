"""Writing a file whole, the old one or the new one and never half of either; adding lines to one."""

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


def append_whole(path: Path, lines: str | bytes) -> None:
    """Add whole lines (text as UTF-8) at the end, in one write that is on the disk when this returns.

    A write cut short by a full disk is taken back. The file is made where there is none.
    """
    data = lines.encode("utf-8") if isinstance(lines, str) else lines
    made = not path.exists()
    handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o644)
    try:
        before = os.fstat(handle).st_size
        if os.write(handle, data) != len(data):
            os.ftruncate(handle, before)
            raise OSError("the disk is full")
        os.fsync(handle)
    finally:
        os.close(handle)
    if made:
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
