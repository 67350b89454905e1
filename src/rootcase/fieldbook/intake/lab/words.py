"""What a header of a laboratory's sheet means: the kind of reading, its unit, the method, and what has to be asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Matrix = Literal["soil", "leaf"]


@dataclass(frozen=True, slots=True)
class Ask:
    """What a header leaves open."""

    question: str
    headers: tuple[str, ...]
    """Each, written in place of the sheet's own header, answers the question; none: the column stays text."""


@dataclass(frozen=True, slots=True)
class Analyte:
    """What a header means. A number of its column times `factor`, in `unit`, is the kind's own value."""

    kind: str
    unit: str
    """Always one that can become the kind's own unit."""
    factor: float
    attributes: Mapping[str, str]
    """Method, extractant and their like, as the catalogue's choices have them."""
    why: str
    """What was decided, in words; empty where the header says all."""
    asks: tuple[Ask, ...]
    """Not empty: nothing of the column is taken until these are answered."""


def analyte(header: str, unit: str = "", matrix: Matrix = "soil", layer_m: float | None = None) -> Analyte | None:
    """What a header means, in any order of its words; None where it is none of the laboratory kinds.

    unit: as another row or column of the sheet has it; layer_m: thickness of the layer sampled, where it is known.
    """
    return None
