"""Time a whole `check` on fifty years of a station: ``python -m tests.benchmarks.bench_check``."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from statistics import median

from tests.benchmarks.markdown import markdown_table, show
from tests.workspaces import make_workspace

ROUNDS = 7
CHECK = ("check", "repotting", "--species", "Pinus thunbergii", "--on", "2024-03-10")
START = "from season_engine.cli import main; main()"
IMPORT = re.compile(r"import time:\s+(\d+) \|\s+\d+ \| +(\S+)")


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        workspace = make_workspace(Path(folder) / "yard", since="")
        environment = {**os.environ, "PYTHONPATH": str(Path.cwd())}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)

        def run(*options: str) -> subprocess.CompletedProcess[str]:
            command = [sys.executable, *options, "-c", START, *CHECK, "--workspace", str(workspace)]
            return subprocess.run(command, env=environment, capture_output=True, text=True, check=False)

        run()
        times = []
        for _ in range(ROUNDS):
            start = time.perf_counter()
            run()
            times.append(time.perf_counter() - start)
        spent: Counter[str] = Counter()
        for own_us, module in IMPORT.findall(run("-X", "importtime").stderr):
            spent[module.partition(".")[0]] += int(own_us)
    rows = [("`check` on 50 years of a station, the whole process", f"{median(times):.2f} s")]
    rows.append(("of it, imports as they are traced", f"{sum(spent.values()) / 1e6:.2f} s"))
    rows += [(f"`{package}`", f"{own_us / 1e6:.2f} s") for package, own_us in spent.most_common(5)]
    show(*markdown_table(("One site", "Time"), rows))


if __name__ == "__main__":
    main()
