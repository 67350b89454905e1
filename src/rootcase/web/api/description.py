"""The API's description of itself, whole: what goes in, what comes out, who may, how a refusal looks."""

from __future__ import annotations

from collections.abc import Callable
from itertools import chain
from typing import Any

from fastapi import FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute

from rootcase.records.people import ROLES
from rootcase.services.people import may
from rootcase.web.api import API, PREFIX
from rootcase.web.api.answers import REFUSALS
from rootcase.web.api.schemas import NAMED

_SECURITY = {"session": {"type": "apiKey", "in": "cookie", "name": "rootcase",
                         "description": "The browser's; `__Host-rootcase` where the app is reached by https."},
             "bearer": {"type": "http", "scheme": "bearer", "description": "From POST /api/session."}}
_ALWAYS = (401, 403, 503)


def describing(app: FastAPI) -> Callable[[], dict[str, Any]]:
    """What answers /api/openapi.json; made once."""
    def described() -> dict[str, Any]:
        if app.openapi_schema is None:
            app.openapi_schema = _whole(app)
        return app.openapi_schema

    return described


def _whole(app: FastAPI) -> dict[str, Any]:
    found = get_openapi(title=app.title, version=app.version, routes=app.routes)
    for route in chain.from_iterable(router.routes for router in API):
        assert isinstance(route, APIRoute)
        for method in route.methods:
            _complete(found["paths"][f"{PREFIX}{route.path_format}"][method.lower()], route)
    parts = found.setdefault("components", {})
    parts["schemas"] = {name: each for name, each in parts.get("schemas", {}).items()
                        if name not in ("HTTPValidationError", "ValidationError")} | NAMED
    parts["securitySchemes"] = _SECURITY
    found["security"] = [{name: []} for name in _SECURITY]
    return found


def _complete(operation: dict[str, Any], route: APIRoute) -> None:
    """Say who may, and which refusals can come."""
    action = action_of(route.dependant)
    if action:
        operation["x-roles"] = [role for role in ROLES if may(action, role, may_sign=True)]
    statuses = {*_ALWAYS, *([404] if "{" in route.path else []), *([400, 413] if route.body_field else []),
                *([422] if "422" in operation["responses"] or route.body_field else []), 409, 429}
    operation["responses"] |= {str(status): REFUSALS[status] for status in sorted(statuses)}


def action_of(dependant: Dependant) -> str:
    """The action that a route asks the right for; empty where it is open to anyone."""
    for each in dependant.dependencies:
        if found := getattr(each.call, "action", "") or action_of(each):
            return str(found)
    return ""
