"""rootcase make heap."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say


@click.command(help=say("recipe.help.heap"))
@click.argument("name")
@fieldbook_option
@click.option("--units", "system", type=click.Choice(("us", "metric")), default="us", show_default=True,
              help=say("recipe.help.units"))
@json_option
def heap(name: str, fieldbook_path: Path | None, system: Literal["us", "metric"], as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.heap import finding, reckoning
    from rootcase.services.heap import judged_heap

    with open_book(fieldbook_path) as book:
        found, shown = judged_heap(book, name)
    if as_json:
        out(stage_json(shown))
    else:
        tell(finding(found, shown, system), *shown.why_not, *reckoning(found, shown, system), say("heap.page.caution"))
