"""rootcase prescribe sign."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from secrets import randbelow

import click

from rootcase.cli.options import (
    WholeNumber,
    fieldbook_option,
    json_option,
    make_run,
    open_book,
    out,
    property_option,
    run_options,
    screen,
    tell,
)
from rootcase.ground.words import say

MOST_LOT = 2**31


@click.command(help=say("sign.help.sign"))
@click.option("--by", required=True, help=say("sign.option.by"))
@click.option("--reason", default="", help=say("sign.option.reason"))
@click.option("--against", multiple=True, metavar="TREE=COURSE", help=say("sign.option.against"))
@click.option("--try", "tried", multiple=True, metavar="REMEDY", help=say("sign.option.try"))
@click.option("--untreated/--no-trial", default=True, help=say("sign.option.untreated"))
@click.option("--lot", type=WholeNumber(0, MOST_LOT), default=None, help=say("sign.option.lot"))
@fieldbook_option
@property_option
@json_option
@run_options
def sign(by: str, reason: str, against: tuple[str, ...], tried: tuple[str, ...], untreated: bool, lot: int | None,
         fieldbook_path: Path | None, property_name: str | None, as_json: bool, day: date | None, draws: int, seed: int,
         threads: int) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.signed import signing_text
    from rootcase.report.text.trial_ahead import ahead_lines
    from rootcase.services.observe import find_property
    from rootcase.services.sign import Wanted, sign_property
    from rootcase.services.trial_power import trials_ahead

    run = make_run(day, draws, seed, threads)
    wanted = Wanted(by=by, reason=reason, against=against, untreated=untreated, tried=tried,
                    lot=randbelow(MOST_LOT) if lot is None else lot)
    with open_book(fieldbook_path) as fieldbook:
        signed = sign_property(fieldbook, find_property(fieldbook, property_name), run, wanted)
        ahead = trials_ahead(fieldbook, signed.record, signed.plans[0].signing.arms)
    if as_json:
        out(stage_json(signed.plans[0]))
        return
    out(signing_text(signed.record, signed.plans[0], *screen()))
    tell(*(line for each in ahead for line in ahead_lines(each)))
