"""From a result to a page."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.report.text.naming import kind_name
from rootcase.report.text.readings import meaning_told, value_told
from rootcase.services.backup import days_overdue
from rootcase.services.trace import of_money
from rootcase.web.figures import choice_url, figure_url, trace_url
from rootcase.web.people_told import device_told, moment_told, state_told
from rootcase.web.statics import shrunk, static
from rootcase.web.telling import job_told, kept_told
from rootcase.web.who import Visitor, desk_of

WEB = Path(str(files("rootcase.web")))

TEMPLATES = Environment(loader=FileSystemLoader(WEB / "templates"), autoescape=True, undefined=StrictUndefined,
                        trim_blocks=True, lstrip_blocks=True)
TEMPLATES.globals |= {"say": say, "static": static, "show_date": show_date, "job_told": job_told,
                      "kept_told": kept_told, "moment_told": moment_told, "device_told": device_told,
                      "state_told": state_told, "trace": trace_url, "figure_url": figure_url, "choice_url": choice_url,
                      "of_money": of_money, "value_told": value_told, "meaning_told": meaning_told,
                      "kind_label": kind_name, "command": os.environ.get("ROOTCASE_COMMAND", "rootcase")}
"""command: the program, as it was started in a terminal."""

THEME_COOKIE = "theme"


def cells(said: Mapping[str, str]) -> Mapping[str, str]:
    """What stands in a form, or is wrong with it, by field; nothing in those that are not spoken of."""
    return defaultdict(str, said)


def page(request: Request, template: str, visitor: Visitor | None, *, place: str = "", status: int = 200,
         **shown: Any) -> HTMLResponse:
    """A whole page; place: which of the five it belongs to."""
    html = TEMPLATES.get_template(template).render(visitor=visitor, place=place, desk=desk_of(request),
                                                   path=request.url.path, overdue=_overdue(request, visitor),
                                                   theme=request.cookies.get(THEME_COOKIE, "device"), **shown)
    return shrunk(request, HTMLResponse(html, status))


def _overdue(request: Request, visitor: Visitor | None) -> int | None:
    """Days without a backup, where whoever can make one should hear of it."""
    desk = desk_of(request)
    if visitor is None or desk.demo or not visitor.may("back_up"):
        return None
    return days_overdue(desk.book(visitor.practice_id), desk.now())
