"""What lme4 answers to tests/science/trials/layouts.py; with R, `python -m tests.reference.lme4` keeps it.

A program is asked and its figures kept; nothing of its code or data is copied.
"""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.science.trials.layouts import Layout, unbalanced

HERE = Path(__file__).parent / "r"
KEPT = HERE / "lme4.csv"
SEEDS = range(1, 201)


def recorded() -> dict[int, dict[str, float]]:
    """The kept figures by seed; what the program could not answer is missing."""
    with KEPT.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    return {int(row["seed"]): {name: float(text) for name, text in row.items() if text != "NA"} for row in rows}


def write(layout: Layout, path: Path) -> None:
    with path.open("w", encoding="utf-8", newline="") as lines:
        out = csv.writer(lines)
        out.writerow(Layout.__slots__)
        out.writerows(zip(*(getattr(layout, name).tolist() for name in Layout.__slots__), strict=True))


def main() -> int:
    with TemporaryDirectory() as folder:
        for seed in SEEDS:
            write(unbalanced(seed), Path(folder) / f"{seed:03}.csv")
        asked = subprocess.run(["Rscript", str(HERE / "lme4.R"), folder], capture_output=True, text=True, check=False)
    if asked.returncode:
        print(asked.stderr, file=sys.stderr)
        return asked.returncode
    KEPT.write_text(asked.stdout, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
