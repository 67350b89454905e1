"""The command line as a process of its own, forked from one that has loaded the program: that takes most of a start."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from multiprocessing import get_all_start_methods, get_context
from pathlib import Path
from subprocess import CompletedProcess
from tempfile import TemporaryDirectory

LOADED = ["rootcase.cli.main", "rootcase.cli.observe", "rootcase.fieldbook.fieldbook",
          "rootcase.fieldbook.intake.importer", "rootcase.fieldbook.intake.lists.listing",
          "rootcase.fieldbook.intake.weather", "rootcase.services.sign", "rootcase.casework.prescribe.prescribe"]
_PROCESSES = get_context("forkserver" if "forkserver" in get_all_start_methods() else "spawn")
if "forkserver" in get_all_start_methods():
    _PROCESSES.set_forkserver_preload(LOADED)


def rootcase(*arguments: object, cwd: Path | None = None) -> CompletedProcess[str]:
    """What `rootcase ARGUMENTS` answers, typed in this folder."""
    words = [*map(str, arguments)]
    with TemporaryDirectory() as folder:
        told, wrong = Path(folder) / "told", Path(folder) / "wrong"
        process = _PROCESSES.Process(target=_start, args=(words, str(cwd or Path.cwd()), dict(os.environ), told, wrong))
        process.start()
        process.join()
        return CompletedProcess(words, process.exitcode, *(
            each.read_text(encoding="utf-8") for each in (told, wrong)))


def _start(words: list[str], cwd: str, environment: Mapping[str, str], told: Path, wrong: Path) -> None:
    os.chdir(cwd)
    os.environ.clear()
    os.environ.update(environment)
    for into, stream in ((told, sys.stdout), (wrong, sys.stderr)):
        with into.open("wb") as file:
            os.dup2(file.fileno(), stream.fileno())
    from rootcase.cli.main import main

    main(words)
