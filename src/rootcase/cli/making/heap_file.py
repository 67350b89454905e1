"""rootcase make heap-file."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("recipe.help.file"))
@click.argument("heap")
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--first-probe", default="1", show_default=True, help=say("recipe.help.first_probe"))
@click.option("--degrees", "unit", type=click.Choice(("F", "C")), default=None, help=say("recipe.help.degrees"))
@click.option("--order", type=click.Choice(("month_first", "day_first")), default=None, help=say("recipe.help.order"))
@click.option("--clock", default="", help=say("recipe.help.clock"))
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def heap_file(heap: str, file: Path, first_probe: str, unit: str | None, order: str | None, clock: str, by: str,
              fieldbook_path: Path | None, system: System) -> None:
    from rootcase.fieldbook.intake.heat_file import HeatFileSaid
    from rootcase.report.text.heap import finding
    from rootcase.services.heap import heap_named, judged_heap
    from rootcase.services.heap_file import bring_heat

    said = HeatFileSaid(unit or "", order or "", clock)
    with open_book(fieldbook_path) as book:
        brought = bring_heat(book, heap_named(book, heap), file, said, by=by, first_probe=first_probe)
        require_none(brought.wrong)
        tell(*brought.told, finding(*judged_heap(book, heap), system))
