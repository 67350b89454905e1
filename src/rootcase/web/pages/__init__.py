"""The pages, a file a room; each has a `router`."""

from fastapi import APIRouter

from rootcase.web.pages import jobs, make, proof, today

PAGES: tuple[APIRouter, ...] = (jobs.router, make.router, proof.router, today.router)
