"""rootcase apply route."""

from __future__ import annotations

import json
from pathlib import Path

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.words import say


@click.command(help=say("route.help.route"))
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@json_option
def route(file: Path, as_json: bool) -> None:
    from rootcase.services.route_file import routed

    found = routed(file)
    if as_json:
        out(json.dumps(found, ensure_ascii=False))
        return
    tell(say("route.proven" if found["proven"] else "route.found", minutes=f"{found['cost']:g}"))
    for crew, trips in enumerate(found["plan"], 1):
        tell(say("route.crew", crew=crew) if trips else say("route.stays", crew=crew),
             *(say("route.trip", place=trip["fill_at"], minute=f"{trip['fill_done_min']:g}",
                   stops=", ".join(trip["stops"])) for trip in trips))
    tell(*(say("route.left_out", stop=each["stop"], why=say(f"route.why.{each['why']}")) for each in found["left_out"]))
