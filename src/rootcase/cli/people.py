"""rootcase people: for who has the machine itself, when nobody can come in any other way."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast, get_args

import click

from rootcase.cli.options import fieldbook_option, open_book, out, tell
from rootcase.ground.words import say
from rootcase.records.people import Role

if TYPE_CHECKING:
    from rootcase.fieldbook.fieldbook import Fieldbook

address_option = click.option("--address", default="http://127.0.0.1:8470", show_default=True,
                              help=say("people.option.address"))


@click.group(help=say("people.help.people"))
def people() -> None:
    """People on the machine itself."""


@people.command("list", help=say("people.help.list"))
@fieldbook_option
def list_people(fieldbook_path: Path | None) -> None:
    from rootcase.fieldbook.people.register import people_of
    from rootcase.fieldbook.people.sessions import sessions_of

    with open_book(fieldbook_path) as fieldbook:
        for each in people_of(fieldbook.store):
            open_ones = len(sessions_of(fieldbook.store, each.code, datetime.now(UTC)))
            out(say("people.line", code=each.code, name=each.name or say("people.erased"),
                    role=say(f"people.role.{each.role}"), login=each.login or say("people.erased"), sessions=open_ones,
                    signs=say("people.more.signs" if each.may_sign else "people.more.does_not"),
                    state=say(f"people.state.{'left' if each.ended else 'in' if each.can_sign_in else 'invited'}")))


@people.command(help=say("people.help.add"))
@click.argument("code")
@click.option("--name", required=True, help=say("people.option.name"))
@click.option("--login", required=True, help=say("people.option.login"))
@click.option("--role", type=click.Choice(get_args(Role)), required=True, help=say("people.option.role"))
@click.option("--signs", is_flag=True, help=say("people.option.signs"))
@address_option
@fieldbook_option
def add(code: str, name: str, login: str, role: str, signs: bool, address: str, fieldbook_path: Path | None) -> None:
    from rootcase.fieldbook.people.register import add_person

    with open_book(fieldbook_path, make=True) as fieldbook:
        added = add_person(fieldbook.store, code, name, login, cast(Role, role), may_sign=signs)
        _tell_invitation(fieldbook, added.code, address)


@people.command(help=say("people.help.invite"))
@click.argument("code")
@address_option
@fieldbook_option
def invite(code: str, address: str, fieldbook_path: Path | None) -> None:
    with open_book(fieldbook_path) as fieldbook:
        _tell_invitation(fieldbook, code, address)


@people.command("end-sessions", help=say("people.help.end_sessions"))
@click.argument("code")
@fieldbook_option
def end_sessions(code: str, fieldbook_path: Path | None) -> None:
    from rootcase.fieldbook.people import sessions
    from rootcase.fieldbook.people.register import person

    with open_book(fieldbook_path) as fieldbook:
        whose = person(fieldbook.store, code).code
        tell(say("people.ended_sessions", code=whose, count=sessions.end_sessions(fieldbook.store, whose)))


@people.command("reset-totp", help=say("people.help.reset_totp"))
@click.argument("code")
@address_option
@fieldbook_option
def reset_totp(code: str, address: str, fieldbook_path: Path | None) -> None:
    from rootcase.fieldbook.people.keys import drop_keys

    with open_book(fieldbook_path) as fieldbook:
        drop_keys(fieldbook.store, code)
        _tell_invitation(fieldbook, code, address)


@people.command(help=say("people.help.erase"))
@click.argument("code")
@click.option("--yes", is_flag=True, help=say("people.option.yes"))
@fieldbook_option
def erase(code: str, yes: bool, fieldbook_path: Path | None) -> None:
    from rootcase.fieldbook.people.register import erase_person, person

    with open_book(fieldbook_path) as fieldbook:
        whose = person(fieldbook.store, code)
        if not yes:
            click.confirm(say("people.erase_really", code=whose.code, name=whose.name), abort=True)
        erase_person(fieldbook.store, whose.code, datetime.now(UTC))
    tell(say("people.erased_told", code=whose.code))


def _tell_invitation(fieldbook: Fieldbook, code: str, address: str) -> None:
    from rootcase.fieldbook.people.keys import INVITED_FOR
    from rootcase.fieldbook.people.keys import invite as invited

    token = invited(fieldbook.store, code, datetime.now(UTC), os.urandom)
    tell(say("people.invited", code=code, days=INVITED_FOR.days))
    out(f"{address.rstrip('/')}/invite/{token}")
