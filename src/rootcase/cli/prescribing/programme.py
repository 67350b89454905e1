"""rootcase prescribe programme: what is repeated by agreement."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.options import (
    WholeNumber,
    day_option,
    fieldbook_option,
    json_option,
    open_book,
    out,
    property_option,
    read_day,
    read_words,
    screen,
    tell,
    today,
)
from rootcase.ground.dates import show_date
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.fieldbook.fieldbook import Fieldbook
    from rootcase.records.observe import Property

visits_option = click.option("--visits", type=WholeNumber(1, 52), metavar="N", help=say("offer.help.visits"))
price_option = click.option("--price-until", callback=read_day, help=say("offer.help.price_until"))


@click.group(help=say("offer.help.programme"))
def programme() -> None:
    """One programme of a property runs at a time."""


@programme.command(help=say("offer.help.start"))
@visits_option
@price_option
@fieldbook_option
@property_option
@day_option
def start(visits: int | None, price_until: date | None, fieldbook_path: Path | None, property_name: str | None,
          day: date | None) -> None:
    from rootcase.services.offer import start_programme

    with open_book(fieldbook_path) as fieldbook:
        start_programme(fieldbook, _ground(fieldbook, property_name), day or today(), visits or 1, price_until)
        _show(fieldbook, property_name, day)


@programme.command(help=say("offer.help.skip"))
@click.option("--visit", callback=read_day, help=say("offer.help.visit"))
@click.option("--reason", required=True, callback=read_words, help=say("offer.help.reason"))
@fieldbook_option
@property_option
@day_option
def skip(visit: date | None, reason: str, fieldbook_path: Path | None, property_name: str | None,
         day: date | None) -> None:
    from rootcase.services.offer import skip_visit

    with open_book(fieldbook_path) as fieldbook:
        skipped = skip_visit(fieldbook, _ground(fieldbook, property_name), day or today(), visit, reason)
        tell(say("offer.programme.skipped", day=show_date(skipped)))
        _show(fieldbook, property_name, day)


@programme.command(help=say("offer.help.renew"))
@visits_option
@price_option
@fieldbook_option
@property_option
@day_option
def renew(visits: int | None, price_until: date | None, fieldbook_path: Path | None, property_name: str | None,
          day: date | None) -> None:
    from rootcase.services.offer import renew_programme

    with open_book(fieldbook_path) as fieldbook:
        renew_programme(fieldbook, _ground(fieldbook, property_name), day or today(), visits, price_until)
        _show(fieldbook, property_name, day)


@programme.command(help=say("offer.help.stop"))
@click.option("--reason", required=True, callback=read_words, help=say("offer.help.reason"))
@fieldbook_option
@property_option
@day_option
def stop(reason: str, fieldbook_path: Path | None, property_name: str | None, day: date | None) -> None:
    from rootcase.services.offer import stop_programme

    with open_book(fieldbook_path) as fieldbook:
        stop_programme(fieldbook, _ground(fieldbook, property_name), day or today(), reason)
        _show(fieldbook, property_name, day)


@programme.command(help=say("offer.help.show"))
@fieldbook_option
@property_option
@json_option
@day_option
def show(fieldbook_path: Path | None, property_name: str | None, as_json: bool, day: date | None) -> None:
    with open_book(fieldbook_path) as fieldbook:
        _show(fieldbook, property_name, day, as_json=as_json)


def _ground(fieldbook: Fieldbook, property_name: str | None) -> Property:
    from rootcase.services.observe import find_property

    return find_property(fieldbook, property_name)


def _show(fieldbook: Fieldbook, property_name: str | None, day: date | None, *, as_json: bool = False) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal.offer import programme_text
    from rootcase.services.offer import programmes_of, yes_gone

    ground, on = _ground(fieldbook, property_name), day or today()
    record, states = programmes_of(fieldbook, ground, on)
    out(stage_json(states) if as_json else programme_text(record, states, yes_gone(fieldbook, ground, on), *screen()))
