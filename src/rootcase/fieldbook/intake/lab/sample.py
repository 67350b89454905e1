"""What a laboratory's sheet says of the sample itself: its name, days, depth, and whether it is soil or leaf."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from functools import cache
from typing import Literal, get_args

from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.lab.words import Matrix
from rootcase.ground.errors import UnknownUnit
from rootcase.ground.units import convert, convertible, unit_name
from rootcase.ground.words import say

Identity = Literal["sample", "lab_and_number", "sampled", "received", "depth", "sample_depth_top",
                   "sample_depth_bottom", "sample_matrix", "tree", "place"]
_SPAN = re.compile(r"(\d+(?:[.,]\d+)?) ?(\D*?) ?(?:-|–|to|bis) ?(\d+(?:[.,]\d+)?) ?(\D*)")


def identity(header: str) -> Identity | None:
    """Which fact of the sample a column holds, a unit in brackets aside; None where it holds none.

    >>> identity("Lab No."), identity("Depth (in)"), identity("Phosphorus")
    ('lab_and_number', 'depth', None)
    """
    return _identities().get(folded(re.sub(r"[(\[].*?[)\]]", " ", header)))


def matrix_of(text: str) -> Matrix | None:
    """Soil or leaf, from a sample type as printed; None where it is neither or both.

    >>> matrix_of("Plant tissue"), matrix_of("Topsoil"), matrix_of("Water")
    ('leaf', 'soil', None)
    """
    words = set(folded(text).split())
    soil, leaf = (bool(words & set(say(key).split("|"))) for key in ("lab.soil", "lab.leaf"))
    if soil == leaf:
        return None
    return "soil" if soil else "leaf"


def depths_mm(text: str, unit: str = "") -> tuple[float, float] | None:
    """Top and bottom of a depth as printed, such as "0-6 in"; None where it is no stretch of depth with a unit.

    unit: as the header says, for a depth that is printed without one.

    >>> depths_mm("0-6 in"), depths_mm("15 to 30", "cm"), depths_mm("0-6")
    ((0.0, 152.4), (150.0, 300.0), None)
    """
    found = _SPAN.fullmatch(" ".join(unicodedata.normalize("NFKC", text).split()))
    if not found:
        return None
    try:
        box = unit_name(found[4] or unit)
    except UnknownUnit:
        return None
    if not convertible(box, "mm"):
        return None
    top, bottom = (convert(float(end.replace(",", ".")), box, "mm") for end in (found[1], found[3]))
    return (top, bottom) if bottom > top else None


@cache
def _identities() -> Mapping[str, Identity]:
    known = get_args(Identity)
    entries = (entry.partition(":") for entry in say("lab.identity_words").split(";"))
    return {folded(word): known[known.index(fact.strip())] for fact, _, words in entries for word in words.split(",")}
