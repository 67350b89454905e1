"""Plans under a signature: the text that is signed, its mark, and which of a property's plans stands."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import fields, is_dataclass, replace
from datetime import date
from functools import lru_cache
from hashlib import sha256
from typing import Any

from rootcase.fieldbook.canonical import canonical, read_canonical
from rootcase.fieldbook.events import Event, PlanSigned, PlanWithdrawn
from rootcase.fieldbook.plain import plain_body, typed
from rootcase.fieldbook.view import heads
from rootcase.ground.errors import Missing, StoreError, UnreadableValue
from rootcase.ground.length import MOST_WORDS, require_length
from rootcase.ground.words import say
from rootcase.records.offer import SignedPlan, Signing, Standing

SLOT = "signed plan"
SHORTEST_MARK = 4
"""Signs by which a plan may be named."""
_LONGEST_CODE = 12
"""Signs of a code of who signs; longer ones are names."""
_FIGURES = 12
"""Of every number in the text: the same on every processor."""


def require_code(by: str, names: Iterable[str]) -> None:
    """Who signs or withdraws stays in the events for ever, so it may be nobody's name."""
    code = by.strip()
    if not code or code.casefold() in {name.casefold() for name in names}:
        raise UnreadableValue(say("sign.no_name"), value=f'"{by}"', right=say("sign.a_code"))
    if len(code) > _LONGEST_CODE or any(sign.isspace() for sign in code):
        raise UnreadableValue(say("sign.no_code", most=_LONGEST_CODE), value=f'"{by}"', right=say("sign.a_code"))


def signed_text(signing: Signing) -> str:
    """The text that is signed: canonical, so that the same plan has the same mark wherever it was made."""
    return canonical(plain_body(rounded(signing))).decode("utf-8")


def mark_of(text: str) -> str:
    """SHA-256 of a signed text.

    >>> mark_of("{}")[:8]
    '44136fa3'
    """
    return sha256(text.encode("utf-8")).hexdigest()


def signed_plans(events: Iterable[Event]) -> tuple[SignedPlan, ...]:
    """Every plan that was ever signed at a property, newest first; a function of the set of its events.

    One stands at most. Where two desks signed without knowing of each other the later stands and the other is
    disputed, until it is withdrawn.
    """
    signings = {event.id: event for event in events if isinstance(event.body, PlanSigned | PlanWithdrawn)}
    head = heads(signings.values()).get(SLOT)
    if head is None:
        return ()
    withdrawn = {event.body.supersedes: event.body.reason for event in signings.values()
                 if isinstance(event.body, PlanWithdrawn)}
    disputed = {rival.id for rival in head.rivals}
    found = []
    for event in sorted(signings.values(), key=lambda each: (each.made_at, each.id), reverse=True):
        if isinstance(event.body, PlanSigned):
            standing: Standing = ("withdrawn" if event.id in withdrawn else "standing" if event.id == head.event.id
                                  else "disputed" if event.id in disputed else "superseded")
            found.append(_read(event.id, event.body, standing, withdrawn.get(event.id, "")))
    return tuple(found)


def newest_signing(events: Iterable[Event]) -> str | None:
    """Id of the signing or withdrawal that the next one supersedes."""
    head = heads(event for event in events if isinstance(event.body, PlanSigned | PlanWithdrawn)).get(SLOT)
    return None if head is None else head.event.id


def plan_named(plans: Iterable[SignedPlan], mark: str = "") -> SignedPlan:
    """The plan whose mark begins so; without one the plan that stands."""
    if not mark:
        found = [plan for plan in plans if plan.standing == "standing"]
        if not found:
            raise Missing(say("sign.none_stands"), right=say("sign.sign_first"))
        return found[0]
    asked = mark.replace(" ", "").lower()
    found = [plan for plan in plans if plan.mark.startswith(asked) and len(asked) >= SHORTEST_MARK]
    if len(found) != 1:
        raise Missing(say("sign.no_such_mark" if not found else "sign.several_marks"), value=mark,
                      right=say("sign.see_marks", count=SHORTEST_MARK))
    return found[0]


def resting_plans(plans: Iterable[SignedPlan], reading_ids: Container[str]) -> list[SignedPlan]:
    """The plans in force that rest on one of these readings."""
    return [plan for plan in plans if plan.standing in ("standing", "disputed")
            and any(each.version in reading_ids for each in plan.signing.inputs if each.kind in ("reading", "wish"))]


def withdrawal(plan: SignedPlan, by: str, day: date, reason: str) -> PlanWithdrawn:
    """What takes a plan out of force."""
    if plan.standing not in ("standing", "disputed"):
        raise Missing(say(f"sign.is_{plan.standing}"), value=plan.mark[:8], right=say("sign.see_signed"))
    require_length(reason, MOST_WORDS)
    return PlanWithdrawn(slot=SLOT, supersedes=plan.id, by=by, day=day, reason=reason)


def _read(an_id: str, body: PlanSigned, standing: Standing, because: str) -> SignedPlan:
    if mark_of(body.signed) != body.mark:
        raise StoreError(say("sign.text_changed"), value=body.mark[:8], right=say("fieldbook.from_a_copy"))
    try:
        signing = _signing(body.signed)
    except (TypeError, ValueError, KeyError, UnreadableValue):
        raise StoreError(say("sign.unreadable"), value=body.mark[:8], right=say("fieldbook.newer_program")) from None
    return SignedPlan(an_id, body.mark, body.by, body.day, signing, standing, because)


@lru_cache(maxsize=32)  # each page of a property asks for its plans, and they do not change
def _signing(signed: str) -> Signing:
    found: Signing = typed(Signing, read_canonical(signed))
    return found


def rounded(value: Any) -> Any:
    """The same records with every number to the figures that are signed."""
    if isinstance(value, float):
        return float(f"{value:.{_FIGURES}g}") + 0.0
    if isinstance(value, tuple):
        return tuple(rounded(part) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{each.name: rounded(getattr(value, each.name)) for each in fields(value)})
    return value
