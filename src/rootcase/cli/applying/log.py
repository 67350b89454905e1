"""rootcase apply log."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import read_cells, require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell, today_of
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.jobs import EXTRACT

_NAMES = ("remedy", "day", "started", "ended", "ended_on", "which", "load", "volume", "mass", "amount", "area",
          "helpers", "no_helper", "restricted", "whole", "slot", "plan")


@click.command(help=say("log.help.log"))
@click.argument("property_name", metavar="PROPERTY")
@click.argument("tree", metavar="TREE")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--by", required=True, help=say("log.help.by"))
@fieldbook_option
@units_option
def log(property_name: str, tree: str, typed: tuple[str, ...], by: str, fieldbook_path: Path | None,
        system: System) -> None:
    from rootcase.report.text.record import flag_lines, meter_asked
    from rootcase.services.log import TEXTS, take_log
    from rootcase.services.log_prefill import planned_at

    cells = read_cells(typed, "log", (*_NAMES, *TEXTS))
    with open_book(fieldbook_path) as book:
        ground = next((each for each in book.properties() if property_name in (each.id, each.name)), None)
        if ground is None:
            raise Missing(say("fieldbook.no_such_property"), value=property_name)
        record = book.record(ground.id)
        an_id = next((each.id for each in record.trees if tree in (each.id, each.label)), "")
        if not an_id:
            raise Missing(say("log.which_tree"), value=tree, right=", ".join(each.label for each in record.trees))
        job = planned_at(book, record, an_id, cells.get("remedy") or EXTRACT, today_of(book))
        begun = {"plan": job.plan} if job else {}
        came = take_log(book, ground, {**begun, **cells, "tree": an_id, "by": by}, by, system, job and job.litres)
        require_none(came.wrong)
        if job and came.meant_l is not None:
            raise ImpossibleValue(meter_asked(cells["volume"], job.litres, came.meant_l, system))
        one = book.recording.words(came.slot)[-1]
        tell(say("log.kept", number=one.number), *flag_lines(one))
