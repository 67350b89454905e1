"""rootcase make heap."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("recipe.help.heap"))
@click.argument("name")
@fieldbook_option
@units_option
@json_option
def heap(name: str, fieldbook_path: Path | None, system: System, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.heap import finding, reckoning
    from rootcase.services.heap import judged_heap

    with open_book(fieldbook_path) as book:
        found, shown = judged_heap(book, name)
    if as_json:
        out(stage_json(shown))
    else:
        tell(finding(found, shown, system), *shown.why_not, *reckoning(found, shown, system), say("heap.page.caution"))
