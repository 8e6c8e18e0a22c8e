"""What a grower reads of two yards side by side."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.advice.compare import (
    Comparison,
    Contrast,
    Difference,
    Pair,
    SiteDates,
    Spread,
    WindowComparison,
)
from season_engine.prints.comparison import comparison_text
from season_engine.site import Site
from season_engine.weather.notices import NoForecast
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.windows.assessment import Quantiles

AS_OF = dt.date(2026, 2, 1)
RIDGE, DALE = Site("ridge", 45.0, 9.0), Site("dale", 44.0, 9.0)
NONE = Quantiles(None, None, None)
WIDE = Spread(-30, -9, 12)


def dates(month: int, *, chance: float = 1.0, year: int = 2026) -> SiteDates:
    opens, closes = (Quantiles(*(dt.date(year, m, day) for day in (3, 11, 20))) for m in (month, month + 1))
    return SiteDates("2025/26", chance, opens, closes)


def a_contrast(opens: Spread | None, closes: Spread | None = None, **changes: object) -> Contrast:
    base = Contrast(
        years_paired=True,
        years=30,
        years_only_first=0,
        years_only_other=0,
        first=dates(4),
        other=dates(3),
        chance_both=1.0,
        opens=opens and Difference(opens, WIDE),
        closes=opens and Difference(closes or opens, WIDE),
    )
    return replace(base, **changes)


def text(past: Contrast, season: Contrast | None = None, **changes: object) -> str:
    pair = Pair(DALE, past, season or past)
    window = WindowComparison("Pinus thunbergii", "black pine", "repotting", "spring", (pair,))
    return comparison_text(replace(Comparison(AS_OF, (RIDGE, DALE), (window,)), **changes))


def said(*arguments: object, **changes: object) -> str:
    return " ".join(text(*arguments, **changes).split())


def test_the_difference_its_odds_and_the_dates_are_a_sentence_each() -> None:
    found = said(a_contrast(Spread(-16, -9, -3), Spread(-1, 1.5, 4)))
    assert "dale and ridge are compared over 30 past seasons, the same year at both" in found
    assert (
        "Usually it opens nine days earlier at dale than at ridge (between three and 16 days, in 8 years of "
        "10) and closes two days later (from one day earlier to four days later)."
    ) in found
    assert "This season (2025/26) it looks much the same." in found
    assert "Middle dates: usually 11 Apr to 11 May at ridge and 11 Mar to 11 Apr at dale." in found


@pytest.mark.parametrize(
    ("opens", "words"),
    [
        (Spread(0, 0, 0), "opens on the same day at dale as at ridge and"),
        (Spread(-2, 0, 3), "opens on about the same day at dale as at ridge (from two days earlier to three"),
        (Spread(0, 4, 13), "opens four days later at dale than at ridge (up to 13 days, in 8 years of 10)"),
        (Spread(-1.5, -0.5, 0), "opens one day earlier at dale than at ridge (up to two days, in"),
        (Spread(21, 21, 21), "opens 21 days later at dale than at ridge and"),
    ],
)
def test_every_kind_of_difference_reads_well(opens: Spread, words: str) -> None:
    assert words in said(a_contrast(opens))


def test_the_paired_range_stands_beside_the_unpaired_one() -> None:
    (row,) = (line for line in text(a_contrast(Spread(-16, -9, -3))).splitlines() if " to -3" in line)
    assert " ".join(row.split()) == "black pine, repotting (spring) -16 to -3 -30 to +12"


def test_a_season_unlike_the_usual_ones_gets_its_own_sentence_and_dates() -> None:
    season = a_contrast(Spread(-30, -20, -16), first=dates(3), other=dates(1))
    found = said(a_contrast(Spread(-16, -9, -3)), season, as_of=dt.date(2026, 4, 1))
    assert (
        "This season (2025/26) it opened 20 days earlier (between 16 and 30 days, 8 chances in 10)" in found
    )
    assert "and closes 20 days earlier" in found
    assert "; this season 11 Mar to 11 Apr at ridge and 11 Jan to 11 Feb at dale." in found


def test_a_window_at_one_yard_only_says_how_often() -> None:
    other = SiteDates("2025/26", 0.06, NONE, NONE)
    found = said(a_contrast(None, other=other, chance_both=0.06))
    assert "6 in 100 seasons at dale have this window, more than 99 in 100 at ridge" in found
    assert "11 Apr to 11 May at ridge and none at dale" in found
    assert "same years" not in found


def test_a_window_at_neither_and_one_that_is_not_sure_are_told_too() -> None:
    none = SiteDates("2025/26", 0.0, NONE, NONE)
    found = said(a_contrast(None, first=none, other=none, chance_both=0.0))
    assert "Fewer than 1 in 100 seasons at ridge, and as few at dale, have this window." in found
    assert "count here: 7 in 10" in said(a_contrast(Spread(1, 2, 3), chance_both=0.7))
    only_now = said(a_contrast(Spread(1, 2, 3)), a_contrast(None, other=none, chance_both=0.0))
    assert "This season (2025/26): Fewer than 1 in 100 seasons at dale" in only_now


def test_years_left_out_and_the_other_hemisphere_are_said() -> None:
    found = said(a_contrast(Spread(1, 2, 3), years_only_first=3, years_only_other=1))
    assert (
        "Left out: three past seasons that only ridge has weather for and one past season that only dale"
        in found
    )
    assert "have no past season in common" in said(a_contrast(None, years=0))
    other = said(a_contrast(Spread(1, 2, 3), years_paired=False))
    assert "dale lies in the other hemisphere than ridge. They share no season's weather" in other
    assert "same years" not in other


def test_species_unknown_warnings_and_an_invented_yard_are_not_dropped() -> None:
    found = said(
        a_contrast(Spread(1, 2, 3)),
        invented=(RIDGE.name, DALE.name), not_covered=("Quercus suber",), warnings=(NoForecast(AS_OF),),
        sources=(GivenOrigin("logger"),),
    )  # fmt: skip
    assert (
        "Not in the catalogue: Quercus suber." in found
        and "There is no forecast issued by" in found
        and "Logger." in found
    )
    assert "The weather is invented." in found
    assert "The weather of ridge is invented;" in said(a_contrast(Spread(1, 2, 3)), invented=(RIDGE.name,))


days = st.floats(-400, 400).map(round)


@given(st.lists(days, min_size=3, max_size=3), st.lists(days, min_size=3, max_size=3), st.text(min_size=1))
def test_no_line_is_wider_than_a_page(opens: list[int], closes: list[int], name: str) -> None:
    window = a_contrast(Spread(*sorted(opens)), Spread(*sorted(closes)))
    found = text(window, sites=(replace(RIDGE, name=name), DALE))
    assert all(len(line) <= 80 for line in found.splitlines())
    assert "None" not in found and "nan" not in found and " no day" not in found
