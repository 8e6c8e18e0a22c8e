"""A folder of files, or the same packed into one .zip: what is in it reads alike."""

from __future__ import annotations

import zipfile
import zlib
from pathlib import Path

from season_engine.errors import GrowerError

Readable = Path | zipfile.Path
MOST_BYTES = 1 << 29  # of an unpacked file; a larger one is no table of a yard's
DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, NotImplementedError)


def folder_or_zip(path: Path, holds: str) -> Readable:
    """The folder at `path`, or what a .zip there unpacks to; the one folder in it where `holds` stands there.

    Raises GrowerError where there is neither, or the .zip is damaged.
    """
    if path.is_dir():
        return path
    if not path.exists():
        raise GrowerError("This file does not exist.", file=path)
    try:
        root = zipfile.Path(path)
        if (root / holds).exists():
            return root
        inside = [one for one in root.iterdir() if (one / holds).exists()]
    except (OSError, ValueError, *DAMAGED) as error:
        problem = f"This is neither a folder nor a .zip that can be read: {error}."
        raise GrowerError(problem, file=path) from None
    return inside[0] if len(inside) == 1 else root


def unpacked(path: zipfile.Path) -> bytes:
    """Bytes of a packed file; raises GrowerError where it is damaged or far too large."""
    try:
        size = path.root.getinfo(path.at).file_size
        if size > MOST_BYTES:
            raise GrowerError(f"This file has {size:,} bytes; at most {MOST_BYTES:,} are read.", file=path)
        return path.read_bytes()
    except KeyError:
        raise FileNotFoundError(str(path)) from None
    except DAMAGED as error:
        raise GrowerError(f"This file can't be unpacked: {error}.", file=path) from None
