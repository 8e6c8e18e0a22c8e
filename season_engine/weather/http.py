"""The one way to the network: every download of weather goes through here, and what came is kept.

A download ends in one of three ways, each with a type of its own so that none is taken for another: `Got` the
file; `Absent`, where the server says there is no such file, which is a fact; or `Failed`, where nothing was
learnt, with the cause and what an earlier download left.

How fresh a kept file is goes by the clock of requests-cache, not by the day that counts as today. That only
decides whether to ask again: days after today are cut from whatever came.
"""

from __future__ import annotations

import datetime as dt
import logging
import os
import re
import sqlite3
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import requests
import requests_cache
import urllib3
from requests.adapters import HTTPAdapter

from season_engine.weather.notices import DownloadsDamaged, DownloadsNotKept, DownloadTrouble

if TYPE_CHECKING:
    from requests import PreparedRequest, Response
    from requests_cache.models import AnyResponse

CACHE_FILE = "http.sqlite"
USER_AGENT = __name__.partition(".")[0] + " (a batch job that keeps what it fetches)"
DAY, MONTH = dt.timedelta(days=1), dt.timedelta(days=30)
LARGEST_BODY = 200_000_000  # bytes
FAILURES_IN_A_ROW = 2  # after so many the service counts as out of reach for the rest of the run
NO_FILE = 404
SLOWEST = 10_000  # bytes a second; what comes faster may take its time
NOT_KEPT = 504  # what requests-cache says where it may not ask and has nothing

# A failed request with something kept is told to the grower in our words, not as tracebacks on stderr.
for _noisy in ("requests_cache", "urllib3"):
    logging.getLogger(_noisy).setLevel(logging.CRITICAL)

BodyCheck = Callable[[bytes], None]  # raises ValueError saying what is wrong with a file


@dataclass(frozen=True, slots=True)
class Got:
    """A file, and when it came."""

    content: bytes
    fetched_at: dt.datetime


@dataclass(frozen=True, slots=True)
class Absent:
    """The server answered, and has no such file."""

    fetched_at: dt.datetime


@dataclass(frozen=True, slots=True)
class Failed:
    """Nothing was learnt. `kept` is what an earlier download left, if there was one."""

    cause: str
    kept: Got | Absent | None


Download = Got | Absent | Failed


@dataclass(frozen=True, slots=True)
class Patience:
    """How long to wait [s] and how often to try again."""

    connect_s: float = 10.0
    read_s: float = 20.0  # without a byte
    whole_s: float = 60.0  # for a file that trickles in: it is no better than none
    retries: int = 3
    backoff_s: float = 0.5  # doubled at each retry, with as much again at random


PATIENCE = Patience()


class BadAnswer(requests.RequestException):
    """The service answered with something that is not the file asked for."""


class _Adapter(HTTPAdapter):
    """Sends with time limits and retries, and lets only a whole, sound file through to the cache.

    What is wrong must be an exception here, below the cache: a page of HTML that came with status 200 would
    overwrite the good file otherwise.
    """

    def __init__(self, patience: Patience, checks: Mapping[str, BodyCheck]) -> None:
        self.start()
        self._patience = patience
        self._checks = checks
        retries = urllib3.Retry(
            total=patience.retries,
            connect=min(1, patience.retries),  # each may last as long as the time limit
            read=min(1, patience.retries),
            status_forcelist=(429, 500, 502, 503, 504),
            backoff_factor=patience.backoff_s,
            backoff_jitter=patience.backoff_s,
            respect_retry_after_header=False,  # may be hours; whoever starts us comes again
            raise_on_status=False,
        )
        super().__init__(max_retries=retries)

    def start(self) -> None:
        """Forget what failed before."""
        self.failure: requests.RequestException | None = None

    def send(self, request: PreparedRequest, **options: Any) -> Response:  # type: ignore[override]
        """Send, read the whole body and look at it; raises RequestException, and remembers it."""
        options["timeout"] = (self._patience.connect_s, self._patience.read_s)
        try:
            response = super().send(request, **{**options, "stream": True})
            if response.is_redirect:
                return response
            try:
                response._content = self._body(response)
            except requests.RequestException:
                response.close()
                raise
            self._look_at(response)
        except requests.RequestException as failure:
            self.failure = failure
            raise
        return response

    def _body(self, response: Response) -> bytes:
        start, size, pieces = time.monotonic(), 0, []
        try:
            # read1 gives what one packet brought, so that the time limit is looked at between packets.
            while piece := response.raw.read1(1 << 16, decode_content=True):
                pieces.append(piece)
                size += len(piece)
                taken_s = time.monotonic() - start
                if taken_s > self._patience.whole_s and size < SLOWEST * taken_s:
                    raise requests.Timeout("the file only trickles in")
                if size > LARGEST_BODY:
                    raise BadAnswer("the file is far too large")
        except urllib3.exceptions.ReadTimeoutError as error:
            raise requests.ReadTimeout(error) from error
        except urllib3.exceptions.HTTPError as error:
            raise BadAnswer("the file came cut short or garbled") from error
        return b"".join(pieces)

    def _look_at(self, response: Response) -> None:
        if response.status_code in (requests.codes.not_modified, NO_FILE):
            return
        if response.status_code != requests.codes.ok:
            raise BadAnswer(f"the service answered with error {response.status_code}")
        try:
            check(self._checks, response.url, response.content)
        except ValueError as error:
            raise BadAnswer(str(error)) from error


def check(checks: Mapping[str, BodyCheck], url: str, content: bytes) -> None:
    """Hold a file to the check for its kind, by the end of its address's path; raises ValueError."""
    for ending, check_body in checks.items():
        if urlsplit(url).path.endswith(ending):
            check_body(content)


class WeatherHttp:
    """Downloads, kept in a workspace's cache folder.

    Parameters
    ----------
    cache : folder to keep what came in. JSON in SQLite: a folder shared with others never runs what it holds.
    checks : by the end of an address's path, what a file must satisfy to be kept.
    short_lived : pattern of the addresses asked for again after a day; others are after a month.
    user_agent : what the service is told of who asks.

    `notes` says what had to be mended on the way.
    """

    def __init__(
        self,
        cache: Path,
        *,
        checks: Mapping[str, BodyCheck],
        short_lived: re.Pattern[str],
        user_agent: str = USER_AGENT,
    ) -> None:
        self.notes: list[DownloadTrouble] = []
        self._folder = cache
        self._checks = checks
        self._short_lived = short_lived
        self._user_agent = user_agent
        self._adapter = _Adapter(PATIENCE, checks)
        self._failures_in_a_row = 0
        self._last_cause = ""
        try:
            self._session = self._open()
        except sqlite3.DatabaseError:
            self._session = self._opened_anew()

    def __enter__(self) -> WeatherHttp:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._session.close()  # type: ignore[no-untyped-call]

    def get(self, url: str, *, refresh: bool = False) -> Download:
        """The file at `url`, kept or fetched; with `refresh` the server is asked whatever the age."""
        try:
            download = self._get(url, refresh)
        except sqlite3.DatabaseError:
            self._session.close()  # type: ignore[no-untyped-call]
            self._session = self._opened_anew()
            download = self._get(url, refresh)
        kept = download.kept if isinstance(download, Failed) else download
        if isinstance(kept, Got):
            try:
                check(self._checks, url, kept.content)
            except ValueError:  # went bad while it was kept
                self._session.cache.delete(urls=[url])
                return self._get(url, False)
        return download

    def _get(self, url: str, refresh: bool) -> Download:
        if self._failures_in_a_row >= FAILURES_IN_A_ROW:
            return self._without_asking(url)
        self._adapter.start()
        try:
            response = self._session.get(url, refresh=refresh)
            if refresh and response.from_cache and not (response.revalidated or self._adapter.failure):
                response = self._session.get(url, force_refresh=True)  # kept without ETag or date
        except requests.RequestException as failure:
            return self._failed(failure, self._session.get(url, only_if_cached=True))
        if self._adapter.failure is not None:  # and what is kept was given instead
            return self._failed(self._adapter.failure, response)
        if response.revalidated or not response.from_cache:
            self._failures_in_a_row = 0
        return _fact(response)

    def _failed(self, failure: requests.RequestException, kept: AnyResponse) -> Failed:
        self._failures_in_a_row += 1
        self._last_cause = _cause(failure)
        return Failed(self._last_cause, None if kept.status_code == NOT_KEPT else _fact(kept))

    def _without_asking(self, url: str) -> Download:
        response = self._session.get(url, only_if_cached=True)
        if response.status_code == NOT_KEPT:
            return Failed(self._last_cause, None)
        return Failed(self._last_cause, _fact(response)) if response.is_expired else _fact(response)

    def _open(self) -> requests_cache.CachedSession:
        where: dict[str, Any] = {"backend": "memory"}
        if self._can_be_kept():
            where = {"cache_name": str(self._folder / CACHE_FILE), "backend": "sqlite", "serializer": "json"}
        session = requests_cache.CachedSession(
            **where,
            expire_after=MONTH,
            urls_expire_after={self._short_lived: DAY},
            stale_if_error=True,
            allowable_codes=(200, NO_FILE),
            allowable_methods=("GET",),
        )
        session.headers["User-Agent"] = self._user_agent
        session.mount("http://", self._adapter)
        session.mount("https://", self._adapter)
        return session

    def _can_be_kept(self) -> bool:
        """Whether the cache file can be written; made beforehand, so that nobody else ever could read it.

        The backend would wait for ever for a lock on a file that it may not write.
        """
        file = self._folder / CACHE_FILE
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            os.close(os.open(file, os.O_RDWR | os.O_CREAT, 0o600))
            file.chmod(0o600)
        except OSError as error:
            self.notes.append(DownloadsNotKept(str(self._folder), str(error.strerror)))
            return False
        return os.access(self._folder, os.W_OK)

    def _opened_anew(self) -> requests_cache.CachedSession:
        self.notes.append(DownloadsDamaged(CACHE_FILE))
        for ending in ("", "-journal", "-wal", "-shm"):
            (self._folder / f"{CACHE_FILE}{ending}").unlink(missing_ok=True)
        return self._open()


def _fact(response: AnyResponse) -> Got | Absent:
    if response.status_code == NO_FILE:
        return Absent(response.created_at)
    return Got(response.content, response.created_at)


def _cause(failure: requests.RequestException) -> str:
    """What went wrong, in words for a grower."""
    if isinstance(failure, BadAnswer):
        return str(failure)
    if isinstance(failure, requests.exceptions.SSLError):
        return "the service's certificate was not accepted"
    text = repr(failure)
    if isinstance(failure, requests.Timeout) or "Timeout" in text:  # after retries a timeout is wrapped
        return "the service did not answer in time"
    if "refused" in text:
        return "the connection was refused"
    if "NameResolution" in text:
        return "the service's name was not found; perhaps this machine is offline"
    return "the connection failed"
