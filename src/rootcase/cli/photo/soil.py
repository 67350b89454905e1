"""rootcase observe photo soil."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.services.soil_photo import SoilPhoto


@click.command(help=say("photo.help.soil"))
@click.argument("image", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--at", "at_px", nargs=2, type=float, metavar="X Y", help=say("photo.option.at"))
@json_option
def soil(image: Path, at_px: tuple[float, float] | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.services.soil_photo import soil_in

    found = soil_in(image, at_px)
    if as_json:
        out(stage_json(found))
        return
    out(_line(found))
    tell(*found.warnings, say("photo.soil.look"))


def _line(found: SoilPhoto) -> str:
    value, chroma = (_span(f"{low:g}", f"{high:g}") for low, high in (found.value, found.chroma))
    shares = ", ".join(say("photo.soil.share", chip=each.chip, pct=f"{100 * each.share:.0f}") for each in found.near)
    return say("photo.soil.line", chip=found.chip, value=value, chroma=chroma, hue=_span(*found.hue), shares=shares)


def _span(low: str, high: str) -> str:
    return low if low == high else say("photo.soil.span", low=low, high=high)
