"""Any table of readings, written in any mix of styles, is read back exactly, or refused; never otherwise."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.errors import GrowerError
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.reading import LoggerRecord, record_of
from tests.weather.made_exports import Made, made_export

MOST_READ = 0.85  # of files in which the unit isn't always told


def read(made: Made) -> LoggerRecord | None:
    try:
        return record_of([("made.csv", made.content)], ReadAs(), made.site)
    except GrowerError:
        return None


def is_right(made: Made, record: LoggerRecord) -> bool:
    utc_s, own_s, temp_c = (np.array(one) for one in (made.utc_s, made.own_s, made.temp_c))
    order = np.argsort(utc_s, kind="stable")
    sun_s = utc_s + round(made.site.longitude * 4) * 60
    true_s = (sun_s if record.form.by_the_sun else own_s)[order]
    if record.seconds is None or record.temp_c is None or record.seconds.size != true_s.size:
        return False
    apart_c, apart_s = np.abs(record.temp_c - temp_c[order]), np.abs(record.seconds - true_s)
    return bool(apart_c.max() < 0.06 and apart_s.max() <= 30)


@given(st.integers(10_000, 10_000_000))
@settings(max_examples=20, deadline=None)
def test_read_back_exactly_or_refused(seed: int) -> None:
    made = made_export(seed)
    record = read(made)
    assert record is None or is_right(made, record), made.style


def test_most_are_read() -> None:
    seeds = range(30)
    right = [seed for seed in seeds if read(made_export(seed)) is not None]
    assert len(right) >= MOST_READ * len(seeds)
