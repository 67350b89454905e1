"""The pages, a file a room; each has a `router`."""

from fastapi import APIRouter

from rootcase.web.pages import make, proof, today

PAGES: tuple[APIRouter, ...] = (make.router, proof.router, today.router)
