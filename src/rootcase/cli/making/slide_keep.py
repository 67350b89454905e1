"""rootcase make slide-keep."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import require_none, slide_cells
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell, today
from rootcase.ground.quantity import System
from rootcase.ground.words import say

_OF_IT = ("source", "source_id", "day", "repeat_of")


@click.command(help=say("slide.help.keep"))
@click.argument("method", metavar="METHOD")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def slide_keep(method: str, typed: tuple[str, ...], by: str, fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.slides import row_told, slide_told
    from rootcase.services.slides import keep_slide

    cells = slide_cells(method, typed, _OF_IT)
    with open_book(fieldbook_path) as book:
        kept = keep_slide(book, cells, by=by, today=today(), system=system)
    require_none(kept.wrong)
    if kept.slide is not None and kept.count is not None:
        words = slide_told(kept.slide, kept.count)
        tell(row_told(kept.slide, kept.count), *filter(None, (words.needed, words.finding, *words.lines)), *kept.said,
             words.not_shown)
