"""rootcase observe: the field sheet out, readings in, readings back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rootcase.cli.lazy import Lazy
from rootcase.cli.lists import given, list_options
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, property_option, screen, tell, today
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.fieldbook.fieldbook import Fieldbook

NEEDS_YOU = 1
PHOTOS: tuple[str, ...] = ("canopy", "card", "leaf", "soil")
"""Each in `cli/photo/` under its own name."""


@click.group(help=say("cli.help.observe"))
def observe() -> None:
    """What is seen goes in here."""


@observe.command(help=say("cli.help.template"))
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--system", type=click.Choice(["us", "metric"]), default="us", show_default=True,
              help=say("cli.option.system"))
@click.option("--force", is_flag=True, help=say("cli.option.force"))
def template(file: Path, system: str, force: bool) -> None:
    if file.suffix.lower() != ".xlsx":
        raise click.BadParameter(say("cli.template_ending", file=file.with_suffix(".xlsx").name), param_hint="FILE")
    if file.exists() and not force:
        raise click.BadParameter(say("cli.exists", file=file), param_hint="FILE")
    from rootcase.services.observe import template as write

    write(file, "metric" if system == "metric" else "us", today())
    tell(say("cli.template_written", file=file))


@observe.command("import", help=say("cli.help.import"))
@click.argument("file", type=click.Path(exists=True, path_type=Path))
@click.option("--rejects", type=click.Path(path_type=Path), help=say("cli.option.rejects"))
@list_options
@fieldbook_option
@json_option
@click.pass_context
def import_(context: click.Context, file: Path, fieldbook_path: Path | None, as_json: bool, **flags: Any) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal import import_text, listing_text
    from rootcase.services.observe import import_file

    said = given(**flags)
    with open_book(fieldbook_path, make=True) as fieldbook:
        sheet, listing = import_file(fieldbook, file, said)
    if listing:
        out(stage_json(listing) if as_json else listing_text(listing, file, said.save, *screen()))
        needs_you = bool(listing.waiting or listing.needed)
    else:
        assert sheet is not None  # one of the two came of it
        out(stage_json(sheet) if as_json else import_text(sheet, *screen()))
        needs_you = bool(sheet.faults)
    if needs_you:
        context.exit(NEEDS_YOU)


@observe.command(help=say("cli.help.weather"))
@click.argument("file", type=click.Path(exists=True, path_type=Path))
@click.option("--station", help=say("cli.option.station"))
@click.option("--gauge", help=say("cli.option.gauge"))
@click.option("--units", type=click.Choice(["metric", "us", "tenths"]), help=say("cli.option.units"))
@click.option("--rain-unit", type=click.Choice(["mm", "tenths"]), help=say("cli.option.rain_unit"))
@click.option("--fill", type=click.IntRange(0, 30), default=0, help=say("cli.option.fill"))
@click.option("--fill-from", help=say("cli.option.fill_from"))
@click.option("--stand-in/--no-stand-in", default=None, help=say("cli.option.stand_in"))
@click.option("--forecast", is_flag=True, help=say("cli.option.forecast"))
@click.option("--issued", help=say("cli.option.issued"))
@fieldbook_option
@json_option
@click.pass_context
def weather(context: click.Context, /, file: Path, fieldbook_path: Path | None, as_json: bool, **said: Any) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal import weather_text
    from rootcase.services.weather import WeatherSaid, take_weather

    with open_book(fieldbook_path, make=True) as fieldbook:
        result = take_weather(fieldbook, file, WeatherSaid(**said))
    out(stage_json(result) if as_json else weather_text(result, *screen()))
    if result.faults:
        context.exit(NEEDS_YOU)


@observe.command("list", help=say("cli.help.list"))
@fieldbook_option
@property_option
@json_option
def list_(fieldbook_path: Path | None, property_name: str | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.terminal import readings_text
    from rootcase.services.observe import read_property

    with open_book(fieldbook_path) as fieldbook:
        record = read_property(fieldbook, property_name)
    out(stage_json(record) if as_json else readings_text(record, *screen()))


@observe.command(help=say("cli.help.correct"))
@click.argument("reading")
@click.argument("value")
@click.option("--reason", required=True, help=say("cli.option.reason"))
@fieldbook_option
def correct(reading: str, value: str, reason: str, fieldbook_path: Path | None) -> None:
    with open_book(fieldbook_path) as fieldbook:
        tell(say("cli.corrected", new=fieldbook.correct(reading, value, reason), old=reading))
        _tell_plans(fieldbook, reading)


@observe.command("take-back", help=say("cli.help.take_back"))
@click.argument("reading")
@click.option("--reason", required=True, help=say("cli.option.reason"))
@fieldbook_option
def take_back(reading: str, reason: str, fieldbook_path: Path | None) -> None:
    with open_book(fieldbook_path) as fieldbook:
        fieldbook.take_back(reading, reason)
        tell(say("cli.taken_back", old=reading))
        _tell_plans(fieldbook, reading)


def _tell_plans(fieldbook: Fieldbook, reading: str) -> None:
    """Name the signed plans that rest on a reading which was changed."""
    from rootcase.report.text.signed import signature

    for plan in fieldbook.plans_on(reading):
        tell(say("sign.stands_in", plan=signature(plan)))


@observe.command("is-right", help=say("cli.help.is_right"))
@click.argument("reading")
@click.option("--reason", default="", help=say("cli.option.reason"))
@fieldbook_option
def is_right(reading: str, reason: str, fieldbook_path: Path | None) -> None:
    with open_book(fieldbook_path) as fieldbook:
        new = fieldbook.call_right(reading, reason)
    tell(say("cli.is_right", old=reading, new=new))


@observe.command(help=say("cli.help.undo"))
@click.option("--reason", default="", help=say("cli.option.reason"))
@fieldbook_option
@property_option
def undo(reason: str, fieldbook_path: Path | None, property_name: str | None) -> None:
    from rootcase.services.observe import undo_import

    with open_book(fieldbook_path) as fieldbook:
        undone = undo_import(fieldbook, property_name, reason)
    tell(say("cli.undone", file=undone.file, count=f"{undone.events:,}"))


@observe.command("take-in", help=say("phones.cli.help"))
@click.argument("file", type=click.Path(exists=True, path_type=Path, dir_okay=False))
@fieldbook_option
@click.pass_context
def take_in(context: click.Context, file: Path, fieldbook_path: Path | None) -> None:
    from datetime import UTC, datetime

    from rootcase.services.phone_file import take_phone_file

    with open_book(fieldbook_path) as fieldbook:
        taken = take_phone_file(fieldbook, file, datetime.now(UTC))
    tell(say("phones.file_taken", fresh=taken.count("new"), known=taken.count("known"), photos=taken.photos))
    if waiting := taken.count("waiting"):
        tell(say("phones.file_waits", count=waiting))
    if taken.refused:
        tell(say("phones.file_refused", count=len(taken.refused)), *(each.error for each in taken.refused))
    if taken.damaged:
        tell(say("phones.damaged", count=len(taken.damaged)), *taken.damaged)
    if taken.refused or taken.damaged:
        context.exit(NEEDS_YOU)


@observe.command(help=say("cli.help.contacts"))
@fieldbook_option
@property_option
def contacts(fieldbook_path: Path | None, property_name: str | None) -> None:
    from rootcase.services.observe import contacts_of

    with open_book(fieldbook_path) as fieldbook:
        people = contacts_of(fieldbook, property_name)
    for person in people:
        out(" · ".join(filter(None, (person.id, person.role, person.name, person.phone, person.email))))
    if not people:
        tell(say("cli.no_contacts"))


@observe.command(help=say("people.contacts.help"))
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@fieldbook_option
@property_option
def contact(typed: tuple[str, ...], fieldbook_path: Path | None, property_name: str | None) -> None:
    from rootcase.cli.making.cells import read_cells, require_none
    from rootcase.services.contacts import FIELDS, tell_contact
    from rootcase.services.observe import find_property

    cells = read_cells(typed, "contact", FIELDS)
    with open_book(fieldbook_path) as fieldbook:
        require_none(tell_contact(fieldbook, find_property(fieldbook, property_name), cells))
    tell(say("people.contacts.told"))


@observe.command("erase-contact", help=say("cli.help.erase_contact"))
@click.argument("contact")
@fieldbook_option
@property_option
def erase_contact(contact: str, fieldbook_path: Path | None, property_name: str | None) -> None:
    from rootcase.services.observe import erase_contact as erase

    with open_book(fieldbook_path) as fieldbook:
        erase(fieldbook, property_name, contact)
    tell(say("cli.contact_erased"))


@observe.group(cls=Lazy, package="rootcase.cli.photo", names=PHOTOS, help=say("photo.help.photo"))
def photo() -> None:
    """What a camera measures."""
