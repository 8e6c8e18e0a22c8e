"""Whatever stands in the files, the answer is a workspace or an error a grower can read, no traceback."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path

from hypothesis import example, given
from hypothesis import strategies as st

from season_engine.errors import GrowerError, InputErrors
from season_engine.workspace.workspace import Workspace, load_workspace

SEASON = '[[site]]\nname = "hut"\nlatitude = 1\nlongitude = 2\n[site.weather]\nsource = "demo"\n'
TREES = "id,site,species,name,size,origin,last_repotted,vigour,shelter,notes\n"
JOURNAL = "date,site,tree,species,bbch,job,note\n"

KEYS = st.sampled_from(
    ["name", "latitude", "source", "file", "weather", "site", "logger", "email", "to", "out", "x"]
)
VALUES = st.recursive(
    st.sampled_from(
        ['"text"', '"demo"', '"logger"', "1", "1e400", "nan", "true", "2024-01-01", "0x" + "f" * 4000]
    ),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]")
        | st.dictionaries(KEYS, inner, max_size=3).map(
            lambda table: "{" + ", ".join(f"{key} = {value}" for key, value in table.items()) + "}"
        )
    ),
    max_leaves=6,
)
HEADERS = st.lists(KEYS, min_size=1, max_size=3).map(".".join)
STATEMENTS = (
    st.tuples(KEYS, VALUES).map(" = ".join) | HEADERS.map("[{}]".format) | HEADERS.map("[[{}]]".format)
)
FIELDS = st.text(max_size=12) | st.sampled_from(
    [
        "hut",
        "Larix",
        "t1",
        "2024-03-09",
        "2024-02-30",
        "07",
        "repotting",
        "large",
        "yes",
        '"',
        '"a\nb"',
        "../x",
        "<b>",
    ]
)
LINES = st.lists(FIELDS, max_size=12).map(",".join)


def load(files: Mapping[str, str | bytes]) -> Workspace | None:
    """The workspace made of those files, or None where it is refused in a grower's words."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file, content in files.items():
            data = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
            (folder / file).write_bytes(data)
        try:
            return load_workspace(folder)
        except GrowerError as refused:
            for error in getattr(refused, "errors", (refused,)):
                assert error.problem
                assert Path(error.file or "").name in files
                assert error.line is None or error.line >= 1
            if isinstance(refused, InputErrors):
                assert all(error.line for error in refused.errors)
            assert str(refused).replace("\n", "").isprintable()
            return None


@given(st.binary(max_size=200))
@example(b"a = " + b"[" * 100_000)
@example(b"a." * 5_000 + b"a = 1")
@example(b'"\\u001b[31m" = 1')
@example(b"[[site]]\nlatitude = 0x" + b"f" * 5_000)
def test_any_bytes_as_season_toml(content: bytes) -> None:
    load({"season.toml": content})


@given(st.lists(STATEMENTS, max_size=8).map("\n".join))
@example('site = {weather = "demo"}')
@example("[site.weather]\nlogger = 1\nsource = 'logger'")
@example("[[site]]\n[[site.weather]]\nsource = 'demo'")
def test_any_keys_in_season_toml(text: str) -> None:
    load({"season.toml": text})


@given(st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=12), VALUES)
def test_an_unknown_key_is_never_overlooked(key: str, value: str) -> None:
    if key not in ("units", "email", "report"):
        assert load({"season.toml": f'"{key}" = {value}\n{SEASON}'}) is None


@given(st.binary(max_size=200), st.sampled_from(["trees.csv", "journal.csv"]))
def test_any_bytes_as_csv(content: bytes, file: str) -> None:
    load({"season.toml": SEASON, file: content})


@given(st.lists(LINES, max_size=4).map("\n".join), st.sampled_from(["trees.csv", "journal.csv"]))
def test_any_rows_under_a_right_header(rows: str, file: str) -> None:
    header = TREES if file == "trees.csv" else JOURNAL
    load({"season.toml": SEASON, file: header + rows})


@given(
    st.lists(st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1).map(str.strip), max_size=5)
)
def test_no_tree_is_lost(names: list[str]) -> None:
    quoted = ['"' + name.replace('"', '""') + '"' for name in names]
    rows = "".join(f"t{number},hut,Larix,{name}\n" for number, name in enumerate(quoted))
    workspace = load({"season.toml": SEASON, "trees.csv": TREES + rows})
    assert workspace is not None
    assert [tree.name for tree in workspace.trees] == [" ".join(name.split()) for name in names]
