"""The weather service of provider.py for every test here that asks for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from season_engine.weather import http
from season_engine.weather.provider import URL_VARIABLE
from tests.weather.provider import Provider


@pytest.fixture
def provider(monkeypatch: pytest.MonkeyPatch) -> Iterator[Provider]:
    service = Provider().start()
    monkeypatch.setenv(URL_VARIABLE, service.url)
    patience = http.Patience(retries=2, backoff_s=0.01)
    monkeypatch.setattr(http, "PATIENCE", patience)
    yield service
    service.stop()


@pytest.fixture
def impatient(provider: Provider, monkeypatch: pytest.MonkeyPatch) -> None:
    """So little patience that a test of it is short, and yet enough for a busy machine."""
    patience = replace(http.PATIENCE, read_s=0.9, whole_s=0.9)
    monkeypatch.setattr(http, "PATIENCE", patience)
