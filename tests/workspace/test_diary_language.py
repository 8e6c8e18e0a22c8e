"""The files of words by which the journal is read are checked, and read only where a line needs them."""

from __future__ import annotations

from pathlib import Path

import pytest

from season_engine.errors import InputErrors
from season_engine.files.toml_lines import TomlText
from season_engine.species.nicknames import nicknames_in
from season_engine.tree import Tree
from season_engine.workspace.diary import tongue
from season_engine.workspace.diary.language import language_in, shipped
from season_engine.workspace.journal import read_journal
from season_engine.workspace.journal_details import details_of


def misspelt(old: str, new: str) -> TomlText:
    toml = shipped("english.toml")
    assert old in toml.text
    return TomlText(toml.file, toml.text.replace(old, new, 1))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("\nrepotting = [", "\nrepoting = ["),
        ('\n"cut back" = [', '\n"cut backwards" = ['),
        ("\nweak = [", "\nfeeble = ["),
        ("\nturns = [", "\nreturns = ["),
    ],
)
def test_a_meaning_that_there_is_not_is_a_fault(old: str, new: str) -> None:
    with pytest.raises(InputErrors):
        language_in(misspelt(old, new))


def test_a_nickname_of_two_kinds_is_a_fault() -> None:
    with pytest.raises(InputErrors, match="one kind only"):
        nicknames_in(TomlText("n", 'ordinary = []\n[nicknames]\npine = ["jbp"]\nlarch = ["jbp"]\n'))


def test_lines_with_their_facts_filled_in_need_no_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none_is_read(name: str) -> TomlText:
        raise AssertionError(name)

    monkeypatch.setattr(tongue, "shipped", none_is_read)
    tongue.tongues.cache_clear()
    details_of.cache_clear()
    path = tmp_path / "journal.csv"
    path.write_text("date,site,tree,job,note,facts\n2024-03-09,hut,t1,,looks weak,weak\n", "utf-8")
    trees = (Tree(id="t1", site="hut", species="Acer palmatum"),)
    try:
        (note,) = read_journal(path, ("hut",), trees)
    except InputErrors as wrong:
        pytest.fail(str(wrong))
    assert note.details.states == {"weak"}
    with pytest.raises(AssertionError, match=r"english\.toml"):
        details_of(None, "looks weak")
