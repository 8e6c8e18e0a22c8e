"""Logger exports by writers who have not seen the reader: read right, or refused with the line to write."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.benchmarks.logger_exports import EXPORTS, exports, result_of

KNOWN = sorted(about.parent.name for about in EXPORTS.glob("known/*/about.toml"))


@pytest.mark.parametrize("name", KNOWN)
def test_a_known_export_is_read_right(name: str) -> None:
    (export,) = (one for one in exports("known") if one.folder.name == name)
    result = result_of(export)
    assert result.verdict in ("as it comes", "with a setting"), result.why


def test_the_known_exports_are_there() -> None:
    assert len(KNOWN) == 20


def test_no_held_out_export_is_read_wrong_or_must_be_edited() -> None:
    held_out = exports("held_out")
    assert held_out, "no export found"
    results = {one.folder.name: result_of(one) for one in held_out}
    assert {name: one.why for name, one in results.items() if one.verdict in ("WRONG", "by hand")} == {}


def test_no_later_export_is_read_wrong_or_must_be_edited() -> None:
    results = [result_of(one).verdict for one in exports("later")]
    assert Counter(results) == {"as it comes": 15, "with a setting": 5}


def test_no_export_of_the_fourth_set_is_read_wrong() -> None:
    results = {one.folder.name: result_of(one) for one in exports("fourth")}
    assert {name: one.why for name, one in results.items() if one.verdict == "WRONG"} == {}
    assert [name for name, one in results.items() if one.verdict == "by hand"] == ["h10"]
