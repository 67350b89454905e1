"""Setting a page: data and pictures in, the bytes of a tagged PDF out, the same for the same."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, cast

import typst

from rootcase.report.lettering import FAMILY, printable, wide_signs
from rootcase.report.svg import Picture
from rootcase.report.wide_face import WIDE_FAMILY, wide_part

PAPER = {"us": "us-letter", "metric": "a4"}
_STANDARD = ["ua-1"]
"""PDF/UA-1: tagged, readable aloud, every picture with its words."""


class ReportError(RuntimeError):
    """The typesetter warned: the template is wrong, not what was set."""


def typeset(template: str, document: Mapping[str, Any], made_on: date,
            pictures: Mapping[str, bytes] | None = None) -> bytes:
    """Return the PDF of a document; what people typed goes to the typesetter as data, never as markup."""
    printed, drawn = printed_document(document), dict(pictures or {})
    shown = json.dumps(printed, ensure_ascii=False) + b"".join(drawn.values()).decode()
    wide = wide_signs(shown)
    printed["fonts"] = [FAMILY, WIDE_FAMILY] if wide else [FAMILY]
    folder = files("rootcase.report.pdf")
    inputs = {"main.typ": folder.joinpath(template).read_bytes()}
    inputs["parts.typ"] = folder.joinpath("parts.typ").read_bytes()
    inputs |= drawn | {"document.json": json.dumps(printed, ensure_ascii=False).encode()}
    made = datetime.combine(made_on, time(12), UTC)
    with TemporaryDirectory(prefix="rootcase-") as place:
        if wide:
            Path(place, "wide.ttf").write_bytes(wide_part(wide))
        pdf, warnings = cast(Any, typst).compile_with_warnings(
            inputs, format="pdf", pdf_standards=_STANDARD, ignore_system_fonts=True,
            font_paths=[str(files("rootcase.report").joinpath("fonts")), place], timestamp=int(made.timestamp()))
    if warnings:
        raise ReportError("; ".join(str(warning) for warning in warnings))
    return bytes(pdf)


def placed(pictures: dict[str, bytes], name: str, picture: Picture) -> dict[str, Any]:
    """Add a picture to those of the document; returns what the template has to know of it."""
    pictures[f"{name}.svg"] = picture.bare
    return {"path": f"{name}.svg", "alt": picture.alt, "width": picture.width, "height": picture.height}


def printed_document(value: Mapping[str, Any]) -> dict[str, Any]:
    """The document with every sign that no face of ours draws written as its code point."""
    return {key: _printed(part) for key, part in value.items()}


def _printed(value: Any) -> Any:
    if isinstance(value, Mapping):
        return printed_document(value)
    if isinstance(value, Sequence) and not isinstance(value, str | bytes):
        return [_printed(part) for part in value]
    return printable(value) if isinstance(value, str) else value
