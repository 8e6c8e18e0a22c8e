"""What each delivery did, in a file that never grows large, and on the terminal where it is asked for."""

from __future__ import annotations

import logging
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from io import TextIOWrapper
from logging.handlers import RotatingFileHandler
from pathlib import Path

from season_engine.errors import GrowerError

LOG = logging.getLogger("season_engine.delivery")
LOG.addHandler(logging.NullHandler())
FILE = "delivery.log"
LARGEST_BYTES = 100_000
OLDER_FILES = 3


class _PatientHandler(RotatingFileHandler):
    """A full disk must not keep a mail from going out. The file is the grower's own: it holds addresses."""

    def _open(self) -> TextIOWrapper:
        stream = super()._open()
        Path(self.baseFilename).chmod(0o600)
        return stream

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - logging's name
        pass


@contextmanager
def kept_log(folder: Path, *, verbose: bool) -> Iterator[None]:
    """Keep a log in `folder`; a grower's error that passes through is written down.

    Raises GrowerError where the file can't be written.
    """
    handlers = [_file_handler(folder)]
    if verbose or sys.stderr.isatty():
        handlers.append(_to_terminal(logging.INFO if verbose else logging.WARNING))
    LOG.setLevel(logging.INFO)
    LOG.propagate = False
    for handler in handlers:
        LOG.addHandler(handler)
    try:
        yield
    except GrowerError as error:
        for line in str(error).splitlines():
            LOG.error(line)
        raise
    finally:
        for handler in handlers:
            LOG.removeHandler(handler)
            with suppress(OSError, ValueError):
                handler.close()


def _file_handler(folder: Path) -> logging.Handler:
    path = folder / FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handler = _PatientHandler(path, maxBytes=LARGEST_BYTES, backupCount=OLDER_FILES, encoding="utf-8")
    except OSError as error:
        raise GrowerError(f"The log can't be written: {error.strerror or error}.", file=path) from None
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    return handler


def _to_terminal(least: int) -> logging.Handler:
    handler = logging.StreamHandler(sys.stderr)
    handler.setLevel(least)
    handler.addFilter(lambda record: record.levelno < logging.ERROR)  # the command tells errors itself
    handler.setFormatter(logging.Formatter("%(message)s"))
    return handler
