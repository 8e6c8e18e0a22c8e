"""Lines of values: each expected line is counted by eye in the text above it."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.files.toml_lines import line_of, syntax_fault

TEXT = '''\
# 1 a comment
units = "degC"

[[site]]
name = "ridge"
notes = """
latitude = 1
"""
latitude = -45
[site.weather]
source = "demo"

[[site]]
weather.source = "logger"
weather.file = "a.csv"
[email]
to = ["a@b",
      "c@d"]
[site.extra]
depth = 1
'''


@pytest.mark.parametrize(
    ("location", "line"),
    [
        (("units",), 2),
        (("site",), 4),
        (("site", 0), 4),
        (("site", 0, "notes"), 6),
        (("site", 0, "latitude"), 9),  # not the look-alike inside the text on line 7
        (("site", 0, "weather"), 10),
        (("site", 0, "weather", "source"), 11),
        (("site", 1), 13),
        (("site", 1, "weather"), 14),
        (("site", 1, "weather", "file"), 15),
        (("email", "to", 1), 17),  # a list over several lines is one statement
        (("site", 1, "extra"), 19),  # a table of a site written after another table
        (("site", 1, "extra", "depth"), 20),
        (("site", 1, "latitude"), 13),  # missing: its table
        (("email", "from"), 16),
        (("site", 2, "name"), 4),
        (("nowhere",), 1),
        ((), 1),
    ],
)
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_line_of(location: tuple[str | int, ...], line: int, ending: str) -> None:
    assert line_of(TEXT.replace("\n", ending), location) == line


@given(
    st.lists(st.sampled_from(["", "# note", 'text = """\n\n"""', "list = [\n1,\n]"]), max_size=6, unique=True)
)
def test_line_of_counts_every_line_before_the_key(before: list[str]) -> None:
    lines = "".join(f"{part}\n" for part in before)
    assert line_of(f"{lines}wanted = 1\nlater = 2", ("wanted",)) == lines.count("\n") + 1


@pytest.mark.parametrize(
    ("text", "line"),
    [("a = 1\n\nb c = 2\n", 3), ("a = 1\na = 2\n", 2), ("a = 1\nb = [\n", 2), ("a = " + "9" * 5000, 1)],
)
def test_syntax_fault_names_the_line(text: str, line: int) -> None:
    with pytest.raises(ValueError) as caught:
        tomllib.loads(text)
    found, problem = syntax_fault(caught.value, text)
    assert found == line
    assert problem and "column" not in problem
