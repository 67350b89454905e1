"""Observe: what was seen goes in, is kept, and can be read back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rootcase.fieldbook.export.template import write_template
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.importer import ImportResult
from rootcase.fieldbook.intake.lists.listing import Given, Listing, is_list
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.fieldbook.store.store import Contact
from rootcase.fieldbook.undo import Undone
from rootcase.ground.dates import last_finished_season
from rootcase.ground.errors import FileError, Missing
from rootcase.ground.words import say
from rootcase.records.observe import Property, PropertyRecord, System

_NORTH_DEG = 45.0
"""Where the sheet is taken to be filled in; nobody has said yet."""


def template(path: Path, system: System, today: date) -> None:
    """Write the empty field sheet, with the years whose shoots can be read today; in the south overtype them."""
    write_template(path, system, last_finished_season(today, _NORTH_DEG))


FIELD_PAGES = ("places", "visits", "trees", "shoots", "covers", "pits", "samples", "readings")
"""Of a property's own field sheet: what is read there; what the practice tells of money, law and people is not."""


def own_sheet(path: Path, record: PropertyRecord, today: date, by: str) -> None:
    """Write the field sheet of one property, with its places and trees in it and the visit it is taken along to.

    by: code of who takes it; two sheets of one day are two visits.
    """
    visit = say("read.sheet_visit", day=today.isoformat(), by=by)
    names = {place.id: place.name for place in record.places}
    filled: dict[str, list[dict[str, str]]] = {page: [] for page in FIELD_PAGES}
    filled["places"] = [{"place": place.name, "visit": visit} for place in record.places]
    filled["visits"] = [{"visit": visit}]  # whoever fills it in and brings it back
    filled["trees"] = [{"tree": tree.label, "place": names.get(tree.place_id, ""), "visit": visit}
                       for tree in record.trees]
    ground = record.property
    write_template(path, ground.system, last_finished_season(today, ground.latitude_deg), filled)


def import_readings(fieldbook: Fieldbook, path: Path, property_id: str) -> ImportResult:
    """Take in what was read at a property from its field sheet; pages of money, law, people, weather are left alone."""
    if is_list(path):
        raise FileError(say("read.only_sheet"), where=path.name, right=say("read.right_only_sheet"))
    return fieldbook.import_sheet(path, property_id=property_id, only=FIELD_PAGES)


def import_file(fieldbook: Fieldbook, path: Path, given: Given) -> tuple[ImportResult | None, Listing | None]:
    """Take in a field sheet, or show how any other list is read and, where it was asked for, keep what is ready."""
    if is_list(path):
        return None, fieldbook.import_list(path, given)
    if given.mends or given.mapping or given.told != Told(property_name=given.told.property_name):
        raise FileError(say("lists.own_sheet"), where=path.name, right=say("lists.right_own_sheet"))
    named = find_property(fieldbook, given.told.property_name).id if given.told.property_name else None
    return fieldbook.import_sheet(path, property_id=named, rejects=given.rejects), None


def find_property(fieldbook: Fieldbook, name: str | None, option: str = "--property") -> Property:
    """The property of this name, or the only one there is; the option is the one that named it."""
    known = fieldbook.properties()
    if not known:
        raise Missing(say("services.no_property"), right=say("services.import_first"))
    fitting = [p for p in known if name is None or p.name.casefold() == name.casefold()]
    if len(fitting) == 1:
        return fitting[0]
    names = ", ".join(p.name for p in known)
    if name is None:
        raise Missing(say("services.several_properties"), right=say("services.name_one", names=names, option=option))
    raise Missing(say("services.unknown_property"), value=name,
                  right=say("services.name_one", names=names, option=option))


def read_property(fieldbook: Fieldbook, name: str | None) -> PropertyRecord:
    """Everything the fieldbook holds of a property, corrections applied."""
    return fieldbook.record(find_property(fieldbook, name).id)


def undo_import(fieldbook: Fieldbook, name: str | None, reason: str) -> Undone:
    """Undo the newest import of a property."""
    return fieldbook.undo_import(find_property(fieldbook, name).id, reason)


def contacts_of(fieldbook: Fieldbook, name: str | None) -> tuple[Contact, ...]:
    """Owner, payer and site contact of a property, as far as given and not erased."""
    return fieldbook.contacts(find_property(fieldbook, name).id)


def erase_contact(fieldbook: Fieldbook, name: str | None, contact_id: str) -> None:
    """Erase one person of a property."""
    if contact_id not in {person.id for person in contacts_of(fieldbook, name)}:
        raise Missing(say("services.unknown_contact"), value=contact_id, right=say("services.see_contacts"))
    fieldbook.erase_contact(contact_id)
