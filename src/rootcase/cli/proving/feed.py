"""rootcase prove feed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.options import fieldbook_option, json_option, make_run, open_book, out, run_options, tell
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.services.feed import Fed


@click.command(help=say("feed.help.feed"))
@click.argument("remedy", required=False)
@click.option("--sign", "by", default="", help=say("feed.help.sign"))
@click.option("--handbook", is_flag=True, help=say("feed.help.handbook"))
@click.option("--plans", is_flag=True, help=say("feed.help.plans"))
@fieldbook_option
@json_option
@run_options
def feed(remedy: str | None, by: str, handbook: bool, plans: bool, fieldbook_path: Path | None, as_json: bool,
         day: date | None, draws: int, seed: int, threads: int) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.feed import moved_lines
    from rootcase.services.feed import feed as fed_back
    from rootcase.services.feed import feed_of, may_be_signed, replanned, sign_effect

    run = make_run(day, draws, seed, threads)
    if ((handbook or plans or by) and not remedy) or (handbook and not by):
        raise click.UsageError(say("feed.nothing_signed"))
    with open_book(fieldbook_path) as book:
        grounds = book.properties()
        found = fed_back(book, [each.id for each in grounds], run.today)
        chosen = (feed_of(found, remedy),) if remedy else found
        if plans and not handbook:
            may_be_signed(chosen[0])
        others = replanned(book, grounds, run, remedy, None if handbook else chosen[0].after) if (
            remedy and plans) else ()
        if remedy and handbook:
            book.proving.give_back(remedy, by=by, day=run.today)
        elif remedy and by:
            sign_effect(book, chosen[0], by=by, day=run.today)
    if as_json:
        out(stage_json({"remedies": chosen, "plans": [
            {"property_id": each.record.property.id, "moved": each.moved()} for each in others]}))
        return
    tell(*(line for each in chosen for line in _lines(each)), *([] if chosen else [say("feed.none")]))
    if plans:
        tell(say("feed.changes", count=len(others)) if others else say("feed.no_changes"),
             *(line for each in others for line in moved_lines(each.record, each.old, each.new, each.moved())))
    if by:
        tell(say("feed.by_handbook") if handbook else say("feed.told", by=by))


def _lines(each: Fed) -> Iterator[str]:
    from rootcase.report.text.feed import after_lines, before_line, standing_line
    from rootcase.report.text.proof import proof_finding

    yield proof_finding(each.proof)
    yield before_line(each.before)
    if each.after:
        yield from after_lines(each.after, each.proof.heard, each.before)
    else:
        yield say("feed.cannot", why=each.against)
    if each.stands:
        yield standing_line(each.stands)
