"""rootcase make beans."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import read_cells, require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say

_NAMES = ("seeds", "heights", "control", "twisted", "control_twisted", "day")


@click.command(help=say("recipe.help.beans"))
@click.argument("heap")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def beans(heap: str, typed: tuple[str, ...], by: str, fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.heap import finding
    from rootcase.services.heap import heap_named, judged_heap
    from rootcase.services.heap_figures import read_beans

    with open_book(fieldbook_path) as book:
        found, cells = heap_named(book, heap), read_cells(typed, heap, _NAMES)
        require_none(read_beans(book, found, cells, by=by, now=book.making.now(), system=system).wrong)
        tell(finding(*judged_heap(book, found.id), system))
