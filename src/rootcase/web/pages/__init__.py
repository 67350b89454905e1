"""The pages, a file a room; each has a `router`."""

from fastapi import APIRouter

from rootcase.web.pages import (
    account,
    backup,
    contacts,
    export,
    first_run,
    jobs,
    make,
    people,
    practice,
    prices,
    proof,
    sign_in,
    tables,
    theme,
    today,
)

_ROOMS = (
    account, backup, contacts, export, first_run, jobs, make, people, practice, prices, proof, sign_in, tables, theme,
    today,
)
PAGES: tuple[APIRouter, ...] = tuple(room.router for room in _ROOMS)
