"""rootcase apply record."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell, today_of
from rootcase.ground.words import say


@click.command(help=say("log.help.record"))
@click.argument("number", required=False, default="")
@fieldbook_option
@json_option
def record(number: str, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.record import duty_lines, flag_lines, record_line
    from rootcase.services.log import recorded, records

    with open_book(fieldbook_path) as book:
        found = (recorded(book, number, today_of(book)),) if number else records(book, today_of(book))
        if as_json:
            out(stage_json(found))
            return
        names = {ground.id: ground.name for ground in book.properties()}
        trees = {tree.id: tree.label for each in names for tree in book.record(each).trees}
        for each in found:
            one = each.application
            tell(record_line(one, trees.get(one.tree_ids[0], one.tree_ids[0]), names.get(one.property_id, "")),
                 *flag_lines(one, each.twice), *duty_lines(each.duty, each.copy_given, today_of(book)))
        if not found:
            tell(say("log.chain.none"))
