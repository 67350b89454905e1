"""rootcase apply verify."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say


@click.command(help=say("log.help.verify"))
@click.argument("anchor", required=False, default="")
@fieldbook_option
@json_option
@click.pass_context
def verify(context: click.Context, anchor: str, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.record import SHORT
    from rootcase.services.log import verified

    with open_book(fieldbook_path) as book:
        found = verified(book, anchor)
    if as_json:
        out(stage_json(found))
    elif found.fault is not None:
        tell(say("log.chain.broken", number=found.number, why=say(f"log.chain.fault.{found.fault}")))
    else:
        tell(say("log.chain.holds", count=f"{found.head.count:,}", mark=found.head.mark[:SHORT])
             if found.head.count else say("log.chain.none"))
    context.exit(3 if found.fault is not None else 0)
