"""What a workbook's reader does not tell of a cell: its percent sign or unit, its error, a formula never worked out.

Formats are those of ECMA-376 part 1, section 18.8.31 (memory).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from xml.parsers import expat

from rootcase.fieldbook.intake.foreign.limits import Refusal

_PART_OF_FORMAT = re.compile(r'"[^"]*"|\\.|_.|\*.|\[[^\]]*\]|[^"\\]', re.DOTALL)


@dataclass(frozen=True, slots=True)
class Shape:
    """How a number is shown: times a hundred, and with what behind it."""

    percent: bool
    behind: str

    def shown(self, value: float) -> str:
        """All of its digits, also those that its format leaves out: they may have been typed."""
        text = format(Decimal(repr(value)) * (100 if self.percent else 1), "f")
        return (text.rstrip("0").rstrip(".") if "." in text else text) + self.behind


PERCENT = Shape(percent=True, behind="%")


@dataclass(slots=True)
class Marks:
    """By row and column from 0: a cell's text, or how its number is shown."""

    seen: dict[tuple[int, int], str | Shape] = field(default_factory=dict)
    merged: list[list[int]] = field(default_factory=list)


def shape_of(code: str) -> Shape | None:
    """How a format shows a number, where it is not the number alone.

    >>> shape_of("0.0%"), shape_of('0 "cm"'), shape_of("#,##0.00"), shape_of("yyyy-mm-dd")
    (Shape(percent=True, behind='%'), Shape(percent=False, behind=' cm'), None, None)
    """
    parts = _PART_OF_FORMAT.findall(code)
    first = parts[:parts.index(";")] if ";" in parts else parts
    if "%" in first:
        return PERCENT
    bare = "".join(part for part in first if len(part) == 1).lower()
    if "general" in bare:
        tail = first[bare.index("general") + len("general"):]
    elif re.search("[ymdhse]", bare):  # a date, or a power of ten
        return None
    else:
        digits = [at for at, part in enumerate(first) if part in "0#?"]
        tail = first[digits[-1] + 1:] if digits else []
    behind = "".join(_literal(part) for part in tail).rstrip()
    return Shape(percent=False, behind=behind) if behind else None


def _literal(part: str) -> str:
    if part.startswith('"'):
        return part[1:-1]
    if part.startswith("\\"):
        return part[1:]
    return part if len(part) == 1 and part not in ",." else ""


class PageReader:
    """Is told of every tag by its name without prefix, and of its attributes as they are."""

    def opened(self, name: str, given: Mapping[str, str]) -> None:
        """A tag begins."""

    def text(self, text: str) -> None:
        """Text within a tag."""

    def closed(self, name: str) -> None:
        """A tag ends."""


def bare(name: str) -> str:
    """A name without its prefix."""
    return name.rpartition(":")[2]


def read_page(page: bytes, reader: PageReader) -> None:
    """Lead a reader through a page of XML; Refusal where it is broken."""
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse_own_words
    parser.StartElementHandler = lambda name, given: reader.opened(bare(name), given)
    parser.EndElementHandler = lambda name: reader.closed(bare(name))
    parser.CharacterDataHandler = reader.text
    try:
        parser.Parse(page, True)
    except (expat.ExpatError, ValueError):
        raise Refusal("fence.damaged", "fence.right_resave") from None


def _refuse_own_words(*_: object) -> None:
    raise Refusal("fence.own_words", "fence.right_resave")
