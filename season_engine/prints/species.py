"""Species and jobs by themselves: lists of them, and one species with its windows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from operator import attrgetter

from season_engine.prints.layout import wrapped
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.windows.usual_dates import SpeciesTold, WindowTold
from season_engine.words.notices import INVENTED
from season_engine.words.prose import capital
from season_engine.words.species import (
    JOBS_NOTE,
    job_line,
    kind_sentences,
    names_line,
    own_sentences,
    rests_on,
    window_sentences,
)
from season_engine.words.speech import said

_HEADINGS = {
    "bench": "Work on the bench",
    "round": "Small care that comes again",
    "new": "New trees",
}


def groups_text(species: Iterable[Species]) -> str:
    """Species by their groups, each by its botanical and its first common name."""
    lines = []
    for group, kinds in groupby(sorted(species, key=attrgetter("group", "name")), key=attrgetter("group")):
        told = ", ".join(f"{kind.name} ({kind.common[0]})" for kind in kinds)
        lines += [capital(group), *wrapped(told)]
    hint = "Name one for its jobs, such as: season-engine species larch"
    return "\n".join([*lines, "", hint]) + "\n"


def several_text(species: Iterable[Species]) -> str:
    """Those that a word may mean, each with all of its names."""
    lines = [line for one in species for line in wrapped(names_line(one), "", "  ")]
    return "\n".join([*lines, "", "Name one for its jobs."]) + "\n"


def species_text(told: Iterable[SpeciesTold], *, invented: bool) -> str:
    """All that is known of each, one after the other."""
    notice = [*wrapped(said(INVENTED), ""), ""] if invented else []
    return "\n".join([*notice, *"\n\n".join("\n".join(_species(one)) for one in told).splitlines()]) + "\n"


def _species(told: SpeciesTold) -> Iterator[str]:
    yield from wrapped(names_line(told.species), "", "  ")
    for text in kind_sentences(told):
        yield from wrapped(text, "")
    for job, windows in groupby(sorted(told.windows, key=_place), key=attrgetter("job")):
        yield from ("", job)
        for window in windows:
            yield from _window(window)
    yield ""
    for text in (rests_on(told.species), *own_sentences(told.own)):
        yield from wrapped(text, "")


def _place(told: WindowTold) -> int:
    return list(JOBS).index(told.job)


def _window(told: WindowTold) -> Iterator[str]:
    school = f" ({told.window.school})" if told.window.school else ""
    yield from wrapped(f"{told.name}{school}: {window_sentences(told)}", "  - ", "    ")


def jobs_text() -> str:
    """Every job in a line, in the order of a bench."""
    lines: list[str] = []
    width = max(map(len, JOBS)) + 2
    for key, heading in _HEADINGS.items():
        lines += [*([""] if lines else []), heading]
        for name, job in JOBS.items():
            if key == ("new" if job.new_tree else job.rank):
                lines += wrapped(job_line(name, job), f"  {name:<{width}}", " " * (width + 2))
    return "\n".join([*lines, "", *wrapped(JOBS_NOTE, "")]) + "\n"
