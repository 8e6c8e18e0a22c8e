"""Which of several schools a grower follows."""

from __future__ import annotations

from dataclasses import dataclass

from season_engine.errors import GrowerError
from season_engine.files.toml_lines import TomlText


@dataclass(frozen=True, slots=True)
class School:
    """Where growers disagree over a job: the school this grower follows, for a group or a species."""

    job: str
    take: str
    group: str | None
    species: str | None
    place: int  # among the [[school]] of season.toml
    settings: TomlText  # where it was read

    def fault(self, problem: str, key: str, hint: str = "") -> GrowerError:
        """An error in what one of its keys says."""
        return self.settings.fault(problem, ("school", self.place, key), hint)
