"""What every stage is run with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

Progress = Callable[[str, int, int], None]
"""Told the stage, how many trees are done, and how many there are."""


def silent(stage: str, done: int, of: int) -> None:
    """No progress shown."""


@dataclass(frozen=True, slots=True)
class Run:
    """The day, and how the computation is done; nothing here changes an answer but day, draws and seed."""

    today: date
    draws: int = 1000
    seed: int = 1
    threads: int = 1
    progress: Progress = silent
    results: Path | None = None
    """The folder where results are kept for the next command; None: every one is made anew."""
