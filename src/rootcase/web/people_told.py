"""People in words: where they stand, when they came, what is wrong with what they typed."""

from __future__ import annotations

from datetime import datetime

from rootcase.ground.dates import show_date
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.people import Person

_FIELDS = ("code", "name", "login", "may_sign", "password", "again", "old_password", "second_step", "key", "practice")


def state_told(person: Person) -> str:
    """Whether somebody can come in."""
    return say(f"people.state.{'left' if person.ended else 'in' if person.can_sign_in else 'invited'}")


def moment_told(moment: datetime) -> str:
    """A moment by the clock of this machine."""
    here = moment.astimezone()
    return say("people.moment", day=show_date(here.date()), time=f"{here:%H:%M}")


def faults(trouble: RootcaseError | None) -> dict[str, str]:
    """One line under the name of the field whose label the trouble bears; under no name where it is about none."""
    if trouble is None:
        return {}
    field = next((name for name in _FIELDS if say(f"people.field.{name}") == trouble.where), "")
    got = f" ({say('people.refused.got', value=trouble.value)})" if trouble.value else ""
    right = f"; {trouble.right}" if trouble.right else ""
    return {field: f"{trouble.what}{got}{right}"}
