"""The weather service of provider.py for every test here that asks for it, and little patience."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from season_engine.weather import http
from season_engine.weather.provider import URL_VARIABLE
from tests.weather.provider import Provider


@pytest.fixture
def provider(monkeypatch: pytest.MonkeyPatch) -> Iterator[Provider]:
    service = Provider().start()
    monkeypatch.setenv(URL_VARIABLE, service.url)
    patience = http.Patience(connect_s=0.5, read_s=0.3, whole_s=0.6, retries=2, backoff_s=0.01)
    monkeypatch.setattr(http, "PATIENCE", patience)
    yield service
    service.stop()
