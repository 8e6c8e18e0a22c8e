"""Tables of evidence stand as commands print them, and the commands are there."""

from __future__ import annotations

import csv
import importlib.util

import pytest

from tests.benchmarks.backtest_japan import DIGITS, LEADS, NOTES, PUBLISHED, lead_word
from tests.benchmarks.evidence import PAGES, PRINTED, printed_anew

FORECASTS = PAGES[0].read_text("utf-8")
TYPED = "## Tried while it was built"  # says that no command prints it


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_each_printed_part_names_a_command_and_holds_what_one_prints(page) -> None:
    text = page.read_text("utf-8")
    found = list(PRINTED.finditer(text))
    assert 0 < len(found) == text.count("<!-- printed -->")
    for part in found:
        assert importlib.util.find_spec(part["command"].split()[0]), part["command"]
        assert "\n| --- |" in part["text"], part["command"]


def test_no_table_of_forecasts_is_typed_by_hand_but_one_that_says_so() -> None:
    typed, _, after = PRINTED.sub("", FORECASTS).partition(TYPED)
    assert "|" not in typed
    assert after.count("\n| ---") == 1 and "no command prints them" in after


def test_a_page_is_printed_anew_by_its_own_command_and_else_left_alone() -> None:
    block = "<!-- printed -->\n{}\nPrinted by `python -m {}`.\n"
    old = block.format("\nold\n", "json.tool --help")
    other = block.format("\nother\n", "json.tool")
    anew = printed_anew(f"Words.\n\n{other}\nMore | words.\n\n{old}", "json.tool --help")
    assert anew.startswith(f"Words.\n\n{other}\nMore | words.\n\n<!-- printed -->\n\nusage:")
    assert "old" not in anew and anew.endswith("\n\nPrinted by `python -m json.tool --help`.\n")


def test_figures_published_before_are_whole() -> None:
    """Every event, lead and number of notes, of the forecaster and of the advice; shares are shares."""
    with PUBLISHED.open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file))
    keys = {(line["forecaster"], line["notes"], line["species"], line["lead_weeks"]) for line in lines}
    leads = (*map(lead_word, LEADS), lead_word(None))
    assert len(keys) == len(lines) == 2 * len(NOTES) * 3 * len(leads)
    assert {key[3] for key in keys} == set(leads)
    for line in lines:
        figures = {name: float(line[name]) for name in DIGITS}
        assert 0 < figures["coverage50"] < figures["coverage80"] < 1 < figures["width80"]
        expected = 1 - figures["mae"] / float(line["mae_calendar"])
        assert figures["skill"] == pytest.approx(expected, abs=1e-3)
