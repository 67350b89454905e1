"""rootcase observe photo leaf."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.services.leaf_photo import LeafSeen


@click.command(help=say("photo.help.leaf"))
@click.argument("image", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@json_option
def leaf(image: Path, as_json: bool) -> None:
    from rootcase.services.leaf_photo import leaves_in

    found = leaves_in(image)
    if as_json:
        from rootcase.report.casework_json import stage_json

        out(stage_json(found))
        return
    for number, each in enumerate(found.leaves, 1):
        out(_line(number, each))
    tell(*found.warnings, say("photo.leaf.look"))


def _line(number: int, seen: LeafSeen) -> str:
    from rootcase.ground.quantity import show, show_interval

    area = show(seen.area_mm2, "mm2", "us", ("in2", "cm2"), 3)
    span = show_interval(seen.low_mm2, seen.high_mm2, "mm2", "us", ("in2", "cm2"), 3)
    if seen.colour.dark_green is None:
        return say("photo.leaf.line_plain", number=number, area=area, span=span)
    return say("photo.leaf.line", number=number, area=area, span=span, green=f"{seen.colour.dark_green:.2f}")
