"""rootcase explain."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

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


@click.command(help=say("cli.help.explain"))
@fieldbook_option
@property_option
@json_option
@run_options
def explain(fieldbook_path: Path | None, property_name: str | None, as_json: bool, day: date | None, draws: int,
            seed: int, threads: int) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal import explanation_text
    from rootcase.report.terminal.pests import pests_text
    from rootcase.services.compare import compare_property
    from rootcase.services.explain import explain_property
    from rootcase.services.observe import read_property
    from rootcase.services.pests import pests_property
    from rootcase.services.weather import weather_for

    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        record = read_property(fieldbook, property_name)
        weather = weather_for(fieldbook, record.property, run)
        pests = pests_property(fieldbook, record, run)
    explanations = explain_property(record, compare_property(record, run), weather, run)
    out(stage_json(explanations) if as_json else "\n".join(
        (explanation_text(record, explanations, *screen()), pests_text(record, pests, *screen()))))
