"""What was put on at a property, as it stands."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from rootcase.fieldbook.events import Event
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.view import heads
from rootcase.ground.errors import RootcaseError
from rootcase.ground.typed import read
from rootcase.records.field import PutOn


def put_on_of(events: Iterable[Event]) -> tuple[PutOn, ...]:
    """Every record, newest first."""
    told = [(head.event, head.event.body) for head in heads(events).values()]
    found = [(event.made_at, PutOn(event.id, body.tree, body.plan, body.remedy, body.day, body.by, body.amount,
                                   body.area, body.not_done, body.note, body.load,
                                   litres_told(body.volume_l, body.amount)))
             for event, body in told if isinstance(body, PutOnLogged)]
    return tuple(each for _, each in sorted(found, key=lambda one: (one[1].day, one[0], one[1].id), reverse=True))


@lru_cache(maxsize=4096)
def litres_told(litres: float | None, amount: str) -> float | None:
    """Of a record; a phone's short form has the amount as it was typed, and what is no volume with a unit is none."""
    if litres is not None:
        return litres
    try:
        found = read(amount)
        return found.to("L", "L").value if found and found.unit else None
    except RootcaseError:
        return None
