"""What a command says when it stops at a fault of its own, and where it leaves the details."""

from __future__ import annotations

import errno
import shlex
import sys
import tempfile
from pathlib import Path

import click

from season_engine.errors import GrowerError
from season_engine.files.whole import write_whole

EXIT_OWN_FAULT = 1
DETAILS = "season-engine-error.log"
_FOLDER = "season_engine.workspace"  # under which a context remembers the workspace's folder

# What the machine refuses, whoever asks: a full disk, a folder that may not be written, a name too long.
_REFUSALS = {
    *(errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EACCES, errno.EPERM),
    *(errno.ENOTDIR, errno.EISDIR, errno.ENAMETOOLONG, errno.EIO),
}


def remember_folder(ctx: click.Context, _option: click.Parameter, folder: Path) -> Path:
    """Keep in mind where the workspace is, for `told`."""
    ctx.meta[_FOLDER] = folder
    return folder


def workspace_of(ctx: click.Context) -> Path:
    """Where the workspace is, as far as that has been said."""
    folder = ctx.meta.get(_FOLDER) or ctx.params.get("folder")
    return folder if isinstance(folder, Path) else Path()


def refusal(error: Exception) -> GrowerError | None:
    """What to tell where the machine refused to read or write something; None for any other error."""
    if not isinstance(error, OSError) or error.errno not in _REFUSALS:
        return None
    return GrowerError(f"This can't be read or written: {error.strerror}.", file=error.filename or "output")


def told(ctx: click.Context, error: Exception) -> str:
    """Two lines on an error nobody foresaw; its details are written to a file they name.

    That is in the workspace, or where it can't be written, in the folder for temporary files. Where even that
    fails the details follow the first line.
    """
    details = _details(error)
    kind = type(error).__name__
    what = (
        f"season-engine stopped at a fault of its own, not of yours ({kind}). Nothing is left half written."
    )
    try:
        file = _left_in(workspace_of(ctx), details.encode("utf-8", "backslashreplace"))
    except OSError:
        return f"{what}\n{details}"
    return f"{what}\nThe details are in {file}: pass them on to get it mended."


def _details(error: Exception) -> str:
    """The trail through the code, which shows no value but what the error's own message repeats."""
    import platform
    import traceback
    from importlib.metadata import PackageNotFoundError, version

    try:
        release = version("season_engine")
    except PackageNotFoundError:  # run from a folder where it was never installed
        release = "(not installed)"
    system = f"season_engine {release}, Python {platform.python_version()}, {platform.platform()}"
    return f"{system}\n{shlex.join(sys.argv)}\n\n{''.join(traceback.format_exception(error))}"


def _left_in(folder: Path, details: bytes) -> Path:
    try:
        if folder.is_dir():
            write_whole(folder / DETAILS, details)
            return (folder / DETAILS).absolute()
    except OSError:
        pass
    with tempfile.NamedTemporaryFile(prefix="season-engine-error-", suffix=".log", delete=False) as file:
        file.write(details)
    return Path(file.name)
