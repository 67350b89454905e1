"""Whom to greet, who pays, and where a client lives: kept outside the events, so that it can be erased."""

from __future__ import annotations

from collections.abc import Mapping

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.layout import ROLES as OF_SHEETS
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.store.store import Contact
from rootcase.ground.errors import Missing, RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, MOST_NAME, require_length
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.services.log import ADDRESS

ROLES = (*OF_SHEETS, ADDRESS)
"""The address of a client is a contact whose name it is: the record of restricted work asks for it."""
FIELDS = ("role", "name", "phone", "email")
_MOST = {"name": MOST_LINE, "phone": MOST_NAME, "email": MOST_NAME}


def tell_contact(book: Fieldbook, ground: Property, typed: Mapping[str, str]) -> Mapping[str, str]:
    """Keep a contact as it was typed; returns what is wrong, by field; then nothing is kept.

    There is one address of a client: a new one takes the place of the old.
    """
    cells = {name: " ".join(typed.get(name, "").split()) for name in ("role", *_MOST)}
    wrong: dict[str, str] = {}
    for name, most in _MOST.items():
        try:
            require_length(cells[name], most)
        except RootcaseError as error:
            wrong[name] = str(error)
    if cells["role"] not in ROLES:
        wrong["role"] = str(UnreadableValue(say("people.contacts.no_role"), value=f'"{cells["role"][:40]}"',
                                            right=", ".join(ROLES)))
    if not cells["name"]:
        wrong["name"] = str(Missing(say("people.contacts.nothing"), right=say("people.contacts.right")))
    if wrong:
        return wrong
    role = cells["role"]
    an_id = named_id(book.store.practice_id, ground.id, "contact", role, cells["name"].casefold())
    with book.store.writing() as turn:
        if role == ADDRESS:
            for each in turn.contacts(ground.id):
                if each.role == ADDRESS:
                    turn.erase_contact(each.id)
        turn.keep_contacts([Contact(an_id, ground.id, role, cells["name"], cells["phone"], cells["email"])])
    return {}
