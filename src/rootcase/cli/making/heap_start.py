"""rootcase make heap-start."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import materials_cells, read_cells, require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say

_NAMES = ("shape", "rule", "time_zone", "day", "time", "which", "every_part")


@click.command(help=say("recipe.help.start"))
@click.argument("heap")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--part", "materials", metavar="MATERIAL=AMOUNT[,NAME=VALUE]...", multiple=True,
              help=say("recipe.help.part"))
@click.option("--bucket", default="", help=say("recipe.help.bucket"))
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def heap_start(heap: str, typed: tuple[str, ...], materials: tuple[str, ...], bucket: str, by: str,
               fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.heap import finding
    from rootcase.services.heap import judged_heap, start_heap, usual_zone
    from rootcase.services.recipe import own_figures, parts_of

    mix = {"bucket": bucket, **materials_cells(materials, of_heap=True)}
    with open_book(fieldbook_path) as book:
        cells = {"name": heap, "time_zone": usual_zone(book), **read_cells(typed, heap, _NAMES)}
        parts = parts_of(mix, system, own_figures(book))
        told = start_heap(book, cells, by=by, now=book.making.now(), parts=parts)
        require_none(told.wrong)
        tell(finding(*judged_heap(book, told.heap_id), system))
