"""The pages, a file a room; each has a `router`."""

from fastapi import APIRouter

from rootcase.web.pages import jobs, make, proof, theme, today

PAGES: tuple[APIRouter, ...] = (jobs.router, make.router, proof.router, theme.router, today.router)
