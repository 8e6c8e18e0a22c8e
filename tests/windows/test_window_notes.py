"""What a species notes of itself, and with which jobs it is told."""

from __future__ import annotations

from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.species.jobs import JOBS
from season_engine.windows.window_notes import Noted, window_notes

OWN = """\
[species."Pinus radiata"]
root_note = "No lime, and not below {3 degC}."
"""


def told(name: str, catalogue: Catalogue | None = None) -> dict[str, set[str]]:
    """What is noted with each job of a species."""
    kind = (catalogue or load_catalogue()).find(name)
    texts: dict[str, set[str]] = {}
    for window in kind.windows:
        notes = {note.text.template for note in window_notes(kind, window) if isinstance(note, Noted)}
        texts.setdefault(window.job, set()).update(notes)
    return texts


def test_what_is_about_roots_alone_is_told_with_work_on_roots() -> None:
    """Monterey pine: never bare-root (common practice, no source), which is no caution for candles."""
    notes = told("Pinus radiata")
    with_roots = {job for job, texts in notes.items() if "Never bare-root." in texts}
    assert with_roots == {"repotting", "sectional-repotting", "slip-potting", "collecting"}
    assert "decandling" in notes and "winter-tidy" in notes
    assert all(any("candles move in midwinter" in text for text in texts) for texts in notes.values())


def test_of_all_species() -> None:
    for kind in load_catalogue().species.values():
        for job, texts in told(kind.name).items():
            assert not kind.root_note or (kind.root_note.template in texts) == JOBS[job].out_of_pot
            assert not kind.note or kind.note.template in texts


def test_a_grower_s_own_note_of_roots_stands_in_place_of_ours() -> None:
    notes = told("Pinus radiata", Catalogue((TomlText("catalogue.toml", OWN),)))
    assert "No lime, and not below {degrees}." in notes["repotting"]
    assert "Never bare-root." not in notes["repotting"]
    assert "No lime, and not below {degrees}." not in notes["decandling"]
