"""The page of the property itself, and of its contacts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from zoneinfo import ZoneInfo, available_timezones

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.events import PropertyOpened
from rootcase.fieldbook.intake.desk import Line, whole
from rootcase.fieldbook.intake.faults import Fault, PageRefused, Refused
from rootcase.fieldbook.intake.grid import Cell, Page, folded
from rootcase.fieldbook.intake.layout import ROLES
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.intake.values import read_length_m, read_value
from rootcase.fieldbook.store.store import Contact
from rootcase.ground.errors import RootcaseError, TypedError
from rootcase.ground.length import MOST_LINE, MOST_NAME, require_length
from rootcase.ground.position import degrees_of
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.currencies import known_currencies
from rootcase.tables.readings import kinds

_NEEDED = ("name", "latitude", "longitude", "system")
_MOST_SIGNS = {"name": MOST_NAME, "weather_station": MOST_NAME, "law": MOST_LINE}
KEYS = (*_NEEDED, "elevation", "time_zone", "currency", "weather_station", "invented", "law")


def property_name(page: Page) -> str:
    """The name a page of a property gives."""
    return cells_of(page).get("name", (0, Cell("")))[1].text


def property_facts(page: Page, slot: str, known: PropertyOpened | None) -> PropertyOpened:
    """The facts of a property; what a page leaves out stays as known, and what is needed and never told is refused."""
    cells = cells_of(page)
    missing = [key for key in _NEEDED if not cells.get(key, (0, Cell("")))[1].text]
    if missing and known is None:
        raise PageRefused(Fault(page.name, 1, "", "", say("intake.property_lacks", keys=", ".join(missing)),
                                say("intake.right_property")))
    facts = known or PropertyOpened(slot=slot, name="", latitude_deg=0.0, longitude_deg=0.0,
                                    weather_station="", system="metric", invented=False)
    # The system first: it says what a bare elevation is in.
    for key in sorted(cells, key=lambda key: key != "system"):
        number, cell = cells[key]
        if not cell.text:
            continue
        try:
            facts = _with(facts, key, cell)
        except RootcaseError as error:
            fault = Fault(page.name, number, key, error.value or f'"{cell.text}"', error.what, error.right)
            raise PageRefused(fault) from None
    return replace(facts, slot=slot, supersedes=None)


def cells_of(page: Page) -> dict[str, tuple[int, Cell]]:
    """Number of its row and value of each fact on a page."""
    return {folded(row.cells[0].text).replace(" ", "_"): (row.number, row.cells[1])
            for row in page.rows if len(row.cells) > 1}


def _with(facts: PropertyOpened, key: str, cell: Cell) -> PropertyOpened:
    """The facts with one more."""
    if key in ("latitude", "longitude"):
        degrees = _degrees(key, cell, facts.system)
        return replace(facts, latitude_deg=degrees) if key == "latitude" else replace(facts, longitude_deg=degrees)
    if key == "elevation":
        return replace(facts, elevation_m=read_length_m(cell, "", facts.system))
    if key == "system":
        return replace(facts, system=_system(cell))
    if key == "invented":
        return replace(facts, invented=_yes(cell))
    if key == "time_zone":
        return replace(facts, time_zone=_time_zone(cell))
    if key == "currency":
        return replace(facts, currency=currency(cell.text))
    if key in _MOST_SIGNS:
        require_length(cell.text, _MOST_SIGNS[key])
        return replace(facts, **{key: cell.text})
    raise Refused(say("intake.no_key"), right=say("intake.one_of", choices=", ".join(KEYS)))


def _degrees(key: str, cell: Cell, system: System) -> float:
    """Decimal degrees, or degrees with minutes and seconds and the letter of their side."""
    typed = degrees_of(cell.text, "NS" if key == "latitude" else "EW")
    try:
        value = read_value(kinds()[key], Cell(number_text(typed)) if typed is not None else cell, "deg", system, None)
    except TypedError:
        raise Refused(say("intake.no_degrees"), right=say("intake.right_degrees")) from None
    if value is None or value.value is None or value.sign != "=":
        raise Refused(say("intake.needed", column=key), right=say("intake.right_degrees"))
    return value.value


def currency(text: str) -> str:
    """Three letters of ISO 4217."""
    if text.upper() not in known_currencies():
        raise Refused(say("intake.no_currency"), value=f'"{text}"', right=say("intake.right_currency"))
    return text.upper()


def _system(cell: Cell) -> System:
    systems: Mapping[str, System] = {"us": "us", "metric": "metric"}
    if folded(cell.text) not in systems:
        raise Refused(say("intake.no_choice", kind="system"), right=say("intake.one_of", choices="us, metric"))
    return systems[folded(cell.text)]


def _yes(cell: Cell) -> bool:
    if folded(cell.text) not in ("yes", "no"):
        raise Refused(say("intake.no_choice", kind="invented"), right=say("intake.one_of", choices="yes, no"))
    return folded(cell.text) == "yes"


def _time_zone(cell: Cell) -> str:
    """A zone's name; where the system carries no list of zones, only its form can be checked."""
    zones = available_timezones()
    if (zones and cell.text not in zones) or not re.fullmatch(r"[A-Za-z]+(?:[/_+-][A-Za-z0-9]+)*", cell.text):
        raise Refused(say("intake.no_time_zone"), value=f'"{cell.text}"', right=say("intake.right_time_zone"))
    return ZoneInfo(cell.text).key if zones else cell.text


def take_contacts(lines: list[Line]) -> None:
    for line in whole(lines):
        with line.guarding():
            role, name = folded(line.text("role")), line.text("name")
            if role not in ROLES:
                raise Refused(say("intake.no_choice", kind="role"), value=f'"{line.text("role")}"',
                              right=say("intake.one_of", choices=", ".join(ROLES)))
            if not name:
                raise Refused(say("intake.needed", column="name"), right=say("intake.right_label"))
            desk = line.desk
            desk.contacts.append(Contact(named_id(desk.practice_id, desk.property_id, "contact", role, folded(name)),
                                         desk.property_id, role, name, line.text("phone"), line.text("email")))
