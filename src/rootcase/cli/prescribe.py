"""rootcase prescribe."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click
from click.core import ParameterSource

from rootcase.cli.lazy import Lazy
from rootcase.cli.options import (
    fieldbook_option,
    json_option,
    make_run,
    open_book,
    out,
    property_option,
    run_options,
    screen,
)
from rootcase.ground.words import say

COMMANDS: tuple[str, ...] = ("answer", "choose", "due", "offer", "programme", "remedies", "sign", "signed", "what-if",
                             "withdraw")
"""What a plan is worked with, each in `cli/prescribing/` under its own name."""


@click.group(cls=Lazy, package="rootcase.cli.prescribing", names=COMMANDS, invoke_without_command=True,
             help=say("cli.help.prescribe"))
@fieldbook_option
@property_option
@json_option
@run_options
@click.pass_context
def prescribe(context: click.Context, fieldbook_path: Path | None, property_name: str | None, as_json: bool,
              day: date | None, draws: int, seed: int, threads: int) -> None:
    if context.invoked_subcommand:
        if any(context.get_parameter_source(name) is ParameterSource.COMMANDLINE for name in context.params):
            raise click.UsageError(say("cli.options_after", command=context.invoked_subcommand), context)
        return
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal import plan_text
    from rootcase.services.observe import find_property
    from rootcase.services.prescribe import prescribe_property

    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        casework = prescribe_property(fieldbook, find_property(fieldbook, property_name), run)
    out(stage_json(casework.plan) if as_json else plan_text(casework, *screen()))
