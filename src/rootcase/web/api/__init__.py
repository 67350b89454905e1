"""JSON under /api/: the same objects as the command line's --json."""

from fastapi import APIRouter

from rootcase.web.api import (
    casework,
    field,
    field_sheets,
    field_sync,
    jobs,
    make,
    observe,
    plans,
    practice,
    session,
    writing,
)

API: tuple[APIRouter, ...] = (casework.router, field.router, field_sheets.router, field_sync.router, jobs.router,
                              make.router, observe.router, plans.router, practice.router, session.router,
                              writing.router)
PREFIX = "/api"
