"""What metafor answers to tests/science/trials/effects.py; with R, `python -m tests.reference.metafor` keeps it.

A program is asked and its figures kept; nothing of its code or data is copied.
"""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.reference.lme4 import HERE
from tests.science.trials.effects import effects

KEPT = HERE / "metafor.csv"
SEEDS = range(1, 31)


def moderator(at: int) -> float:
    """What the effect of this number is asked to depend on."""
    return float(at * 7 % 10)


def main() -> int:
    with TemporaryDirectory() as folder:
        for seed in SEEDS:
            with (Path(folder) / f"{seed:02}.csv").open("w", encoding="utf-8", newline="") as lines:
                out = csv.writer(lines)
                out.writerow(["yi", "vi", "group", "id", "m"])
                out.writerows((*row, at, moderator(at)) for at, row in enumerate(zip(*effects(seed), strict=True)))
        asked = subprocess.run(["Rscript", str(HERE / "metafor.R"), folder], capture_output=True, text=True,
                               check=False)
    if asked.returncode:
        print(asked.stderr, file=sys.stderr)
        return asked.returncode
    KEPT.write_text(asked.stdout, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
