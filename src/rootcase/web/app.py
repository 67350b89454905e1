"""The app: its pages, its API, its guard."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from urllib.parse import urlsplit

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from rootcase import __version__
from rootcase.web.api import API, PREFIX
from rootcase.web.api.description import describing
from rootcase.web.desk import Desk
from rootcase.web.limits import Limits
from rootcase.web.pages import PAGES
from rootcase.web.refused import answer_refusals
from rootcase.web.security import LOOPBACK, Guard
from rootcase.web.statics import STATIC, Statics


def create_app(desk: Desk) -> FastAPI:
    """The whole app on one desk."""
    @asynccontextmanager
    async def open_for_work(app: FastAPI) -> AsyncIterator[None]:
        desk.begin()
        yield
        desk.close()

    app = FastAPI(title="rootcase", version=__version__, lifespan=open_for_work, docs_url=None, redoc_url=None,
                  openapi_url="/api/openapi.json")
    app.state.desk = desk
    for router in API:  # first: each router costs a little until an address is found, and programs ask often
        app.include_router(router, prefix=PREFIX)
    for router in PAGES:
        app.include_router(router, include_in_schema=False)
    answer_refusals(app)
    app.openapi = describing(app)  # type: ignore[method-assign]
    app.mount("/static", GZipMiddleware(Statics(directory=STATIC)), name="static")
    public = urlsplit(desk.public_url)
    hosts = (*LOOPBACK, *((public.hostname,) if public.hostname else ()))
    app.add_middleware(Limits)
    app.add_middleware(Guard, hosts=hosts, secure=public.scheme == "https")
    return app
