"""rootcase make free."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("recipe.help.free"))
@click.argument("heap")
@click.argument("reason")
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def free(heap: str, reason: str, by: str, fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.heap import finding
    from rootcase.services import heap_figures
    from rootcase.services.heap import heap_named, judged_heap

    with open_book(fieldbook_path) as book:
        found = heap_named(book, heap)
        require_none(heap_figures.free(book, found, reason, by=by, now=book.making.now()).wrong)
        tell(finding(*judged_heap(book, found.id), system))
