from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from season_engine.errors import GrowerError, InputErrors
from season_engine.site import Hemisphere
from season_engine.tree import Tree, tree_as_of
from season_engine.workspace.trees import read_trees

HEADER = "id,name,site,species,size,origin,last_repotted,vigour,shelter,notes\n"
SITES: dict[str, Hemisphere] = {"ridge": "north", "hut": "south"}


def read(folder: Path, text: str) -> tuple[Tree, ...]:
    path = folder / "trees.csv"
    path.write_text(text, "utf-8", newline="")
    return read_trees(path, SITES)


def faults(folder: Path, text: str) -> list[tuple[int | None, str | None, str]]:
    with pytest.raises(InputErrors) as caught:
        read(folder, text)
    assert all(error.file == str(folder / "trees.csv") for error in caught.value.errors)
    return [
        (error.line, error.field, f"{error.problem} {error.hint}".strip()) for error in caught.value.errors
    ]


def test_a_whole_line(tmp_path: Path) -> None:
    line = 't1,Old One,ridge,Pinus thunbergii,Large,collected,2023-03-15,weak,yes,"needs ""care"", always"\n'
    assert read(tmp_path, HEADER + line) == (
        Tree(
            id="t1",
            name="Old One",
            site="ridge",
            species="Pinus thunbergii",
            size="large",
            origin="collected",
            last_repotted=dt.date(2023, 3, 15),
            vigour="weak",
            shelter=True,
            notes='needs "care", always',
            line=2,
        ),
    )


def test_only_id_species_and_site_are_needed(tmp_path: Path) -> None:
    (tree,) = read(tmp_path, "species,id,site\nAcer palmatum,a,HUT\n")
    assert tree == Tree(id="a", site="hut", species="Acer palmatum", line=2)
    assert (tree.size, tree.vigour, tree.shelter, tree.origin, tree.last_repotted) == (
        "medium",
        "normal",
        None,
        None,
        None,
    )


def test_a_header_alone_is_no_trees(tmp_path: Path) -> None:
    assert read(tmp_path, HEADER) == ()


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("2023-03-15", (2023, 3, 15)), ("2023-03", (2023, 3, 1)), ("2023", (2023, 1, 1)), ("", None)],
)
def test_a_month_or_year_alone_counts_as_its_first_day(
    tmp_path: Path, typed: str, meant: tuple[int, int, int] | None
) -> None:
    (tree,) = read(tmp_path, f"id,species,site,last_repotted\na,Larix,hut,{typed}\n")
    assert tree.last_repotted == (dt.date(*meant) if meant else None)


@pytest.mark.parametrize(
    "text", ["id,species\na,Larix\n", "id,site,species\na,,Larix\n", "id,site,species\na,HUT,Larix\n"]
)
def test_where_there_is_one_site_it_goes_without_saying(tmp_path: Path, text: str) -> None:
    path = tmp_path / "trees.csv"
    path.write_text(text, "utf-8")
    assert read_trees(path, {"hut": "south"}) == (Tree(id="a", site="hut", species="Larix", line=2),)
    path.write_text("id,site,species\na,ridge,Larix\n", "utf-8")
    with pytest.raises(InputErrors, match='There is no site "ridge"'):
        read_trees(path, {"hut": "south"})


@pytest.mark.parametrize("delimiter", [";", "\t", ","])
@pytest.mark.parametrize("start", ["", "\ufeff", "\n\n"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_spreadsheet_habits_are_read(tmp_path: Path, delimiter: str, start: str, ending: str) -> None:
    lines = [
        "ID,Species,Site,Last repotted,,",
        "a,Acer palmatum,hut,2023,,",
        ",,,,,",
        "b, Larix decidua ,ridge",
    ]
    text = start + ending.join(lines).replace(",", delimiter)
    trees = read(tmp_path, text)
    assert [(tree.id, tree.species, tree.site) for tree in trees] == [
        ("a", "Acer palmatum", "hut"),
        ("b", "Larix decidua", "ridge"),
    ]
    first = 2 + start.count("\n")
    assert [tree.line for tree in trees] == [first, first + 2]


@pytest.mark.parametrize(
    ("line", "field", "words"),
    [
        (",,ridge,Larix", "id", "id is empty."),
        ("a,,,Larix", "site", "site is empty."),
        ("a,,ridge,", "species", "species is empty."),
        ("a,,rigde,Larix", "site", 'There is no site "rigde". Did you mean "ridge"?'),
        ("a,,valley-bottom,Larix", "site", 'Known: "ridge" and "hut".'),
        ("a,,hut,Larix,huge", "size", 'size must be "small", "medium" or "large"; got "huge".'),
        ("a,,hut,Larix,smal", "size", 'Did you mean "small"?'),
        ("a,,hut,Larix,,colected", "origin", 'Did you mean "collected"?'),
        ("a,,hut,Larix,,,15/03/2023", "last_repotted", "Write it like 2023-03-15, 2023-03 or 2023."),
        ("a,,hut,Larix,,,2023-02-30", "last_repotted", 'a day that does not exist: "2023-02-30"'),
        ("a,,hut,Larix,,,2023-13", "last_repotted", 'a day that does not exist: "2023-13"'),
        ("a,,hut,Larix,,,0203-03-15", "last_repotted", "between the years 1850 and 2199; got 203"),
        ("a,,hut,Larix,,,20230315", "last_repotted", 'must be a date; got "20230315"'),
        ("a,,hut,Larix,,,٢٠٢٣", "last_repotted", "must be a date"),
        ("a,,hut,Larix,,,,poor", "vigour", '"strong", "normal" or "weak"; got "poor"'),
        ("a,,hut,Larix,,,,,maybe", "shelter", '"yes" or "no"; got "maybe"'),
        ("a,b\x00c,hut,Larix", "name", "control character"),
        ("a,,hut,Larix,,,,,,well, watered", None, "has 11 values for 10 columns"),
        ('a,"b" c,hut,Larix', None, "quotes"),
        ('a,"b,hut,Larix', None, "quotes"),
        ("a," + "b" * 140_000 + ",hut,Larix", None, "length"),
    ],
)
def test_a_fault_is_named_with_line_and_field(
    tmp_path: Path, line: str, field: str | None, words: str
) -> None:
    (found,) = faults(tmp_path, f"{HEADER}ok,,ridge,Larix\n{line}\n")
    assert found[:2] == (3, field)
    assert words in found[2]


@pytest.mark.parametrize(
    ("text", "line", "field", "words"),
    [
        ("", 1, None, "The header line is missing. Start the file with: id,name,site"),
        (",,\n", 1, None, "The header line is missing."),
        ("id,species,site,colour\n", 1, "colour", '"colour" is not a known column. Known columns: id, name'),
        ("id,species,site,last_reported\n", 1, "last_reported", 'Did you mean "last_repotted"?'),
        ("id,species,site,size,size\n", 1, "size", 'The column "size" is there 2 times.'),
        ("\nid,species\n", 2, "site", 'The column "site" is missing.'),
    ],
)
def test_a_fault_of_the_header(tmp_path: Path, text: str, line: int, field: str | None, words: str) -> None:
    (found,) = faults(tmp_path, text)
    assert found[:2] == (line, field)
    assert words in found[2]


def test_an_id_is_used_once_whatever_its_case(tmp_path: Path) -> None:
    (found,) = faults(tmp_path, "id,species,site\nt1,Larix,hut\nt2,Larix,hut\nT1,Larix,hut\n")
    assert found == (4, "id", 'The id "T1" is taken by line 2 already.')


def test_all_faults_are_told_at_once_with_their_first_lines(tmp_path: Path) -> None:
    text = HEADER + 'a,"two\nlines",hut,Larix\nb,,nowhere,,big\nc,"x\ny\nz",hut,Larix,,,soon\n'
    assert [found[:2] for found in faults(tmp_path, text)] == [
        (4, "site"),
        (4, "species"),
        (4, "size"),
        (5, "last_repotted"),
    ]


def test_broken_quotes_end_the_reading_but_hide_no_earlier_fault(tmp_path: Path) -> None:
    text = HEADER + 'a,,nowhere,Larix\nb,"x,hut,Larix\nc,,hut,\n'
    assert [found[:2] for found in faults(tmp_path, text)] == [(2, "site"), (3, None)]


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", "../../etc/passwd", "=1+1", 'a "b"', "Ünïcode 松"]
)
def test_odd_texts_are_only_texts(tmp_path: Path, name: str) -> None:
    quoted = '"' + name.replace('"', '""') + '"'
    (tree,) = read(tmp_path, f"id,name,species,site,notes\n{quoted},{quoted},{quoted},hut,{quoted}\n")
    assert (tree.id, tree.name, tree.species, tree.notes) == (name, name, name, name)


def test_a_line_break_in_a_name_becomes_a_space_and_stays_in_notes(tmp_path: Path) -> None:
    (tree,) = read(tmp_path, 'id,name,species,site,notes\na,"two\r\nlines",Larix,hut,"one\n\ntwo"\n')
    assert (tree.name, tree.notes) == ("two lines", "one\n\ntwo")


def test_what_is_not_text(tmp_path: Path) -> None:
    path = tmp_path / "trees.csv"
    path.write_bytes(b"id,species,site\na,Larix,h\xfct\n")
    with pytest.raises(GrowerError, match="CSV UTF-8") as caught:
        read_trees(path, SITES)
    assert caught.value.line == 2


def test_the_other_columns(tmp_path: Path) -> None:
    header = "id,species,site,stage,arrived,arrived_from,collected,root_parts,bench,dead\n"
    (tree,) = read(tmp_path, header + "a,Larix,hut,Refined,2019-05,Osaka,2017,3, by the  wall ,2024-02-03\n")
    assert tree == Tree(
        id="a",
        site="hut",
        species="Larix",
        line=2,
        stage="refined",
        arrived=dt.date(2019, 5, 1),
        arrived_from="Osaka",
        collected=dt.date(2017, 1, 1),
        root_parts=3,
        bench="by the wall",
        dead=dt.date(2024, 2, 3),
    )


@pytest.mark.parametrize(
    ("site", "words", "other"),
    [("ridge", "Chile", True), ("hut", "Chile", False), ("hut", "47.5", True), ("ridge", "a friend", False)],
)
def test_it_came_from_the_other_hemisphere_as_its_site_sees_it(
    tmp_path: Path, site: str, words: str, other: bool
) -> None:
    (tree,) = read(tmp_path, f"id,species,site,arrived_from\na,Larix,{site},{words}\n")
    assert (tree.arrived_from, tree.other_hemisphere) == (words, other)


@pytest.mark.parametrize(
    ("column", "typed", "words"),
    [
        ("stage", "ancient", 'stage must be "young", "training", "refined" or "old"'),
        ("root_parts", "5", 'root_parts must be "2", "3" or "4"; got "5".'),
        ("root_parts", "thirds", 'root_parts must be "2", "3" or "4"'),
        ("arrived", "May 2019", "arrived must be a date"),
        ("collected", "2019-13", "does not exist"),
        ("dead", "yes", "dead must be a date"),
    ],
)
def test_faults_of_the_other_columns(tmp_path: Path, column: str, typed: str, words: str) -> None:
    (found,) = faults(tmp_path, f"id,species,site,{column}\na,Larix,hut,{typed}\n")
    assert found[:2] == (2, column)
    assert words in found[2]


@pytest.mark.parametrize("text", ["id,species\na,Larix\n", "id,site,species\na,,Larix\n"])
def test_the_only_site_goes_without_saying(tmp_path: Path, text: str) -> None:
    (tmp_path / "trees.csv").write_text(text, "utf-8")
    assert read_trees(tmp_path / "trees.csv", {"ridge": "north"})[0].site == "ridge"


def test_what_is_dated_later_has_not_happened_yet() -> None:
    tree = Tree(
        *("a", "hut", "Larix"),
        arrived=dt.date(2024, 3, 10),
        arrived_from="Chile",
        other_hemisphere=True,
        collected=dt.date(2024, 3, 8),
        dead=dt.date(2024, 3, 12),
    )
    then = tree_as_of(tree, dt.date(2024, 3, 9))
    assert then == Tree("a", "hut", "Larix", collected=dt.date(2024, 3, 8))
    assert tree_as_of(tree, dt.date(2024, 3, 12)) == tree


def test_a_later_repotting_has_not_happened_yet() -> None:
    tree = Tree(id="a", site="hut", species="Larix", last_repotted=dt.date(2024, 3, 10))
    assert tree_as_of(tree, dt.date(2024, 3, 9)).last_repotted is None
    assert tree_as_of(tree, dt.date(2024, 3, 10)) == tree


@pytest.mark.parametrize(
    ("column", "typed", "litres", "size"),
    [
        ("pot_l", "12.5", 12.5, "medium"),
        ("pot_l", "0,8", 0.8, "small"),
        ("pot", "30 l", 30.0, "large"),
        ("pot", "3 litres", 3.0, "small"),
        ("pot", "60x40x12 cm", 28.8, "large"),
        ("pot", "60 \N{MULTIPLICATION SIGN} 40 X 12", 28.8, "large"),
        ("pot", "30x15cm", 10.6, "medium"),
        ("pot", "12x6 in", 11.1, "medium"),
        ("pot", "", None, "medium"),
    ],
)
def test_a_pot_is_litres_or_its_sides_and_tells_the_size(tmp_path: Path, column, typed, litres, size) -> None:
    """By hand: 6 * 4 * 1.2 = 28.8; pi / 4 * 3^2 * 1.5 = 10.6; 12 in are 30.5 cm."""
    (tree,) = read(tmp_path, f'id,species,site,{column}\na,Larix,hut,"{typed}"\n')
    assert (tree.pot and tree.pot.litres) == (litres and pytest.approx(litres, abs=0.05))
    assert tree.size == size
    (told,) = read(tmp_path, f'id,species,site,size,{column}\na,Larix,hut,large,"{typed}"\n')
    assert told.size == "large" and told.pot == tree.pot


def test_a_pot_of_sides_is_as_deep_as_it_is_told(tmp_path: Path) -> None:
    (flat,) = read(tmp_path, "id,species,site,pot\na,Larix,hut,60x40x12 cm\n")
    (deep,) = read(tmp_path, "id,species,site,pot_l\na,Larix,hut,28.8\n")
    assert flat.pot.depth_m == 0.12 < deep.pot.depth_m
    assert flat.pot.diameter_m == pytest.approx(0.553, abs=0.001)  # of 2400 square centimetres


@pytest.mark.parametrize(
    ("column", "typed", "words"),
    [
        ("pot_l", "large", 'pot_l must be a number of litres; got "large".'),
        ("pot_l", "nan", "must be a number of litres"),
        ("pot_l", "0", "a pot holds from 0.05 to 500 litres here, not 0."),
        ("pot_l", "-3", "not -3."),
        ("pot_l", "1e9", "not 1e+09."),
        ("pot", "60x40x12 mm", 'pot is no measure of a pot: "60x40x12 mm".'),
        ("pot", "60", "like 60x40x12 cm"),
        ("pot", "600x400x120 cm", "not 2.88e+04."),
        ("pot", "60x-40x12", "no measure"),
        ("pot", "x l", "must be a number of litres"),
    ],
)
def test_what_is_no_pot_is_told(tmp_path: Path, column: str, typed: str, words: str) -> None:
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, f"id,species,site,{column}\na,Larix,hut,{typed}\n")
    (fault,) = caught.value.errors
    assert (fault.line, fault.field) == (2, column) and words in str(fault)


def test_a_pot_told_twice_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(InputErrors, match="both say how large the pot is"):
        read(tmp_path, "id,species,site,pot_l,pot\na,Larix,hut,3,30x15 cm\n")
