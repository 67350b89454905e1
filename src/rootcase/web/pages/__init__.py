"""The pages, a file a room; each has a `router`."""

from fastapi import APIRouter

from rootcase.web.pages import (
    account,
    api,
    backup,
    bring,
    case,
    contacts,
    export,
    first_run,
    ground,
    jobs,
    make,
    people,
    practice,
    prices,
    proof,
    readings,
    sign_in,
    tables,
    theme,
    today,
    trace,
    trees,
    undo,
)

_ROOMS = (
    account, api, backup, bring, case, contacts, export, first_run, ground, jobs, make, people, practice, prices, proof,
    readings, sign_in, tables, theme, today, trace, trees, undo,
)
PAGES: tuple[APIRouter, ...] = tuple(room.router for room in _ROOMS)
