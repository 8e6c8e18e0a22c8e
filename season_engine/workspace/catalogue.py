"""The catalogue as a grower's folder has it."""

from __future__ import annotations

from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.workspace.workspace import Workspace


def catalogue_of(workspace: Workspace) -> Catalogue:
    """The package's species, with the workspace's own files and schools over them."""
    return load_catalogue(workspace.own_species, workspace.schools)
