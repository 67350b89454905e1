"""People in words: where they stand, when they came, what is wrong with what they typed."""

from __future__ import annotations

from datetime import datetime

from rootcase.ground.dates import show_date
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.people import Person

_BROWSERS = {"Edg": "Edge", "OPR/": "Opera", "Firefox/": "Firefox", "Chrome/": "Chrome", "Safari/": "Safari"}
_SYSTEMS = {"Android": "Android", "iPhone": "iPhone", "iPad": "iPad", "Windows": "Windows", "Mac OS X": "macOS",
            "Linux": "Linux"}
"""By the sign in what a browser says of itself; several claim to be another too, so the first that fits counts (common
practice, no source)."""
_LONGEST_DEVICE = 40
_FIELDS = ("code", "name", "login", "may_sign", "password", "again", "old_password", "second_step", "key", "practice")


def state_told(person: Person) -> str:
    """Whether somebody can come in."""
    return say(f"people.state.{'left' if person.ended else 'in' if person.can_sign_in else 'invited'}")


def clock_told(ahead_ms: int) -> str:
    """How far a clock is off, in words.

    >>> clock_told(-7_500_000), clock_told(180_000)
    ('2 h 5 min behind', '3 min ahead')
    """
    minutes = round(abs(ahead_ms) / 60_000)
    hours, minutes = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    parts = ((days, "days"), (hours, "hours"), (minutes, "minutes"))
    told = " ".join(say(f"kept_aside.{unit}", count=count) for count, unit in parts if count)
    return say("kept_aside.clock_ahead" if ahead_ms > 0 else "kept_aside.clock_behind", off=told)


def moment_told(moment: datetime | str) -> str:
    """A moment by the clock of this machine, with that clock's zone; text is one in ISO 8601."""
    here = (datetime.fromisoformat(moment) if isinstance(moment, str) else moment).astimezone()
    return say("people.moment", day=show_date(here.date()), time=f"{here:%H:%M %Z}")


def device_told(device: str) -> str:
    """What a browser says of itself, short.

    >>> device_told("Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/150.0 Safari/537.36")
    'Chrome on Linux'
    """
    browser = next((name for sign, name in _BROWSERS.items() if sign in device), "")
    system = next((name for sign, name in _SYSTEMS.items() if sign in device), "")
    if browser and system:
        return say("people.sessions.on", browser=browser, system=system)
    return device[:_LONGEST_DEVICE] or say("people.sessions.unknown")


def faults(*troubles: RootcaseError | None) -> dict[str, str]:
    """One line under the name of the field whose label a trouble bears; under no name where it is about none."""
    told = {}
    for trouble in filter(None, troubles):
        field = next((name for name in _FIELDS if say(f"people.field.{name}") == trouble.where), "")
        got = f" ({say('people.refused.got', value=trouble.value)})" if trouble.value else ""
        right = f"; {trouble.right}" if trouble.right else ""
        told.setdefault(field, f"{trouble.what}{got}{right}")
    return told
