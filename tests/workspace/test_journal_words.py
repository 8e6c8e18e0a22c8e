from __future__ import annotations

import datetime as dt

import pytest

from season_engine.errors import GrowerError
from season_engine.species.catalogue import load_catalogue
from season_engine.species.jobs import JOBS
from season_engine.species.names import KnownNames
from season_engine.tree import Tree
from season_engine.workspace.journal_words import (
    PINE_STAGE_WORDS,
    STAGE_WORDS,
    Understood,
    stage_words,
    understand,
)

SPECIES = {name: one.name for one in load_catalogue().species.values() for name in one.names}
KETTLE = Tree(id="p1", site="yard", species="black pine", name="Kettle")
RUST = Tree(id="m-1", site="yard", species="Japanese maple", name="The Rust")
TRIDENT = Tree(id="t1", site="yard", species="Acer buergerianum", name="First Light")
TWIN = Tree(id="t2", site="yard", species="Acer buergerianum", name="Twin")
OTHER_TWIN = Tree(id="t3", site="yard", species="Acer buergerianum", name="Twin")
LARCH = Tree(id="l1", site="yard", species="Japanese larch")
STRANGER = Tree(id="u1", site="yard", species="Kowhai")
NAMES = KnownNames(SPECIES, (KETTLE, RUST, TRIDENT, TWIN, OTHER_TWIN, LARCH, STRANGER))
ON = dt.date(2026, 12, 15)  # a Tuesday
MAPLE, PINE = "Acer palmatum", "Pinus thunbergii"


def jobs_of(species: str) -> tuple[str, ...] | None:
    known = load_catalogue().get(species)
    return known.jobs if known else None


def read_all(words: str, about: str | None = None, on: dt.date = ON) -> tuple[Understood, ...]:
    return understand(words, NAMES, about, jobs_of, on=on, sites=("yard", "hilltop"))


def read(words: str, about: str | None = None) -> Understood:
    (said,) = read_all(words, about)
    return said


def refusal(words: str, about: str | None = None) -> str:
    with pytest.raises(GrowerError) as caught:
        read(words, about)
    return str(caught.value)


# Codes that the catalogue's own markers carry, so that a note moves the date it is about.
@pytest.mark.parametrize(
    ("words", "species", "bbch"),
    [
        ("trident open", "Acer buergerianum", 11),
        ("buds swelling on the trident", "Acer buergerianum", 1),
        ("The tridents are swollen.", "Acer buergerianum", 3),
        ("Trident maple: buds breaking", "Acer buergerianum", 7),
        ("japanese-maple GREEN TIPS", MAPLE, 9),
        ("bbch 07 on the japanese maple", MAPLE, 7),
        ("Acer palmatum, leaf colour", MAPLE, 92),
        ("leaves down on Acer palmatum", MAPLE, 97),
        ("pine resting", PINE, 0),
        ("the candles of the black pine begin to move", PINE, 1),
        ("the leaves are open on Acer palmatum", MAPLE, 11),
        ("the trident is in flower", "Acer buergerianum", 61),
        ("black pine, candles begin to move; one of them", PINE, 1),
        ("pine moving", PINE, 1),
        ("candles moving on the pine", PINE, 1),
        ("pine candles long", PINE, 7),
        ("needles showing, black pine", PINE, 10),
        ("pine open", PINE, 15),
        ("pine hard", PINE, 91),
        ("larch open", "Larix kaempferi", 11),  # the grower's own, though "larch" is another's whole name
        ("European larch open", "Larix decidua", 11),
        ("spruce caps off on the norway", "Picea abies", 9),  # nobody's tree here
        ("flowering apricot flowering", "Prunus mume", 61),
        ("apricot flowering", "Prunus mume", 61),
        ("petals off the satsuki", "Rhododendron indicum", 69),
        ("buds on the trident open", "Acer buergerianum", 7),  # not "open", which means its leaves
        ("satsuki petals off", "Rhododendron indicum", 69),
        ("kowhai first flowers", "Kowhai", 61),
        ("tea tree moving", "Leptospermum scoparium", 1),
    ],
)
def test_species_and_stage(words: str, species: str, bbch: int) -> None:
    said = read(words)
    kept = NAMES.trees_of(species)
    assert (said.species, said.bbch, said.note) == (species, bbch, words)
    assert said.tree == (kept[0] if len(kept) == 1 else None)


@pytest.mark.parametrize(
    ("stages", "about", "tree"), [(STAGE_WORDS, MAPLE, RUST), (PINE_STAGE_WORDS, PINE, KETTLE)]
)
def test_every_stage_of_the_tables_is_understood(
    stages: dict[int, tuple[str, ...]], about: str, tree: Tree
) -> None:
    for bbch, phrases in stages.items():
        for words in phrases:
            assert read(words, about) == Understood(words, bbch=bbch), words
            assert read(f"the {tree.id} {words}") == Understood(f"the {tree.id} {words}", tree, about, bbch)


def test_every_stage_the_catalogue_waits_for_can_be_said() -> None:
    staged = {marker.bbch for one in load_catalogue().species.values() for marker in one.markers.values()}
    assert staged - {None} <= set(STAGE_WORDS)


@pytest.mark.parametrize("job", JOBS)
def test_every_job_by_its_name_and_what_it_is_called_when_done(job: str) -> None:
    meant = "structural-pruning" if job == "cut-back" else job  # on a pine of two flushes
    tree = RUST if job == "pinching" else KETTLE  # "pinched" on a pine may be of its candles
    for words in (job, *JOBS[job].noted_as):
        said = read(f"{words} {tree.name or tree.id}")
        assert (said.job, said.tree, said.bbch) == (meant, tree, None), words
    assert job == meant or read("cut back the Scots pine").job == job


@pytest.mark.parametrize(
    ("words", "tree"),
    [
        ("repotted Kettle", KETTLE),
        ("Kettle, the black pine, repotted", KETTLE),
        ("wired P1 today", KETTLE),
        ("the maple m-1 repotted", RUST),  # two maples, one of that id
        ("pruned m-1", RUST),
        ("pruned rust", RUST),
        ("repotted First Light", TRIDENT),  # not "first" of "first flowers"
        ("fed t2", TWIN),
        ("collected u1", STRANGER),
    ],
)
def test_trees_by_name_and_id(words: str, tree: Tree) -> None:
    said = read(words)
    assert said.tree == tree
    assert said.species in (PINE, MAPLE, "Acer buergerianum", "Kowhai")


@pytest.mark.parametrize(
    ("words", "note", "bbch"),
    [
        ("not yet", "not yet", None),
        ("Not yet open", "Not yet open", 11),
        ("trident not yet open", "not yet: trident not yet open", 11),
        ("no green tips yet", "not yet: no green tips yet", 9),
        ("leaves aren't open yet; cold", "not yet: leaves aren't open yet; cold", 11),
    ],
)
def test_not_yet(words: str, note: str, bbch: int | None) -> None:
    said = read(words, MAPLE)
    assert (said.not_yet, said.note, said.bbch) == (True, note, bbch)


def test_a_remark_is_kept_and_read_as_nothing_else() -> None:
    words = "trident open; not yet on the north side, repotted Kettle?"
    assert read(words) == Understood(words, None, "Acer buergerianum", 11)


@pytest.mark.parametrize(
    ("words", "asks"),
    [
        ("maple open", 'could be "Japanese maple" (m-1) or "trident maple" (t1, t2, t3)'),
        ("twin open", 'by id: "t2" or "t3"'),
        ("pruned the flowering cherry", '"structural-pruning" or "after-bloom-pruning". Say which.'),
        ("already repotted Kettle", "Which day?"),
        ("repotted Kettle last month", "Which day?"),
        ("trident almost open", ""),
        ("trident not open", ""),
        ("trident open?", ""),
        ("not yet repotted Kettle", ""),
        ("Kettle", ""),
        ("repot Kettle", ""),
        ("already on the trident", ""),
        ("renewed p1", ""),
    ],
)
def test_what_is_not_plain_is_kept_as_a_note(words: str, asks: str) -> None:
    said = read(words)
    assert said.plain
    assert asks in said.asks


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("spruce open", 'could be "Engelmann spruce", "Ezo spruce"'),
        ("kettl swelling", 'Did you mean "kettle"?'),
        ("hm", "names no tree"),
        ("", "names no tree"),
    ],
)
def test_only_what_names_nothing_is_refused(words: str, said: str) -> None:
    assert said in refusal(words)


@pytest.mark.parametrize(
    ("words", "notes"),
    [
        ("repotted Kettle and m-1", {("p1", "repotting"), ("m-1", "repotting")}),
        ("repotted and wired Kettle", {("p1", "repotting"), ("p1", "wiring")}),
        ("wired Kettle, fed m-1", {("p1", "wiring"), ("m-1", "feeding")}),
        (
            "renewed half the roots of p1 and pruned it",
            {("p1", "sectional-repotting"), ("p1", "structural-pruning")},
        ),
    ],
)
def test_a_line_gives_several_notes(words: str, notes: set[tuple[str, str]]) -> None:
    assert {(one.tree.id if one.tree else "", one.job) for one in read_all(words)} == notes


@pytest.mark.parametrize(
    ("words", "date"),
    [
        ("repotted Kettle yesterday", dt.date(2026, 12, 14)),
        ("three days ago fed Kettle", dt.date(2026, 12, 12)),
        ("fed Kettle on Friday", dt.date(2026, 12, 11)),
        ("gestern Kettle umgetopft", dt.date(2026, 12, 14)),
        ("fed Kettle today", None),
    ],
)
def test_a_day_that_is_told_moves_the_date(words: str, date: dt.date | None) -> None:
    assert read(words).date == date


def test_a_stage_is_told_back_in_words_that_are_understood() -> None:
    assert stage_words(1, MAPLE) == "buds swelling (BBCH 01)"
    assert stage_words(1, PINE) == "candles moving (BBCH 01)"
    assert stage_words(5) == "BBCH 05"


@pytest.mark.parametrize(
    ("name", "species"),
    [("black pine", PINE), ("trident", "Acer buergerianum"), ("ACER PALMATUM", MAPLE), ("kowhai", "Kowhai")],
)
def test_a_species_as_an_option(name: str, species: str) -> None:
    assert NAMES.species_called(name) == species


@pytest.mark.parametrize(
    ("name", "said"), [("blak pine", 'Did you mean "black pine"?'), ("", "no species"), ("maple", "could be")]
)
def test_an_unknown_species_as_an_option(name: str, said: str) -> None:
    with pytest.raises(GrowerError, match=said.replace("?", r"\?")):
        NAMES.species_called(name)


def test_already_says_that_it_came_on_some_day_before() -> None:
    said = read("candles are already moving on Kettle")
    assert (said.tree, said.bbch, said.not_yet) == (KETTLE, 1, False)
    assert said.note.startswith("already: ")
    assert read("already swelling on the trident").note == "already swelling on the trident"


@pytest.mark.parametrize(
    "words",
    [
        "repotted p1; a third of the root ball",
        "repotted p1, a third of the root ball",
        "Repotted p1; First third, on the north side",
        "repotted p1; one side only",
        "repotted p1, one side only",
        "repotted p1; just a third",
        "repotted p1; 1/4 of the rootball",
        "repotted a third of p1",
        "repotted one quarter of Kettle's root ball",
        "half repotted p1",
        "repotted p1 (second half)",
        "repotted a section of p1",
        "sectional repotting of p1",
        "renewed half the roots of p1",
        "p1: a third of the root ball renewed",
    ],
)
def test_a_part_of_the_root_ball_is_a_sectional_repotting(words: str) -> None:
    assert (read(words).tree, read(words).job) == (KETTLE, "sectional-repotting")


@pytest.mark.parametrize(
    "words", ["slip potted p1", "repotted p1; slip potted only", "repotted p1 without root work",
        "repotted p1, no root work", "slip-potted p1; a third of the root ball was loose"]
)  # fmt: skip
def test_a_repotting_without_root_work_is_a_slip_potting(words: str) -> None:
    assert read(words) == Understood(words, KETTLE, PINE, job="slip-potting")


@pytest.mark.parametrize(
    "words",
    [
        "repotted p1; half the old soil, into the grey oval",
        "repotted p1; cut off a third of the roots",
        "repotted p1; not only a third of the root ball",
        "repotted p1; the whole root ball",
        "repotted p1; moved to the side of the third bench",
        "repotted p1; first half of a long day",
    ],
)
def test_other_remarks_leave_a_repotting_what_it_is(words: str) -> None:
    assert (read(words).tree, read(words).job) == (KETTLE, "repotting")


@pytest.mark.parametrize(
    ("words", "job"),
    [
        ("thinned the Monterey pine", "structural-pruning"),
        ("thinning done on the Monterey pine", "structural-pruning"),
        ("thinned half of the branches on Kettle", "structural-pruning"),
        ("pruned Kettle hard", "structural-pruning"),
        ("lightly thinned Kettle, a quarter of the crown taken off", "structural-pruning"),
        ("pruning of the tridents done", "structural-pruning"),
        ("cut back the tridents", "structural-pruning"),
        ("cut back the Scots pine", "cut-back"),
        ("the apricot pruned after bloom", "after-bloom-pruning"),
        ("plucked needles on Kettle", "needle-work"),
        ("needle plucking, Kettle", "needle-work"),
        ("thinned the needles on Kettle", "needle-work"),
        ("thinned the buds on Kettle", "bud-thinning"),
        ("candles cut on Kettle", "decandling"),
    ],
)
def test_plain_words_go_to_the_job_they_mean(words: str, job: str | None) -> None:
    if job is None:
        assert "is no" in refusal(words)
    else:
        assert read(words).job == job
