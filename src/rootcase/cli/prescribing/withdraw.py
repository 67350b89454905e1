"""rootcase prescribe withdraw."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.options import day_option, fieldbook_option, open_book, property_option, read_words, tell, today
from rootcase.ground.words import say


@click.command(help=say("sign.help.withdraw"))
@click.argument("mark", default="")
@click.option("--by", required=True, help=say("sign.option.by"))
@click.option("--reason", required=True, callback=read_words, help=say("sign.option.why_withdrawn"))
@fieldbook_option
@property_option
@day_option
def withdraw(mark: str, by: str, reason: str, fieldbook_path: Path | None, property_name: str | None,
             day: date | None) -> None:
    from rootcase.report.text.signed import signature
    from rootcase.services.observe import find_property

    with open_book(fieldbook_path) as fieldbook:
        plan = fieldbook.withdraw_plan(find_property(fieldbook, property_name).id, by=by, day=day or today(),
                                       reason=reason, mark=mark)
    tell(say("sign.withdrawn", plan=signature(plan)))
