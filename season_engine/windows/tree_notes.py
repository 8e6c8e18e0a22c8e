"""What a job that a tree may have would bring it, as facts."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OffLater:
    """A job that the tree won't have when its window opens, if it has the one asked about now."""

    job: str
    opens: dt.date


TreeNote = OffLater
