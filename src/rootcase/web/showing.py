"""From a result to a page."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from rootcase.ground.words import say
from rootcase.web.people_told import moment_told, state_told
from rootcase.web.telling import job_told, kept_told
from rootcase.web.who import Visitor, desk_of

WEB = Path(str(files("rootcase.web")))

TEMPLATES = Environment(loader=FileSystemLoader(WEB / "templates"), autoescape=True, undefined=StrictUndefined,
                        trim_blocks=True, lstrip_blocks=True)
TEMPLATES.globals |= {"say": say, "job_told": job_told, "kept_told": kept_told, "moment_told": moment_told,
                      "state_told": state_told}

THEME_COOKIE = "theme"


def page(request: Request, template: str, visitor: Visitor | None, *, place: str = "", status: int = 200,
         **shown: Any) -> HTMLResponse:
    """A whole page; place: which of the five it belongs to."""
    html = TEMPLATES.get_template(template).render(visitor=visitor, place=place, desk=desk_of(request),
                                                   path=request.url.path,
                                                   theme=request.cookies.get(THEME_COOKIE, "device"), **shown)
    return HTMLResponse(html, status)
