"""Light or dark: as the device is set, unless the person says otherwise."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import RedirectResponse

from rootcase.web.showing import THEME_COOKIE
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()

_STAYS_S = 365 * 24 * 3600


@router.post("/theme")
def theme(request: Request, theme: Annotated[Literal["device", "light", "dark"], Form()],
          visitor: Annotated[Visitor, Depends(may("own_account"))],
          back: Annotated[str, Form(pattern=r"^/([^/\\]|$)")] = "/") -> RedirectResponse:
    answer = RedirectResponse(back, 303)
    answer.set_cookie(THEME_COOKIE, theme, max_age=0 if theme == "device" else _STAYS_S, httponly=True, samesite="lax",
                      secure=desk_of(request).public_url.startswith("https:"))
    return answer
