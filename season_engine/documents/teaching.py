"""What the grower's notes taught, and what an answer would teach, as JSON has it."""

from __future__ import annotations

from season_engine.documents.json_values import Document, date_text, finite
from season_engine.windows.assessment import LearntTrail
from season_engine.windows.looks import Look
from season_engine.workspace.journal_words import noted_stage, stage_name


def look_document(look: Look) -> Document:
    """A bud to look at."""
    return {
        "species": look.species,
        "common_name": look.common_name,
        "trees": list(look.trees),
        "marker": look.marker,
        "label": look.label,
        "bbch": look.bbch,
        "stage": stage_name(look.bbch, look.species),
        "chance": finite(look.chance),
        "narrows": [
            {
                "job": one.job,
                "window": one.window,
                "end": one.end,
                "before_days": finite(one.before_days),
                "after_days": finite(one.after_days),
            }
            for one in look.narrows
        ],
    }


def learnt_document(learnt: LearntTrail) -> Document:
    """The trail of the notes."""
    return {
        "shift_days": finite(learnt.shift_days),
        "notes": [
            {
                "date": note.date.isoformat(),
                "tree": note.tree,
                "said": noted_stage(note.sighting, note.bbch, learnt.species),
                "use": note.use,
                "age_years": note.age_years,
                "marker": note.marker,
                "rule": date_text(note.rule),
                "difference_days": finite(note.difference_days),
                "weight": finite(note.weight),
                "right": finite(note.right),
            }
            for note in learnt.notes
        ],
        "markers": [
            {
                "marker": one.marker,
                "days": finite(one.days),
                "sd_before_days": finite(one.sd_before_days),
                "sd_after_days": finite(one.sd_after_days),
            }
            for one in learnt.markers
        ],
    }
