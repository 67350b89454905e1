"""Who asks, and whether they may."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, replace
from urllib.parse import urlsplit

from fastapi import Request
from fastapi.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import Response

from rootcase.records.observe import Property, PropertyRecord, System
from rootcase.records.people import Bounds, Person, Role, Session, SessionKind
from rootcase.services import people
from rootcase.web.desk import OWN, Desk

_STAYS_S = 365 * 24 * 3600
"""The browser may keep the cookie longer than the session lasts: when that ends is judged here."""
_BEARER = "Bearer "
SECRET = ("password", "again", "old", "step_old")
"""Fields that are shown to nobody again."""


@dataclass(frozen=True, slots=True)
class Visitor:
    """Somebody of a practice; what they see is this practice and nothing else."""

    practice_id: str
    code: str
    """As it stands beside readings and signatures; never a name."""
    name: str
    role: Role
    may_sign: bool
    system: System
    session_id: str = ""
    """What they came in by; empty at the invented data, where nobody signs in."""

    def may(self, action: str) -> bool:
        """Whether they may do this, so that a page need not offer what it would refuse."""
        return people.may(action, self.role, may_sign=self.may_sign)

    @property
    def bounds(self) -> Bounds:
        """What they may tell by sheet, form or program."""
        return people.bounds(self.code, self.role, may_sign=self.may_sign)

    def seen(self, record: PropertyRecord) -> PropertyRecord:
        """A record without what they may not see."""
        readings = tuple(each for each in record.readings if self.may(people.seen_by(each.kind)))
        return replace(record, property=self.seen_ground(record.property), readings=readings)

    def seen_ground(self, ground: Property) -> Property:
        """A property; in which money it is reckoned is no matter of who sees no prices."""
        return ground if self.may("see_prices") else replace(ground, currency="")

    def require(self, action: str) -> None:
        """Raise unless they may do this."""
        if not self.may(action):
            raise NotAllowed(action, self)


class NotSignedIn(Exception):
    """Nobody knows who asks."""

    def __init__(self, typed: tuple[tuple[str, str], ...] = ()) -> None:
        self.typed = typed
        """What stood in the form that was sent, by field; no secrets."""
        super().__init__()


class NotAllowed(Exception):
    """Who asks may not do this."""

    def __init__(self, action: str, visitor: Visitor) -> None:
        self.action, self.visitor = action, visitor
        super().__init__(action)


def desk_of(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


def may(action: str) -> Callable[[Request], Awaitable[Visitor]]:
    """A dependency that lets in who may do this; who is at hand costs no way to another thread and back."""
    async def visitor(request: Request) -> Visitor:
        found = visitor_at_hand(request) or await run_in_threadpool(visitor_of, request)
        if found is None:
            raise NotSignedIn(typed_by(request))
        found.require(action)
        return found

    visitor.action = action  # type: ignore[attr-defined]
    return visitor


def visitor_of(request: Request) -> Visitor | None:
    """Who asks; None where nobody has signed in. At the invented data everybody is its owner."""
    desk = desk_of(request)
    if desk.demo:
        return _visitor(people.demo_owner(desk.book(OWN)))
    return _known(request, desk.sessions.session(desk.book(OWN).store, token_of(request), desk.now()))


def visitor_at_hand(request: Request) -> Visitor | None:
    """The same, as far as it is known without reading the file; None says nothing."""
    desk = desk_of(request)
    return None if desk.demo else _known(request, desk.sessions.held(str(desk.path), token_of(request), desk.now()))


def _known(request: Request, found: tuple[Session, Person] | None) -> Visitor | None:
    if found is None or found[0].kind != kind_of(request):
        return None
    return _visitor(found[1], found[0].id)


def typed_by(request: Request) -> tuple[tuple[str, str], ...]:
    """What a form held, which the framework has read before it asks who sent it."""
    form: FormData | None = getattr(request, "_form", None)
    return tuple((name, typed) for name, typed in (form.multi_items() if form else ())
                 if isinstance(typed, str) and typed.strip() and name not in SECRET)


def kind_of(request: Request) -> SessionKind:
    """A program says its token in a header, a browser in a cookie; neither goes for the other."""
    return "api" if request.headers.get("authorization", "").startswith(_BEARER) else "browser"


def token_of(request: Request) -> str:
    """What this request says it was let in by; empty where it says nothing."""
    if kind_of(request) == "api":
        return request.headers["authorization"].removeprefix(_BEARER).strip()
    return request.cookies.get(_cookie_name(desk_of(request)), "")


def address_of(request: Request) -> str:
    """Where a request comes from."""
    return request.client.host if request.client else ""


def device_of(request: Request) -> str:
    """What the browser or program says of itself."""
    return request.headers.get("user-agent", "")


def let_stay(request: Request, answer: Response, token: str) -> None:
    """Give the browser what it was let in by; an empty token takes it away."""
    desk = desk_of(request)
    answer.set_cookie(_cookie_name(desk), token, max_age=_STAYS_S if token else 0, secure=_is_secure(desk),
                      httponly=True, samesite="lax")


def _cookie_name(desk: Desk) -> str:
    """The prefix binds the cookie to this very host (Bingler, West, Wilander, Cookies: HTTP State Management Mechanism,
    draft RFC 6265bis, section 4.1.3.2, memory); a browser takes it by https only."""
    return "__Host-rootcase" if _is_secure(desk) else "rootcase"


def _is_secure(desk: Desk) -> bool:
    return urlsplit(desk.public_url).scheme == "https"


def _visitor(person: Person, session_id: str = "") -> Visitor:
    return Visitor(person.practice_id, person.code, person.name, person.role, person.may_sign, person.system,
                   session_id)
