"""A yard's notes, as its trees are judged: other kinds' notes, and each tree's own."""

from __future__ import annotations

import datetime as dt

from season_engine.note import Note
from season_engine.phenology.learning import Learnt
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.explain import explain
from season_engine.windows.judge import prospects_of
from season_engine.windows.noted import learnt_summary
from season_engine.words.learnt import learnt_lines, learnt_sentence
from tests.yards import NAGANO, view

ON = dt.date(2021, 2, 20)
VIEW = view(NAGANO, ON)
KINDS = load_catalogue()
MAPLE, PINE, TRIDENT, HORNBEAM = (
    KINDS.find(name)
    for name in ("Acer palmatum", "Pinus thunbergii", "Acer buergerianum", "Carpinus betulus")
)


def late(kind: str, tree: str, days: int, *years: int) -> list[Note]:
    """Buds swelling so many days after 20 March in some springs."""
    return [
        Note(dt.date(year, 3, 20) + dt.timedelta(days), NAGANO.name, tree, kind, 1, entered=None)
        for year in years
    ]


def learnt(kind, notes: list[Note], tree: str = "") -> Learnt:
    return prospects_of(VIEW, notes, KINDS.get)(kind, "medium", None, tree).learnt(0)


SPRINGS = range(2012, 2021)
OTHERS = [
    note for kind in (PINE, TRIDENT, HORNBEAM) for note in late(kind.name, f"{kind.name}-1", 16, *SPRINGS)
]


def test_other_kinds_that_run_late_move_a_kind_without_notes_and_say_so() -> None:
    found = learnt(MAPLE, OTHERS)
    assert found.notes == 0 and found.other_kinds == 3
    assert found.shift_days > 2
    assert learnt(MAPLE, OTHERS[:9]).shift_days < found.shift_days
    assert learnt_sentence(learnt_summary(found, MAPLE, MAPLE.windows[0])).startswith(
        "By your notes on other kinds it runs "
    )


def test_ones_own_notes_outweigh_those_of_other_kinds() -> None:
    own = late(MAPLE.name, "m1", 0, *SPRINGS)
    moved = learnt(MAPLE, [*own, *OTHERS]).shift_days - learnt(MAPLE, own).shift_days
    assert 0 < moved < 0.5 * learnt(MAPLE, OTHERS).shift_days


def test_a_tree_is_told_from_its_kind_by_its_own_notes() -> None:
    notes = [*late(MAPLE.name, "m1", -8, *SPRINGS), *late(MAPLE.name, "m2", 6, *SPRINGS)]
    early, kind, other, late_one = (learnt(MAPLE, notes, tree) for tree in ("m1", "", "m3", "m2"))
    assert early.shift_days < kind.shift_days < late_one.shift_days
    assert other == kind  # a tree without notes is as its kind
    assert early.tree_days < 0 < late_one.tree_days
    prospect = prospects_of(VIEW, [*notes, *OTHERS], KINDS.get)(MAPLE, "medium", None, "m1")
    lines = learnt_lines(explain(prospect, MAPLE.windows[0], 0).learnt, ON)
    assert any(line.startswith("By notes on other kinds your yard runs ") for line in lines)
    assert any(line.startswith("This tree runs ") and "earlier than its kind" in line for line in lines)


def test_what_was_seen_on_one_tree_this_season_is_not_said_of_one_that_was_looked_at_too() -> None:
    on = dt.date(2021, 3, 30)
    looked = [
        Note(on, NAGANO.name, "m1", MAPLE.name, 9),
        Note(on, NAGANO.name, "m2", MAPLE.name, 1, sighting="not-yet"),
    ]
    prospects = prospects_of(view(NAGANO, on), looked, KINDS.get)
    column = view(NAGANO, on).season(0).column(on)
    open_one, shut_one = (prospects(MAPLE, "medium", None, tree).dating(0) for tree in ("m1", "m2"))
    assert float(open_one.odds("buds_swelling").by(1.0)) <= column
    assert float(shut_one.odds("buds_swelling").by(0.0)) > column


def test_a_yard_whose_kinds_are_not_off_is_hardly_moved() -> None:
    """Notes on the very days of the rule."""
    past = prospects_of(VIEW, [], KINDS.get)
    on_time = []
    for kind, name in ((PINE, "candles_moving"), (TRIDENT, "buds_swelling"), (HORNBEAM, "buds_swelling")):
        dating = past(kind, "medium").past
        dated = dict(zip(dating.traces.labels.tolist(), dating.plain[name], strict=True))
        for year in range(2012, 2019):
            begins = NAGANO.season_on(dt.date(year, 12, 1)).first_trace_day
            day = begins + dt.timedelta(round(float(dated[year])))
            on_time.append(Note(day, NAGANO.name, "", kind.name, kind.markers[name].bbch))
    assert abs(learnt(MAPLE, on_time).shift_days) < 1
