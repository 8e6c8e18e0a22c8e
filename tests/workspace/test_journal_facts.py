from __future__ import annotations

from dataclasses import fields, replace
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.errors import GrowerError
from season_engine.note import NO_DETAILS, Amount, Details, Off, Sign, State
from season_engine.pot import Pot
from season_engine.workspace.journal_facts import facts_text, read_facts
from season_engine.workspace.pots import pot_in

SITES = ("hilltop", "Lower; yard", "a  b")
ANY_TEXT = st.text(max_size=30)
TIDY = ANY_TEXT.map(lambda words: " ".join(words.replace(";", " ").split()))
SHARES = st.one_of(
    st.sampled_from([1 / 3, 2 / 3, 0.25, 0.3, 0.125, 1.0]), st.floats(1e-6, 1.0, allow_nan=False)
)
POTS = st.sampled_from(["", "grey oval", "60x40x12 cm", "30 l", "blue, 14 x 6 in", "2x2"])


def sets(kind: object) -> st.SearchStrategy[frozenset[str]]:
    return st.frozensets(st.sampled_from(get_args(kind)))


def details(words: st.SearchStrategy[str]) -> st.SearchStrategy[Details]:
    return st.builds(
        Details,
        amount=st.none() | st.sampled_from(get_args(Amount)),
        share=st.none() | SHARES,
        side=words,
        signs=sets(Sign),
        states=sets(State),
        off=sets(Off),
        pot=words,
        moved_to=st.sampled_from(("", "hilltop", "Lower; yard", "a  b")),
        season=st.sampled_from((None, "good", "bad")),
        went=st.sampled_from((None, "well", "badly")),
    )


@given(said=details(TIDY), pot=POTS | TIDY)
def test_what_is_written_is_read_as_it_was_meant(said: Details, pot: str) -> None:
    said = replace(said, pot=pot, pot_size=pot_in(pot))
    assert read_facts(facts_text(said), SITES) == said


@given(said=details(ANY_TEXT), size=st.none() | st.builds(Pot, st.floats(0.05, 1.0), st.floats(0.05, 0.5)))
def test_text_comes_back_whatever_words_are_in_it(said: Details, size: Pot | None) -> None:
    """A grower's semicolons and line breaks are lost, and nothing else."""
    text = facts_text(replace(said, pot_size=size))
    read = read_facts(text, SITES)
    assert facts_text(read) == text
    for field in fields(Details):
        if field.name not in ("side", "pot", "pot_size"):
            assert getattr(read, field.name) == getattr(said, field.name)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("none", NO_DETAILS),
        ("NONE", NO_DETAILS),
        ("amount heavy; share 1/3; side north", Details(amount="heavy", share=1 / 3, side="north")),
        ("Share 30%", Details(share=0.3)),
        ("share 33,5 %", Details(share=0.335)),
        ("drains slowly;weak ; ", Details(signs=frozenset({"drains slowly"}), states=frozenset({"weak"}))),
        (
            "arrived from the other hemisphere; arrived",
            Details(states=frozenset({"arrived", "arrived from the other hemisphere"})),
        ),
        ("wire off; cover off", Details(off=frozenset({"wire", "cover"}))),
        ("pot grey oval", Details(pot="grey oval")),
        ("pot 60x40x12 cm", Details(pot="60x40x12 cm", pot_size=Pot.of_box_cm(60, 40, 12))),
        ("pot blue, 30 litres", Details(pot="blue, 30 litres", pot_size=Pot.of_tree(30))),
        ("moved to HILLTOP", Details(moved_to="hilltop")),
        ("moved to lower;yard; well", Details(moved_to="Lower; yard", states=frozenset({"well"}))),
        ("good season; went badly", Details(season="good", went="badly")),
        ("side The Wall", Details(side="The Wall")),
    ],
)
def test_the_grammar(text: str, said: Details) -> None:
    assert read_facts(text, SITES) == said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("amount huge", '"amount huge" is no fact known here. Did you mean "amount'),
        ("weak; drains slow", '"drains slow" is no fact known here. Did you mean "drains slowly"?'),
        ("xyzzy", 'Known are "amount light"'),
        ("none; weak", '"none" is no fact'),
        ("share", '"share" is no fact'),
        ("share 4/3", '"share 4/3" is no part of a whole. Write it like share 1/3 or share 30%.'),
        ("share 1/0", "is no part of a whole"),
        ("share 0%", "is no part of a whole"),
        ("share much", "is no part of a whole"),
        ("share nan%", "is no part of a whole"),
        ("share 1e999999999%", "is no part of a whole"),
        ("moved to the moon", 'names no site of season.toml. The sites are "hilltop"'),
        ("amount light; amount heavy", '"amount heavy" says again'),
        ("good season; bad season", '"bad season" says again'),
        ("side north; side south", '"side south" says again'),
    ],
)
def test_a_part_that_is_not_understood_is_named_with_what_is_known(text: str, words: str) -> None:
    with pytest.raises(GrowerError) as caught:
        read_facts(text, SITES)
    assert words in f"{caught.value.problem} {caught.value.hint}"


@given(text=ANY_TEXT)
def test_any_text_is_read_or_refused_in_plain_words(text: str) -> None:
    try:
        read_facts(text, SITES)
    except GrowerError as refused:
        assert refused.hint
