"""rootcase make load."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("batch.help.load"))
@click.argument("number")
@click.argument("volume")
@click.option("--air-gap", "gap", default="", help=say("batch.help.air_gap"))
@click.option("--oxygen", default="", help=say("batch.help.oxygen"))
@click.option("--tank", default="", help=say("batch.help.tank"))
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def load(number: str, volume: str, gap: str, oxygen: str, tank: str, by: str,
         fieldbook_path: Path | None, system: System) -> None:
    from rootcase.ground.quantity import show
    from rootcase.report.text.batch import caution_lines, day_and_clock, zone_of
    from rootcase.services.batch_forms import load_figure
    from rootcase.services.batch_seen import batch_seen
    from rootcase.services.make_batch import fill_load

    said: list[str] = []
    volume_l = load_figure("volume", volume, system, said)
    air_gap_m, oxygen_mg_l = load_figure("gap", gap, system, said), load_figure("oxygen", oxygen, system, said)
    with open_book(fieldbook_path) as book:
        seen = batch_seen(book, number)
        batch = seen.batch
        filled = fill_load(book, batch.id, volume_l or 0.0, by, oxygen_mg_l=oxygen_mg_l, tank=tank, air_gap_m=air_gap_m)
        until = batch.judgement.good_until if batch.judgement else None
        tell(*said, say("batch.loaded", volume=show(filled.volume_l, "L", system),
                        until=day_and_clock(until, zone_of(seen)) if until else ""),
             *caution_lines("load"))
