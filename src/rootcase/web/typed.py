"""What a form brought, where its fields are not the same on every page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import Depends, Request

MOST_FIELDS = 2000
"""JUDGEMENT: a page asks some seven things of a place; a property has fewer than two hundred places."""


async def typed_form(request: Request) -> Mapping[str, str]:
    """The text fields of a form by name; a file among them is none."""
    form = await request.form(max_files=0, max_fields=MOST_FIELDS)
    return {name: value for name, value in form.items() if isinstance(value, str)}


Typed = Annotated[Mapping[str, str], Depends(typed_form)]
