"""rootcase make count."""

from __future__ import annotations

import click

from rootcase.cli.making.cells import slide_cells
from rootcase.cli.making.units import units_option
from rootcase.cli.options import json_option, out, tell, today
from rootcase.ground.errors import RootcaseError
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("slide.help.count"))
@click.argument("method", metavar="METHOD")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@units_option
@click.option("--within", type=click.FloatRange(1, 100), default=20, show_default=True, help=say("slide.help.within"))
@json_option
def count(method: str, typed: tuple[str, ...], system: System, within: float, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.slides import slide_told
    from rootcase.services.slides import try_slide

    cells = {"source": "soil", "source_id": "-", "counted": say("slide.counted"), **slide_cells(method, typed)}
    found = try_slide(cells, by="-", today=today(), system=system, aimed_at=within / 100)
    if found.slide is None or found.count is None:
        field, wrong = next(iter(found.wrong.items()))
        raise RootcaseError(wrong, where=field)
    if as_json:
        out(stage_json(found.count))
        return
    words = slide_told(found.slide, found.count)
    tell(*filter(None, (words.needed, words.finding, *words.lines, *found.said, words.not_shown)))
