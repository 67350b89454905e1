"""JSON under /api/: the same objects as the command line's --json."""

from fastapi import APIRouter

API: tuple[APIRouter, ...] = ()
