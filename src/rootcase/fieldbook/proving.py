"""What the practice's own trials say of remedies, under a signature: kept, read, given back to the handbook."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import UTC, date, datetime

from rootcase.fieldbook.canonical import canonical, read_canonical
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.plain import plain_body, typed
from rootcase.fieldbook.proved import EffectSigned
from rootcase.fieldbook.signed import mark_of, require_code, rounded
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.view import Head, heads
from rootcase.ground.errors import Missing, StoreError, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.prove import SignedEffect


class Proving:
    """The door for signed effects."""

    def __init__(self, store: Store, now: Callable[[], datetime], device: str, new_id: Callable[[], str]) -> None:
        self._store, self._now, self._device, self._new_id = store, now, device, new_id

    def effects(self) -> tuple[SignedEffect, ...]:
        """What stands signed, in the order of the remedies' codes."""
        with self._store.reading() as look:
            return signed_effects(look.events(""))

    def sign(self, effect: SignedEffect) -> SignedEffect:
        """Let plans reckon with it from now on; it takes the place of what was signed of the remedy before."""
        return self._tell(effect.remedy, _text(effect), effect.by, effect.day) or effect

    def give_back(self, remedy: str, *, by: str, day: date) -> None:
        """Let the handbook hold again for a remedy."""
        self._tell(remedy, "", by, day)

    def _tell(self, remedy: str, text: str, by: str, day: date) -> SignedEffect | None:
        require_code(by, [])
        with self._store.writing() as turn:
            head = _heads(turn.events("")).get(_slot(remedy))
            before = head.event.body if head else None
            stands = before.signed if isinstance(before, EffectSigned) else ""
            if text == stands:
                raise Missing(say("feed.signed_already" if text else "feed.handbook_already"), value=remedy,
                              right=say("feed.see_effects"))
            body = EffectSigned(slot=_slot(remedy), supersedes=head.event.id if head else None, remedy=remedy,
                                signed=text, mark=mark_of(text), by=by, day=day)
            turn.add([Event(self._new_id(), self._store.practice_id, "", written(self._now().astimezone(UTC)),
                            self._device, body)])
        return _read(body)


def signed_effects(events: Iterable[Event]) -> tuple[SignedEffect, ...]:
    """What stands signed of each remedy, in the order of their codes: a function of the set of events."""
    found = [_read(head.event.body) for head in _heads(events).values()]
    return tuple(sorted((each for each in found if each is not None), key=lambda each: each.remedy))


def _heads(events: Iterable[Event]) -> dict[str, Head]:
    return dict(heads(each for each in events if isinstance(each.body, EffectSigned)))


def _slot(remedy: str) -> str:
    return f"effect {remedy}"


def _text(effect: SignedEffect) -> str:
    return canonical(plain_body(rounded(effect))).decode("utf-8")


def _read(body: object) -> SignedEffect | None:
    if not isinstance(body, EffectSigned) or not body.signed:
        return None
    if mark_of(body.signed) != body.mark:
        raise StoreError(say("sign.text_changed"), value=body.mark[:8], right=say("fieldbook.from_a_copy"))
    try:
        found: SignedEffect = typed(SignedEffect, read_canonical(body.signed))
    except (TypeError, ValueError, KeyError, UnreadableValue):
        raise StoreError(say("sign.unreadable"), value=body.mark[:8], right=say("fieldbook.newer_program")) from None
    return found
