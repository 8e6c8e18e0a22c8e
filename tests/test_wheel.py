"""The wheel holds the whole package, with all that it reads, and nothing that lies beside it."""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

PROJECT = Path(__file__).parent.parent
PACKAGE = PROJECT / "season_engine"
BUILD = "import sys; from setuptools.build_meta import build_wheel; build_wheel(sys.argv[1])"
LEFT_BEHIND = shutil.ignore_patterns("__pycache__", ".*")


def test_every_file_of_the_package_is_in_the_wheel_and_no_other(tmp_path: Path) -> None:
    """Built from a copy, since a build leaves folders beside what it packs."""
    copy = tmp_path / "copy"
    shutil.copytree(PACKAGE, copy / PACKAGE.name, ignore=LEFT_BEHIND)
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(PROJECT / name, copy)
    wanted = {path.relative_to(copy).as_posix() for path in copy.rglob("*") if path.is_file()}
    wanted -= {"pyproject.toml", "README.md", "LICENSE"}
    for folder in ("report", "species/groups"):  # one of modules, one of tables
        compiled = copy / PACKAGE.name / folder / "__pycache__" / "left.cpython-311.pyc"
        compiled.parent.mkdir()
        compiled.touch()
    done = subprocess.run(
        [sys.executable, "-c", BUILD, str(tmp_path)], cwd=copy, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        names = {name for name in packed.namelist() if ".dist-info/" not in name}
    assert names == wanted
    assert {Path(name).suffix for name in names} >= {".css", ".html", ".mo", ".toml", ".ttf"}
