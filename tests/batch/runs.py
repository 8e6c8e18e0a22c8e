"""Small batches for tests: made sites on disk, and a plan over them."""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import dataclass
from pathlib import Path

from season_engine.batch.asked import Asked
from season_engine.batch.run import Plan
from season_engine.batch.sites_file import read_batch_sites
from season_engine.batch.sources.chosen import source_at
from season_engine.batch.stamp import of_run
from tests.batch.made import MadeSite, made_sites, write_parquet, write_sites

DAY = dt.date(2026, 3, 20)
ASKED = Asked(("Ulmus parvifolia",), ("repotting",), DAY)
COMMAND = ("--species", "Ulmus parvifolia", "--jobs", "repotting", "--on", DAY.isoformat())


@dataclass(frozen=True)
class OnDisk:
    """Made sites and their files."""

    made: list[MadeSite]
    sites: Path
    weather: Path


def on_disk(folder: Path, count: int, *, years: int = 6) -> OnDisk:
    folder.mkdir(parents=True, exist_ok=True)
    made = made_sites(count, DAY, years=(years,))
    (folder / "weather").mkdir(exist_ok=True)
    write_parquet(folder / "weather" / "days.parquet", made)
    sites = write_sites(folder / "sites.csv", [one.site for one in made])
    return OnDisk(made, sites, folder / "weather")


def plan_of(files: OnDisk, *, block_sites: int = 4, asked: Asked = ASKED) -> Plan:
    source = source_at(str(files.weather))
    stamp = of_run(asked, block_sites, files.sites.read_bytes(), source.files(), "")
    return Plan(asked, source, read_batch_sites(files.sites), block_sites, stamp)


def digests(out: Path) -> dict[str, str]:
    """What each file of a run holds, hidden ones left out."""
    files = sorted(path for path in out.rglob("*") if path.is_file() and not path.name.startswith("."))
    return {str(path.relative_to(out)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}
