"""rootcase make judge."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say

REFUSED = 3
"""Exit code, as of what cannot be done."""


@click.command(help=say("batch.help.judge"))
@click.argument("number")
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
@click.pass_context
def judge(context: click.Context, number: str, by: str, fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.batch import batch_finding
    from rootcase.services.batch_seen import batch_seen
    from rootcase.services.make_batch import judge_batch

    with open_book(fieldbook_path) as book:
        judged = judge_batch(book, batch_seen(book, number).batch.id, by).judgement
        seen = batch_seen(book, number)
        tell(batch_finding(seen, book.making.now()), *(judged.why if judged else ()), seen.finding.limit_note)
    if judged is None or judged.verdict == "refused":
        context.exit(REFUSED)
