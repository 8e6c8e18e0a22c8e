"""What a shell offers after a key: jobs, sites, trees and species, read as quickly as can be.

Nothing is checked here and nothing is told: a file that can't be read offers nothing.
"""

from __future__ import annotations

import csv
import os
import re
import tomllib
from collections.abc import Iterable, Iterator
from importlib import resources
from pathlib import Path

import click

from season_engine.commands.own_fault import workspace_of
from season_engine.files.spelling import plain_name

VARIABLE = "_SEASON_ENGINE_COMPLETE"  # by which click is told of the shell that asks
_SPECIAL = re.compile(r"([^\w.,/@-])")


def jobs(_ctx: click.Context, _option: click.Parameter, begun: str) -> list[str]:
    """The jobs by their names."""
    text = resources.files("season_engine").joinpath("species/jobs.toml").read_text("utf-8")
    return _like(begun, tomllib.loads(text)["job"])


def sites(ctx: click.Context, _option: click.Parameter, begun: str) -> list[str]:
    """The sites of the workspace, or of the demo."""
    return _like(begun, _sites(ctx))


def trees(ctx: click.Context, _option: click.Parameter, begun: str) -> list[str]:
    """The trees of the workspace, or of the demo, by id and by name."""
    return _like(begun, _trees(ctx))


def species(ctx: click.Context, _option: click.Parameter, begun: str) -> list[str]:
    """The species by all of their names, with hyphens for spaces so that no quotes are needed."""
    return _like(begun, (name.replace(" ", "-") for name in _species(ctx)))


def trees_and_species(ctx: click.Context, option: click.Parameter, begun: str) -> list[str]:
    """Trees first."""
    return [*trees(ctx, option, begun), *species(ctx, option, begun)]


def _like(begun: str, names: Iterable[str]) -> list[str]:
    """The names that begin so, in any case and with spaces for hyphens."""
    found = [name for name in dict.fromkeys(names) if plain_name(name).startswith(plain_name(begun))]
    if os.environ.get(VARIABLE, "").startswith("bash"):  # the others put marks before spaces themselves
        return [_SPECIAL.sub(r"\\\1", name) for name in found]
    return found


def _folder(ctx: click.Context) -> Path:
    """Where the files lie that a command would read."""
    folder = Path(os.path.expanduser(workspace_of(ctx)))  # noqa: PTH111 - which never raises; no shell did it
    if os.path.lexists(folder / "season.toml"):
        return folder
    return Path(str(resources.files("season_engine") / "demo"))


def _settings(ctx: click.Context) -> dict[str, object]:
    try:
        return tomllib.loads((_folder(ctx) / "season.toml").read_text("utf-8-sig"))
    except (OSError, ValueError):
        return {}


def _sites(ctx: click.Context) -> Iterator[str]:
    found = _settings(ctx).get("site")
    for site in found if isinstance(found, list) else ():
        if isinstance(site, dict) and isinstance(name := site.get("name"), str):
            yield name


def _trees(ctx: click.Context) -> list[str]:
    try:
        text = (_folder(ctx) / "trees.csv").read_text("utf-8-sig").lstrip()
        head, _, body = text.partition("\n")
        rows = [
            *csv.DictReader(f"{head.casefold()}\n{body}".splitlines(), delimiter=max(",;\t", key=head.count))
        ]
    except (OSError, ValueError, csv.Error):
        return []
    return [name for key in ("id", "name") for row in rows if (name := (row.get(key) or "").strip())]


def _species(ctx: click.Context) -> list[str]:
    from season_engine.files.toml_lines import TomlText
    from season_engine.species.files import shipped, species_in

    texts = [*shipped("groups")]
    own = _settings(ctx).get("catalogue", ["catalogue.toml"])
    for name in own if isinstance(own, list) else ():
        try:
            texts.append(TomlText(str(name), (_folder(ctx) / str(name)).read_text("utf-8-sig")))
        except (OSError, ValueError):
            continue
    found: list[str] = []
    for text in texts:
        try:
            found += [one for name, others in species_in(text).items() for one in (name, *others)]
        except (ValueError, TypeError):
            continue
    return found
