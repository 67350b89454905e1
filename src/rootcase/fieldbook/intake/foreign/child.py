"""The reading process: takes a job from its standard input, answers one line of JSON for each file, and ends."""

from __future__ import annotations

import json
import os
import stat
import sys
from collections.abc import Callable, Mapping
from typing import Any

from rootcase.fieldbook.intake.foreign.limits import CELLS, FILE_BYTES, MB, MEMORY_BYTES, WALL_S, Refusal


def main() -> None:
    """Answer the job; whatever goes wrong beyond a refusal ends the process, and its parent says so."""
    _shut_in()
    job = json.loads(sys.stdin.buffer.read())
    read, cells = _reader(job["wanted"]), 0
    for path in job["paths"]:
        try:
            answer: dict[str, Any] = {"found": read(path, file_bytes(path))}
            if job["wanted"] == "grids":
                cells += sum(len(line) for grid in answer["found"] for line in grid["rows"])
                if cells > CELLS:
                    raise Refusal("fence.many_cells", "fence.right_split", most=f"{CELLS:,}")
        except Refusal as refusal:
            answer = {"refused": refusal.plain}
        except MemoryError:
            answer = {"refused": Refusal("fence.memory", "fence.right_split", most=MEMORY_BYTES // 2**20).plain}
        sys.stdout.write(json.dumps(answer) + "\n")
        sys.stdout.flush()


def _reader(wanted: str) -> Callable[[str, bytes], object]:
    """Only what is wanted is imported."""
    if wanted == "photo":
        from rootcase.fieldbook.intake.foreign.photo import facts

        return lambda path, raw: facts(raw)
    if wanted == "picture":
        from rootcase.fieldbook.intake.foreign.photo import drawn_anew

        return lambda path, raw: drawn_anew(raw)
    if wanted == "folder":
        from rootcase.fieldbook.intake.foreign.folder import folder_files

        return lambda path, raw: folder_files(raw)
    return grids


def grids(path: str, raw: bytes) -> list[Mapping[str, object]]:
    """The sheets of one file, by what it is rather than by what it is called."""
    stem, ending = os.path.splitext(os.path.basename(path))
    ending = ending.lower()
    packed, old = raw.startswith(b"PK\x03\x04"), raw.startswith(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
    if packed or old:
        from rootcase.fieldbook.intake.foreign.workbook import sheets

        return sheets(raw, packed=packed)
    # What calls itself an old workbook is often tabbed text.
    if ending in {".xlsx", ".xlsm", ".xlsb", ".ods"} or raw[:200].lstrip().startswith(b"<"):
        raise Refusal("intake.not_a_sheet", "intake.right_file")
    from rootcase.fieldbook.intake.foreign.text import table

    rows, told = table(raw)
    return [{"name": stem, "rows": rows, "merged": [], "told": told}]


def file_bytes(path: str) -> bytes:
    """All of a regular file, opened once: what is looked at is what is read, whatever the path names by then."""
    try:
        # A pipe would keep an ordinary opening waiting for its other end.
        opened = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except (FileNotFoundError, NotADirectoryError):
        raise Refusal("intake.no_file", "intake.right_file") from None
    except PermissionError:
        raise Refusal("fence.not_allowed", "fence.right_allowed") from None
    except (OSError, ValueError):
        raise Refusal("fence.no_plain_file", "intake.right_file") from None
    if not stat.S_ISREG(os.fstat(opened).st_mode):
        os.close(opened)
        raise Refusal("fence.no_plain_file", "intake.right_file")
    with open(opened, "rb") as file:
        raw = b"" if os.fstat(opened).st_size > FILE_BYTES else file.read(FILE_BYTES + 1)
        size = max(os.fstat(opened).st_size, len(raw))
    if size > FILE_BYTES:
        raise Refusal("fence.large", "fence.right_large", f"{size / MB:,.0f} MB", most=FILE_BYTES // MB)
    return raw


def _shut_in() -> None:
    """Take away what reading a file does not need. Windows has no such limits: there only size and time hold."""
    try:
        import resource
    except ImportError:
        return
    for limit, most in ((resource.RLIMIT_AS, MEMORY_BYTES), (resource.RLIMIT_CPU, WALL_S), (resource.RLIMIT_FSIZE, 0),
                        (resource.RLIMIT_CORE, 0)):
        try:
            resource.setrlimit(limit, (most, most))
        except (ValueError, OSError):  # macOS does not take a limit on address space
            continue
