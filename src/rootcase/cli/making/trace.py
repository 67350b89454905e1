"""rootcase make trace."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say


@click.command(help=say("batch.help.trace"))
@click.argument("named", metavar="TREE|BATCH|HEAP|FEEDSTOCK|SUPPLIER|LOT")
@click.option("--feedstock", "level", flag_value="feedstock", help=say("batch.help.trace_feedstock"))
@click.option("--supplier", "level", flag_value="supplier", help=say("batch.help.trace_supplier"))
@click.option("--lot", "level", flag_value="lot", help=say("batch.help.trace_lot"))
@click.option("--heap", "level", flag_value="heap", help=say("batch.help.trace_heap"))
@click.option("--batch", "level", flag_value="batch", help=say("batch.help.trace_batch"))
@click.option("--tree", "level", flag_value="tree", help=say("batch.help.trace_tree"))
@fieldbook_option
@json_option
def trace(named: str, level: Literal["feedstock", "supplier", "lot", "heap", "batch", "tree"] | None,
          fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.recall import traced_line
    from rootcase.services import recall

    with open_book(fieldbook_path) as book:
        found = recall.trace(book, named, level)
    if as_json:
        out(stage_json(found))
    else:
        tell(*map(traced_line, found))
