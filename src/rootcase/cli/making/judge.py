"""rootcase make judge."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.words import say

REFUSED = 3
"""Exit code, as of what cannot be done."""


@click.command(help=say("batch.help.judge"))
@click.argument("number")
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@click.pass_context
def judge(context: click.Context, number: str, by: str, fieldbook_path: Path | None) -> None:
    from rootcase.report.text.batch import batch_finding, caution_lines
    from rootcase.services.batch_seen import batch_seen
    from rootcase.services.make_batch import judge_batch

    with open_book(fieldbook_path) as book:
        judged = judge_batch(book, batch_seen(book, number).batch.id, by).judgement
        seen = batch_seen(book, number)
        refused = judged is None or judged.verdict == "refused"
        tell(batch_finding(seen, book.making.now()), *(judged.why if judged else ()), seen.finding.limit_note,
             *caution_lines("end_batch" if refused else "load"))
    if refused:
        context.exit(REFUSED)
