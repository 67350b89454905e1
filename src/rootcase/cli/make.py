"""rootcase make."""

from __future__ import annotations

import click

from rootcase.cli.lazy import Lazy
from rootcase.ground.words import say

COMMANDS: tuple[str, ...] = ("batch", "batches", "beans", "call-back", "count", "end", "figure", "free", "heap",
                             "heap-check", "heap-file", "heap-read", "heap-start", "heap-turn", "heaps", "hold",
                             "hyphae", "judge", "limits", "load", "rates", "recall", "recipe", "ring", "sheet", "slide",
                             "slide-keep", "slides", "start", "step", "take-back", "trace")
"""Each in `cli/making/` under its own name."""


@click.group(cls=Lazy, package="rootcase.cli.making", names=COMMANDS, help=say("cli.help.make"))
def make() -> None:
    """What is made, and what is seen of it."""
