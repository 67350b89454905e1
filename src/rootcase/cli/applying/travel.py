"""rootcase apply travel."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.telling import tell_thing, telling_options
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("fleet.cli.travel"))
@click.option("--table", type=click.Path(path_type=Path, exists=True, dir_okay=False), help=say("fleet.cli.table"))
@telling_options
def travel(typed: tuple[str, ...], gone: bool, by: str, fieldbook_path: Path | None, system: System,
           table: Path | None) -> None:
    more = {"table": table.read_text(encoding="utf-8-sig", errors="replace")} if table else {}
    tell_thing("travel", typed, gone, by, fieldbook_path, system, **more)
