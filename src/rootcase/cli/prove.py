"""rootcase prove."""

from __future__ import annotations

import click

from rootcase.cli.lazy import Lazy
from rootcase.ground.words import say

COMMANDS: tuple[str, ...] = ("fit", "pool", "power", "feed")
"""Each in `cli/proving/` under its own name."""


@click.group(cls=Lazy, package="rootcase.cli.proving", names=COMMANDS, help=say("prove.help.prove"))
def prove() -> None:
    """Whether it worked."""
