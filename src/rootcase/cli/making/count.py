"""rootcase make count."""

from __future__ import annotations

from typing import Literal

import click

from rootcase.cli.options import json_option, out, tell, today
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.words import say


@click.command(help=say("slide.help.count"))
@click.argument("method", metavar="METHOD")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--units", "system", type=click.Choice(("us", "metric")), default="us", show_default=True,
              help=say("rates.option_units"))
@click.option("--within", type=click.FloatRange(1, 100), default=20, show_default=True, help=say("slide.help.within"))
@json_option
def count(method: str, typed: tuple[str, ...], system: Literal["us", "metric"], within: float, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.slides import slide_told
    from rootcase.services.slides import try_slide

    cells = {"method": method, "source": "soil", "source_id": "-", "counted": say("slide.counted"),
             **_cells(method, typed)}
    found = try_slide(cells, by="-", today=today(), system=system, aimed_at=within / 100)
    if found.slide is None or found.count is None:
        field, wrong = next(iter(found.wrong.items()))
        raise RootcaseError(wrong, where=field)
    if as_json:
        out(stage_json(found.count))
        return
    words = slide_told(found.slide, found.count)
    tell(*filter(None, (words.needed, words.finding, *words.lines, *found.said, words.not_shown)))


def _cells(method: str, typed: tuple[str, ...]) -> dict[str, str]:
    """What was typed, by the name of what is asked; a ; parts what would be lines on the page."""
    from rootcase.services.slide_form import ASKS, METHODS, ROWS

    known = {name: name for name in METHODS if name != "photos"}
    if method not in known:
        raise UnreadableValue(say("slide.no_method"), value=method, right=say("readings.or").join(known))
    counts = [f"counts.{group}" for group in ROWS] if method == "sieve" else ["counts"]
    names = [*counts, *(ask.name for ask in ASKS[known[method]]), "counted", "constant"]
    cells = {}
    for pair in typed:
        name, equal, value = pair.partition("=")
        if not equal or name not in names:
            raise UnreadableValue(say("slide.no_name"), value=pair, right=say("rates.right_pair",
                                                                             names=", ".join(names)))
        cells[name] = value.replace(";", "\n")
    return cells
