"""What `ready --json` prints."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from pydantic import Field

from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Date
from season_engine.words.ready import Finding, State, Subject


class FindingDocument(Document):
    """One thing that was looked at."""

    subject: Subject
    site: str | None
    state: State = Field(description="`look` keeps nothing from working.")
    text: str
    mend: str = Field(description="What to do about it; empty where nothing is to do.")
    line: str = Field(description="To write somewhere as it stands, in one line or several.")


class ReadyDocument(Document):
    """Whether all is in place for the next report."""

    as_of: Date
    monday: Date = Field(description="Of the next report.")
    ready: bool
    exit_code: int = Field(description="0, or the first of 2 (workspace), 3 (weather), 4 (delivery).")
    findings: tuple[FindingDocument, ...]


def ready_document(
    findings: Iterable[Finding], as_of: dt.date, monday: dt.date, exit_code: int
) -> ReadyDocument:
    """What ``ready --json`` prints."""
    facts = Facts(
        as_of=as_of, monday=monday, ready=exit_code == 0, exit_code=exit_code, findings=tuple(findings)
    )
    return ReadyDocument.model_validate(facts)
