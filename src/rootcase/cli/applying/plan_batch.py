"""rootcase apply plan-batch."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.telling import tell_thing, telling_options
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("fleet.cli.plan_batch"))
@telling_options
def plan_batch(typed: tuple[str, ...], gone: bool, by: str, fieldbook_path: Path | None, system: System) -> None:
    tell_thing("batch", typed, gone, by, fieldbook_path, system)
