"""Foreign files through the fence: ten thousand rows of doubtful cells, and bombs up to their refusal."""

from __future__ import annotations

import csv
import io
import os
import random
import struct
import subprocess
import sys
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path

import xlsxwriter

from bench.work import Work
from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.fieldbook.intake.grid import read_grids
from rootcase.ground.errors import FileError

ROWS, COLUMNS, SMALL = 10_000, 20, 100
ODD = ("12 in", "3,5", "n/a", "?", "-", "<5", "~12", "10-15", "1,250", '18"', "5'6\"", "#REF!", "2062", "3-4", "", "½",
       "Quercus pallustris", "=A1", "none seen", "two\nlines")
# A new process takes over what getrusage says of the one that started it; the kernel's own mark it does not.
PEAK = """
import resource, sys
from pathlib import Path
from rootcase.fieldbook.intake.grid import read_grids
read_grids(Path(sys.argv[1]))
own = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
print(int(own.split()[1]) // 1024, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024)
"""


def about() -> Work:
    folder = made()
    peaks = {name: peak_mb(folder / name) for name in ("rows.csv", "rows.xlsx")}
    told = ", ".join(f"{name} {own} MB before and {behind} MB behind the fence"
                     for name, (own, behind) in peaks.items())
    return Work(what=f"{ROWS:,} rows of {COLUMNS} doubtful cells, {SMALL} small CSVs of one folder, and files made to "
                     f"burst until they are refused. Largest resident sets (Linux): {told}.")


def run() -> Mapping[str, Callable[[], object]]:
    folder = made()
    return {"10,000 rows, CSV": lambda: read_grids(folder / "rows.csv"),
            "10,000 rows, XLSX": lambda: read_grids(folder / "rows.xlsx"),
            "one small CSV": lambda: read_grids(folder / "small" / "0.csv"),
            "100 small CSVs": lambda: read_grids(folder / "small"),
            "zip bomb": lambda: refused(read_grids, folder / "bomb.xlsx"),
            "zip bomb that lies": lambda: refused(read_grids, folder / "lies.xlsx"),
            "pixel bomb": lambda: refused(picture_anew, folder / "bomb.png")}


def refused(read: Callable[[Path], object], path: Path) -> None:
    try:
        read(path)
    except FileError:
        return
    raise AssertionError(path)


def peak_mb(path: Path) -> tuple[int, int]:
    done = subprocess.run([sys.executable, "-c", PEAK, str(path)], check=True, capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)})
    own, behind = map(int, done.stdout.split())
    return own, behind


def made() -> Path:
    folder, choose = Path(tempfile.mkdtemp(prefix="rootcase-bench-")), random.Random(1)
    rows = [[choose.choice(ODD) + choose.choice(("", str(choose.randrange(99)))) for _ in range(COLUMNS)]
            for _ in range(ROWS)]
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    (folder / "rows.csv").write_text(text.getvalue(), encoding="utf-8")
    with xlsxwriter.Workbook(folder / "rows.xlsx", {"strings_to_formulas": False}) as book:
        page, percent = book.add_worksheet(), book.add_format({"num_format": "0%"})
        for at, row in enumerate(rows):
            page.write_row(at, 0, row)
            page.write_number(at, COLUMNS, at / 7, percent)
    (folder / "small").mkdir()
    for each in range(SMALL):
        (folder / "small" / f"{each}.csv").write_text("tree,dbh\noak,12\n", encoding="utf-8")
    bombs(folder)
    return folder


def bombs(folder: Path) -> None:
    size = 500_000_000
    with zipfile.ZipFile(folder / "bomb.xlsx", "w", zipfile.ZIP_DEFLATED) as package:
        with package.open("xl/worksheets/sheet1.xml", "w") as page:
            for _ in range(size // 1_000_000):
                page.write(bytes(1_000_000))
    honest = (folder / "bomb.xlsx").read_bytes()
    (folder / "lies.xlsx").write_bytes(honest.replace(struct.pack("<I", size), struct.pack("<I", 1000)))
    header = b"IHDR" + struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    (folder / "bomb.png").write_bytes(b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + header
                                      + struct.pack(">I", zlib.crc32(header)) + struct.pack(">I4s", 0, b"IDAT"))
