"""rootcase apply fill-point."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.telling import tell_thing, telling_options
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("fleet.cli.fill_point"))
@telling_options
def fill_point(typed: tuple[str, ...], gone: bool, by: str, fieldbook_path: Path | None, system: System) -> None:
    tell_thing("fill_point", typed, gone, by, fieldbook_path, system)
