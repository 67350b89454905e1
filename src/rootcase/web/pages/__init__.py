"""The pages, a file a room; each has a `router`."""

from fastapi import APIRouter

from rootcase.web.pages import (
    account,
    contacts,
    first_run,
    jobs,
    make,
    people,
    proof,
    sign_in,
    theme,
    today,
)

PAGES: tuple[APIRouter, ...] = (
    account.router, contacts.router, first_run.router, jobs.router, make.router, people.router, proof.router,
    sign_in.router, theme.router, today.router)
