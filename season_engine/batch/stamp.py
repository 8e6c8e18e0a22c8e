"""What a run rests on: two that differ in any of it never share a folder."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from importlib.metadata import version

from season_engine.batch.asked import Asked
from season_engine.errors import GrowerError
from season_engine.files.toml_lines import packaged
from season_engine.species.files import shipped

LIBRARIES = ("numpy", "numba", "pyarrow")  # that the bytes of a result may hang on
Stamp = Mapping[str, str]

# How each part is called where two runs differ in it.
CALLED = {
    "version": "the version of season_engine",
    "libraries": "the versions of numpy, numba and pyarrow",
    "catalogue": "the catalogue of species",
    "own_catalogue": "--catalogue",
    "on": "--on",
    "species": "--species",
    "jobs": "--jobs",
    "block_sites": "--block-sites",
    "sites": "sites.csv",
    "weather": "the files of --weather",
    "backtest": "--backtest with its options and events",
}


def of_program() -> Stamp:
    """What a worker answers for by itself."""
    libraries = " ".join(f"{name} {version(name)}" for name in LIBRARIES)
    return {"version": version("season_engine"), "libraries": libraries, "catalogue": _catalogue_digest()}


def of_run(asked: Asked, block_sites: int, sites: bytes, weather: Mapping[str, str], backtest: str) -> Stamp:
    """The whole stamp of a run; `weather` are its files with their sizes and times or tags."""
    files = "\n".join(f"{name}\t{stamp}" for name, stamp in sorted(weather.items()))
    own = {"own_catalogue": digest("\n".join(one.text for one in asked.own).encode())} if asked.own else {}
    return {
        **of_program(),
        **own,
        "on": asked.on.isoformat(),
        "species": ", ".join(asked.species),
        "jobs": ", ".join(asked.jobs),
        "block_sites": str(block_sites),
        "sites": digest(sites),
        "weather": f"{len(weather)} files, {digest(files.encode())}",
        "backtest": backtest,
    }


def digest(content: bytes) -> str:
    """Short and sure enough to tell one file from another."""
    return hashlib.sha256(content).hexdigest()[:16]


def refuse_other(mine: Stamp, other: Stamp, place: str) -> None:
    """Raise GrowerError, naming what differs, where a folder holds another run's blocks."""
    differing = [called for key, called in CALLED.items() if mine.get(key) != other.get(key)]
    if differing:
        raise GrowerError(
            f"This folder holds blocks of another run. What differs: {'; '.join(differing)}.",
            hint="Ask as that run did to go on with it, or name another folder with --out.",
            file=place,
        )


def refuse_other_program(stamp: Stamp) -> None:
    """Raise GrowerError where a worker's program isn't that of whoever began the run."""
    here = of_program()
    differing = [CALLED[key] for key in here if here[key] != stamp[key]]
    if differing:
        raise GrowerError(
            f"This worker has another program: {'; '.join(differing)} differ from where the run began.",
            hint="Install the same on every machine.",
        )


def as_text(stamp: Stamp) -> str:
    """As the run's file holds it."""
    return json.dumps(stamp, indent=1, sort_keys=True) + "\n"


def _catalogue_digest() -> str:
    texts = [f"{toml.file}\n{toml.text}" for folder in ("groups", "shared") for toml in shipped(folder)]
    return digest("\n".join([*texts, packaged("species/jobs.toml").text]).encode())
