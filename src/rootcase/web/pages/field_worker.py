"""What lets the phone's page open without a network: its worker, with the list of its files, and its manifest."""

from __future__ import annotations

import hashlib
import json
from functools import cache

from fastapi import APIRouter
from fastapi.responses import JSONResponse, Response

from rootcase.ground.words import catalogue, say
from rootcase.services.field_kinds import field_catalogue
from rootcase.web.showing import WEB
from rootcase.web.statics import STATIC

router = APIRouter()
_MADE = ("/field", "/field/kinds.json", "/field/words.json", "/field/manifest.webmanifest")
_WORKER = "field/worker.js"
_DRAWN = (("icon-192.png", 192, "any"), ("icon-512.png", 512, "any"), ("icon-maskable.png", 512, "maskable"))
"""icon.svg for systems that take no SVG; maskable: one that keeps clear of what a system cuts off."""
_ALSO = ("icon.svg", "desk.css", "dark.css", "fonts/AtkinsonHyperlegibleNext-Regular.woff2",
         "fonts/AtkinsonHyperlegibleNext-Bold.woff2")


@router.get("/field/worker.js")
def worker() -> Response:
    told = (f"const NAME = {json.dumps('rootcase-field-' + files_mark())};\n"
            f"const FILES = {json.dumps([*_MADE, *(f'/static/{name}' for name in files())])};\n")
    return Response(told + (STATIC / _WORKER).read_text(encoding="utf-8"), media_type="text/javascript",
                    headers={"service-worker-allowed": "/field"})


@router.get("/field/manifest.webmanifest")
def manifest() -> Response:
    return JSONResponse(_manifest(), media_type="application/manifest+json")


@cache
def files() -> tuple[str, ...]:
    """Each file that the phone's page may ask for, by its name among the statics."""
    own = (*STATIC.glob("field/*.js"), *STATIC.glob("field*.css"))
    names = sorted(path.relative_to(STATIC).as_posix() for path in own)
    return (*(name for name in names if name != _WORKER), *_ALSO)


@cache
def files_mark() -> str:
    """Another one as soon as anything that is kept on the phone is another."""
    mark = hashlib.sha256()
    for path in (*(STATIC / name for name in (_WORKER, *files())), *sorted((WEB / "templates").rglob("*.html"))):
        mark.update(hashlib.sha256(path.read_bytes()).digest())
    made = (dict(catalogue("en")), field_catalogue(), _manifest())
    return hashlib.sha256(mark.digest() + json.dumps(made, sort_keys=True, default=str).encode()).hexdigest()[:16]


def _manifest() -> dict[str, object]:
    return {"name": say("field.title"), "short_name": say("field.title"), "id": "/field", "start_url": "/field",
            "scope": "/field", "display": "standalone", "background_color": "#FFFFFF", "theme_color": "#FFFFFF",
            "icons": [{"src": "/static/icon.svg", "sizes": "any", "type": "image/svg+xml"}, *(
                {"src": f"/static/{name}", "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
                for name, size, purpose in _DRAWN)]}
