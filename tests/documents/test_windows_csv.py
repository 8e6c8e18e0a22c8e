"""The table of windows: one row each, and harmless in a spreadsheet."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

from hypothesis import example, given
from hypothesis import strategies as st

from season_engine.documents.windows_csv import COLUMNS, windows_csv
from season_engine.windows.assessment import Quantiles
from tests.factories import a_report, a_site_report, an_assessment


def rows(report) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(windows_csv(report))))


def test_a_row_for_each_window_and_each_tree() -> None:
    site = a_site_report()
    found = rows(a_report(sites=(site,)))
    assert tuple(found[0]) == COLUMNS
    assert [row["tree"] for row in found] == [""] * 8 + ["M1", "M2", "P1", "P1", "E1", "P2", "L1"]
    assert found[0] == {
        "site": "ridge", "species": "Acer palmatum", "job": "repotting", "window": "spring", "tree": "",
        "tree_name": "", "season": "2026/27", "verdict": "open", "today": "do", "opens_p10": "2026-07-25",
        "opens_p50": "2026-08-03", "opens_p90": "2026-08-12", "closes_p10": "2026-08-26",
        "closes_p50": "2026-09-06", "closes_p90": "2026-09-17", "chance_open_now": "0.780",
        "weather": "real", "by": "weather", "opens_by": "weather", "closes_by": "weather",
    }  # fmt: skip
    assert found[8]["tree_name"] == "Lantern"


def test_a_date_that_never_comes_is_empty() -> None:
    never = replace(an_assessment(), opens=Quantiles(None, None, None))
    (row,) = rows(a_report(sites=(a_site_report(windows=(never,), trees=()),)))
    assert (row["opens_p10"], row["opens_p90"]) == ("", "")


@given(st.text())
@example('=HYPERLINK("http://example.org")')
@example("\t=1+1")
@example("-2,+3\r\n@SUM(1)")
def test_no_name_is_taken_for_a_formula_or_breaks_a_row(name: str) -> None:
    site = a_site_report(tree_names={"M1": name})
    site = replace(site, windows=(replace(site.windows[0], site=name),), trees=site.trees[:1])
    found = rows(a_report(sites=(site,)))
    assert len(found) == 2
    for row in found:
        assert None not in row
        assert all(not text.startswith(("=", "+", "-", "@", "\t", "\r")) for text in row.values())
