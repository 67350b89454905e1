"""rootcase make limits."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("batch.help.limits"))
@click.option("--floor", help=say("batch.help.floor"))
@click.option("--holding", help=say("batch.help.holding"))
@click.option("--height", help=say("batch.help.height"))
@click.option("--by", default="", help=say("batch.help.by"))
@fieldbook_option
@units_option
def limits(floor: str | None, holding: str | None, height: str | None, by: str, fieldbook_path: Path | None,
           system: System) -> None:
    from rootcase.report.text.batch_rules import rules_lines
    from rootcase.science.tank.hygiene import holding_limit_h
    from rootcase.services.batch_forms import rule_cells, take_rules
    from rootcase.services.make_batch import batch_rules

    told = {"floor": floor, "holding": "" if holding == say("batch.rules.none") else holding, "elevation": height}
    with open_book(fieldbook_path) as book:
        if any(each is not None for each in told.values()):
            cells = {name: text for name, text in told.items() if text is not None}
            if wrong := take_rules(book, rule_cells(batch_rules(book), system) | cells, by, system):
                raise ImpossibleValue("; ".join(wrong.values()))
        tell(*rules_lines(batch_rules(book), holding_limit_h("extract"), system), say("batch.rules.caution"))
