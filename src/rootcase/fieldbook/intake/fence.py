"""The fence: a foreign file is opened in a process of its own, which may take so much and no more.

Whatever such a file does there, to its reader or to the machine's memory, ends as one line here. The limits and their
reasons are in foreign/limits.py. On Windows, and for memory on macOS too, the system sets none of its own: there size,
unpacked size, counts and time hold, memory does not.
"""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from base64 import b64decode
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Literal

import rootcase
from rootcase.fieldbook.intake.foreign.limits import ANSWER_BYTES, MEMORY_BYTES, WALL_S
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

# Isolated: neither the user's settings nor the folder they stand in say what is imported. The packages are found where
# this process found them, behind the standard library.
_START = ("import json, sys; sys.path += json.loads(sys.argv[1]); "
          "from rootcase.fieldbook.intake.foreign.child import main; main()")

Wanted = Literal["grids", "photo", "picture", "folder"]


def read_fenced(wanted: Wanted, paths: Sequence[Path]) -> list[Any]:
    """What the reading process found in each file, all read by one process; FileError for the first it refuses."""
    found = []
    for answer in each_fenced(wanted, paths):
        if isinstance(answer, FileError):
            raise answer
        found.append(answer)
    return found


def picture_anew(path: Path) -> tuple[bytes, tuple[int, int], tuple[int, int]]:
    """A JPEG of what a photo shows, without place, time or whatever else it carries.

    Behind it width and height in pixels, as drawn anew and as they were.
    """
    (data, size, own), = read_fenced("picture", [path])
    return b64decode(data), tuple(size), tuple(own)


def folder_files(path: Path) -> dict[str, bytes]:
    """The files of a folder that came as one zip, by name."""
    found, = read_fenced("folder", [path])
    return {name: b64decode(data) for name, data in found}


def each_fenced(wanted: Wanted, paths: Sequence[Path]) -> Iterator[Any]:
    """What was found in each file, or the FileError that says why nothing was; the next process takes up behind a file
    that ended one."""
    left = list(paths)
    while left:
        for answer, ended in _answers(wanted, list(left)):
            left.pop(0)
            yield answer
            if ended:
                break


def _answers(wanted: Wanted, paths: Sequence[Path]) -> Iterator[tuple[Any, bool]]:
    """The answers of one process, and whether it has ended."""
    job = json.dumps({"wanted": wanted, "paths": [str(path) for path in paths]}).encode()
    with subprocess.Popen(_command(), stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                          stderr=subprocess.DEVNULL) as child:
        late = threading.Event()
        timer = threading.Timer(WALL_S, _end, (child, late))
        timer.daemon = True
        timer.start()
        try:
            _give(child, job)
            left = ANSWER_BYTES
            for path in paths:
                line = child.stdout.readline(left) if child.stdout else b""
                left -= len(line)
                yield _answer(line, path, late=late)
        finally:
            timer.cancel()
            child.kill()


def _end(child: subprocess.Popen[bytes], late: threading.Event) -> None:
    late.set()
    child.kill()


def _command() -> list[str]:
    package = str(Path(rootcase.__file__).parents[1])
    places = json.dumps([package, *(place for place in sys.path if place not in ("", package))])
    compiled = ["-X", f"pycache_prefix={sys.pycache_prefix}"] if sys.pycache_prefix else []
    return [sys.executable, "-I", "-S", "-X", f"utf8={sys.flags.utf8_mode}", *compiled, "-c", _START, places]


def _give(child: subprocess.Popen[bytes], job: bytes) -> None:
    assert child.stdin is not None
    try:
        with child.stdin:
            child.stdin.write(job)
    except OSError:
        return  # it has ended; its missing answer says so


def _answer(line: bytes, path: Path, *, late: threading.Event) -> tuple[Any, bool]:
    """What an answer holds; no whole answer means that the process was ended, by its clock or by the file."""
    try:
        answer = json.loads(line)
        if "found" in answer:
            return answer["found"], False
        refused = answer["refused"]
        return FileError(say(refused["what"], **refused["fields"]), where=str(path), value=refused["value"],
                         right=say(refused["right"])), False
    except (ValueError, LookupError, TypeError, RecursionError):
        what, right = (say("fence.late", most=WALL_S), "fence.right_split") if late.is_set() else (
            say("fence.broke", most=MEMORY_BYTES // 2**20), "fence.right_broke")
        return FileError(what, where=str(path), right=say(right)), True
