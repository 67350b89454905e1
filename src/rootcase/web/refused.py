"""How a refusal is said: a page of words to a person, one form of JSON to a program."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import quote, urlsplit

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, RedirectResponse, Response

from rootcase.fieldbook.people.phones import PhoneLost
from rootcase.ground.errors import Missing, RootcaseError, StoreError
from rootcase.ground.words import say
from rootcase.services.people import wanted_for
from rootcase.web.misread import misread
from rootcase.web.refusals import NotReady, NotThere
from rootcase.web.security import CLIENTS
from rootcase.web.showing import page
from rootcase.web.who import NotAllowed, NotSignedIn, Visitor, typed_by, visitor_of

_LOOKING = ("GET", "HEAD")
API = "/api/"
_STATUS = {PhoneLost: 403, NotThere: 404, NotReady: 409, StoreError: 503}


def answer_refusals(app: FastAPI) -> None:
    """Say every refusal of this app in words."""
    app.add_exception_handler(NotSignedIn, _not_signed_in)
    app.add_exception_handler(NotAllowed, _not_allowed)
    app.add_exception_handler(RootcaseError, _trouble)
    app.add_exception_handler(RequestValidationError, _misshapen)
    app.add_exception_handler(HTTPException, _no_such_page)


@contextmanager
def asked_by_id() -> Iterator[None]:
    """What is looked for by what stands in the address, and is missing, is not there."""
    try:
        yield
    except Missing as gone:
        raise NotThere(gone.what, where=gone.where, value=gone.value, right=gone.right) from None


def refused(request: Request, status: int, what: str, right: str = "", where: str = "",
            headers: dict[str, str] | None = None) -> Response:
    """One refusal, for whoever asked."""
    if request.url.path.startswith(API):
        return JSONResponse({"error": what, "where": where, "right": right}, status, headers)
    if request.url.path.startswith(CLIENTS):
        return page(request, "client_ended.html", None, status=status)
    answer = page(request, "refused.html", _known(request), status=status, what=what, right=right,
                  where=where.replace("_", " "), typed=typed_by(request), back=_page_before(request))
    answer.headers.update(headers or {})
    return answer


def _known(request: Request) -> Visitor | None:
    """Who asks, as far as the fieldbook can tell at the moment."""
    try:
        return visitor_of(request)
    except StoreError:
        return None


def _not_signed_in(request: Request, error: Exception) -> Response:
    assert isinstance(error, NotSignedIn)
    if request.url.path.startswith(API):
        return refused(request, 401, say("people.refused.sign_in"), say("people.refused.token"),
                       headers={"www-authenticate": "Bearer"})
    if error.typed:
        back = _page_before(request)
        return page(request, "signed_out.html", None, status=401, typed=error.typed,
                    onward=f"?next={quote(back)}" if back else "")
    here = str(request.url.path) + (f"?{request.url.query}" if request.url.query else "")
    onward = f"?next={quote(here)}" if request.method in _LOOKING and here != "/" else ""
    return RedirectResponse(f"/sign-in{onward}", 303)


def _not_allowed(request: Request, error: Exception) -> Response:
    assert isinstance(error, NotAllowed)
    who = error.visitor
    return refused(request, 403, say("people.refused.not_yours", code=who.code, role=say(f"people.role.{who.role}")),
                   wanted_for(error.action, who.role))


def _trouble(request: Request, error: Exception) -> Response:
    assert isinstance(error, RootcaseError)
    status = next((status for kind, status in _STATUS.items() if isinstance(error, kind)), 422)
    return _told(request, status, error)


def _told(request: Request, status: int, error: RootcaseError) -> Response:
    what = f"{error.what} ({say('people.refused.got', value=error.value)})" if error.value else error.what
    return refused(request, status, what, error.right, error.where)


def _misshapen(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    return _told(request, 422, misread(error.errors()[0]))


def _no_such_page(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    known = {404: "no_page", 405: "no_verb"}.get(error.status_code)
    onward = "to_api" if request.url.path.startswith(API) else "to_trees"
    return refused(request, error.status_code, say(f"people.refused.{known}") if known else str(error.detail),
                   say(f"people.refused.{onward}") if known else "", headers=dict(error.headers or {}))


def _page_before(request: Request) -> str:
    """The page of this app that a form stood on; empty where none is told."""
    return urlsplit(request.headers.get("referer", "")).path if request.method not in _LOOKING else ""
