"""How the API answers: the same bytes as --json writes, one form of refusal, each described."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Path, Response

from rootcase.report.casework_json import stage_json
from rootcase.web.api.schemas import NAMED, Schema, closed, schema_of

JSON = "application/json"
Described = dict[int | str, dict[str, Any]]
PropertyId = Annotated[str, Path(max_length=64)]
ReadingId = Annotated[str, Path(min_length=5, max_length=64)]

NAMED["Refusal"] = closed({"error": {"type": "string"}, "where": {"type": "string"}, "right": {"type": "string"}},
                          "What is wrong in one line, where, and what would be right.")
_REFUSED: dict[int, str] = {
    400: "The request cannot be read.", 401: "Nobody is signed in.", 403: "The role may not do this.",
    404: "There is no such thing in this practice.", 409: "What is asked for does not fit what is there now.",
    413: "The request is too large.", 422: "What is typed cannot be taken, and what would be right.",
    429: "Too many tries; wait.", 503: "The work was ended, or the fieldbook is busy."}
REFUSALS: Described = {
    status: {"description": why, "content": {JSON: {"schema": {"$ref": "#/components/schemas/Refusal"}}}}
    for status, why in _REFUSED.items()}


def answers(what: Any, why: str, *, status: int = 200) -> Described:
    """Describe an answer: of a record's type, or by a schema of its own."""
    schema: Schema = what if isinstance(what, dict) else schema_of(what)
    return {status: {"description": why, "content": {JSON: {"schema": schema}}}}


def sends(media_type: str, why: str) -> Described:
    """Describe an answer that is a file."""
    schema = {"type": "object"} if media_type.endswith("json") else {"type": "string", "format": "binary"}
    return {200: {"description": why, "content": {media_type: {"schema": schema}}}}


def answered(result: Any, *, status: int = 200) -> Response:
    """A record, or several, as JSON."""
    return Response(stage_json(result), status, media_type=JSON)
