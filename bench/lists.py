"""A stranger's list up to what needs the person: 200 trees with 30 faults, and ten thousand rows of doubtful cells."""

from __future__ import annotations

import csv
import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from itertools import count
from pathlib import Path

from bench.work import Work
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.intake.lists.listing import Given, Listing
from rootcase.fieldbook.intake.lists.told import Told

ROWS = 10_000
HEADER = ("Tag", "Species", "DBH (in)", "Ht (ft)", "Spread (ft)", "Dieback %", "Planted", "Surveyed", "Site", "Lat",
          "Long", "Condition", "Notes")
GOOD = ("{n}", "Quercus rubra", "14.5", "42", "30", "10", "1988", "2015-06-13", "North lawn", "47.45{n:05}",
        "-122.31", "good", "by the gate")
ODD = ("12 in", "3,5", "n/a", "?", "-", "<5", "~12", "10-15", "1,250", '18"', "5'6\"", "#REF!", "2062", "3-4", "", "½",
       "Quercus pallustris", "=A1", "none seen", "12, 8, 6")
TOLD = Told(property_name="Kiln Lane", ground="lawn")
PEAK = """
import sys
from pathlib import Path
from bench.lists import look
look(Path(sys.argv[1]), 0)
print(int(next(line for line in open("/proc/self/status") if line.startswith("VmHWM")).split()[1]) // 1024)
"""


def about() -> Work:
    folder = made()
    peaks = ", ".join(f"{name} {peak_mb(folder / f'{name}.csv')} MB" for name in ("list", "odd"))
    return Work(what=f"From the file to the dry run's groups: 200 trees, 30 of them with a fault, and {ROWS:,} rows in "
                     f"which half the cells are odd. Largest resident set before the fence (Linux): {peaks}.")


def run() -> Mapping[str, Callable[[], object]]:
    folder, turn = made(), count()
    return {"200 trees": lambda: look(folder / "list.csv", next(turn)),
            "10,000 malformed rows": lambda: look(folder / "odd.csv", next(turn))}


def look(path: Path, turn: int) -> Listing:
    with open_fieldbook(path.with_name(f"{path.stem}-{turn}.sqlite")) as book:
        return book.import_list(path, Given(TOLD))


def peak_mb(path: Path) -> int:
    done = subprocess.run([sys.executable, "-c", PEAK, str(path)], check=True, capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)})
    return int(done.stdout)


def made() -> Path:
    folder, draw = Path(tempfile.mkdtemp(prefix="rootcase-bench-")), random.Random(1)
    for name, rows, faults in (("list", 200, 30), ("odd", ROWS, ROWS)):
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            lines = csv.writer(file)
            lines.writerow(HEADER)
            for number in range(rows):
                row = [text.format(n=number) for text in GOOD]
                if number < faults:
                    at = draw.randrange(2, 7)
                    row = [draw.choice(ODD) if i == at or (rows == ROWS and draw.random() < 0.5) else text
                           for i, text in enumerate(row)]
                lines.writerow(row)
    return folder
