from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import trustme

from season_engine.delivery import mail, pictures
from season_engine.report.contents import SiteReport
from tests.delivery.server import HOST, PASSWORD, Mailbox, mail_server
from tests.delivery.yard import Yard, make_yard, real_site_report, told_at_once

drawn_once = cache(pictures.png)


@pytest.fixture(scope="session")
def authority() -> trustme.CA:
    return trustme.CA()


@pytest.fixture(scope="session")
def site_report(tmp_path_factory: pytest.TempPathFactory) -> SiteReport:
    return real_site_report(tmp_path_factory.mktemp("yard"))


@pytest.fixture(autouse=True)
def trusted(authority: trustme.CA, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The tests' own certificate authority, as a grower would name one, and the password."""
    authority.cert_pem.write_to_path(tmp_path / "authority.pem")
    monkeypatch.setenv("SSL_CERT_FILE", str(tmp_path / "authority.pem"))
    monkeypatch.setenv("SEASON_MAIL_PASSWORD", PASSWORD)


@pytest.fixture
def waits(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The pauses between attempts, noted instead of waited for."""
    noted: list[float] = []
    monkeypatch.setattr(mail, "sleep", noted.append)
    return noted


@pytest.fixture
def mailbox() -> Mailbox:
    return Mailbox()


@pytest.fixture
def refusals(monkeypatch: pytest.MonkeyPatch, site_report: SiteReport) -> dict[str, str]:
    """Sites whose weather is too poor, and why; the others' reports are worked out once for all tests."""
    named: dict[str, str] = {}
    told_at_once(monkeypatch, site_report, named)
    monkeypatch.setattr(pictures, "png", drawn_once)
    return named


@pytest.fixture
def yard_with(
    refusals: dict[str, str], mailbox: Mailbox, authority: trustme.CA, tmp_path: Path, waits: list[float]
) -> Iterator[Callable[..., Yard]]:
    """Makes a yard and the mail server it sends to."""
    with ExitStack() as servers:

        def make(*, certificate: Any = None, security: str = "starttls", **more: Any) -> Yard:
            certificate = certificate or authority.issue_cert(HOST)
            port = servers.enter_context(mail_server(mailbox, certificate, security=security))
            return make_yard(tmp_path / "yard", port, security=security, **more)

        yield make


@pytest.fixture
def yard(yard_with: Callable[..., Yard]) -> Yard:
    return yard_with()
