"""rootcase apply give."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.applying.planning import planned_now
from rootcase.cli.options import fieldbook_option, open_book, read_day, tell
from rootcase.ground.words import say


@click.command(help=say("week.cli.give"))
@click.argument("day", metavar="DAY", callback=read_day)
@click.argument("crew")
@click.option("--back", is_flag=True, help=say("week.cli.back"))
@click.option("--by", default="", help=say("fleet.cli.by"))
@fieldbook_option
def give(day: date, crew: str, back: bool, by: str, fieldbook_path: Path | None) -> None:
    from rootcase.fieldbook.signed import require_code
    from rootcase.services.week import give_round, take_round_back
    from rootcase.services.week_known import round_of

    require_code(by, ())
    with open_book(fieldbook_path) as book:
        found, week = planned_now(book)
        given = round_of(week, found, day, crew)
        (take_round_back if back else give_round)(book, given, by)
    tell(say("week.taken_back" if back else "week.was_given", crew=crew))
