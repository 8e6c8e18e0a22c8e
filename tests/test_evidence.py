"""Tables of evidence stand as commands print them, and the commands are there."""

from __future__ import annotations

import csv
import importlib.util
import re

import pytest

from tests.benchmarks.backtest_japan import DIGITS, LEADS, NOTES, PUBLISHED, lead_word
from tests.benchmarks.evidence import PAGES, PRINTED, PROJECT, printed_anew

DOCUMENTS = [PROJECT / "README.md", PROJECT / "DEVELOPERS.md", *sorted((PROJECT / "docs").rglob("*.md"))]
NAMED = re.compile(r"`([\w.-]+(?:/[\w.-]+)+/?)`")  # of files and folders, without spaces and patterns
ROOMS = {path.name for path in (PROJECT / "season_engine").iterdir()}
FOLDERS = ROOMS | {"docs", "season_engine", "tests"}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_each_printed_part_names_a_command_and_holds_what_one_prints(page) -> None:
    text = page.read_text("utf-8")
    found = list(PRINTED.finditer(text))
    assert len(found) == text.count("<!-- printed -->")
    for part in found:
        assert importlib.util.find_spec(part["command"].split()[0]), part["command"]
        assert "\n| --- |" in part["text"] or "\n```text\n" in part["text"], part["command"]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_no_table_of_evidence_is_typed_by_hand(page) -> None:
    assert "\n|" not in PRINTED.sub("", page.read_text("utf-8"))


def test_results_stand_with_the_evidence_and_nowhere_else() -> None:
    pages = [path for path in DOCUMENTS if path not in PAGES]
    assert [path.name for path in pages if "<!-- printed -->" in path.read_text("utf-8")] == []


@pytest.mark.parametrize("page", DOCUMENTS, ids=lambda page: page.name)
def test_files_that_a_page_names_are_there(page) -> None:
    """From the project's folder, or from that of the code; a grower's own files are in none of these."""
    named = [name for name in NAMED.findall(page.read_text("utf-8")) if name.split("/")[0] in FOLDERS]
    places = (PROJECT, PROJECT / "season_engine")
    assert [name for name in named if not any((place / name).exists() for place in places)] == []


def test_a_page_is_printed_anew_by_its_own_command_and_else_left_alone() -> None:
    block = "<!-- printed -->\n{}\nPrinted by `python -m {}`.\n"
    old = block.format("\nold\n", "json.tool --help")
    other = block.format("\nother\n", "json.tool")
    anew = printed_anew(f"Words.\n\n{other}\nMore | words.\n\n{old}", "json.tool --help")
    assert anew.startswith(f"Words.\n\n{other}\nMore | words.\n\n<!-- printed -->\n\nusage:")
    assert "old" not in anew and anew.endswith("\n\nPrinted by `python -m json.tool --help`.\n")


def test_what_was_printed_once_is_left_alone() -> None:
    once = "<!-- printed -->\n\nold\n\nPrinted once, on 2020-01-31, by `python -m json.tool --help`.\n"
    assert printed_anew(once, "json.tool --help") == once


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
