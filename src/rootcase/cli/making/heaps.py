"""rootcase make heaps."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("recipe.help.heaps"))
@fieldbook_option
@units_option
@json_option
def heaps(fieldbook_path: Path | None, system: System, as_json: bool) -> None:
    from rootcase.casework.make.heap import judged
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.heap import heap_line
    from rootcase.services import heap as service

    with open_book(fieldbook_path) as book:
        found = [(each, judged(each)) for each in service.heaps(book)]
    if as_json:
        out(stage_json([{"name": heap.name, "held": heap.held, "judged": shown} for heap, shown in found]))
    else:
        lines = [heap_line(heap, shown, system) for heap, shown in found]
        tell(*(lines or [say("heap.page.empty")]))
