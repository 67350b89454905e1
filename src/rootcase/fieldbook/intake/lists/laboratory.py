"""A laboratory's columns among those of a list: what tells a sample from the others, and what was found in it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.lab.sample import Identity, depths_mm, identity, matrix_of
from rootcase.fieldbook.intake.lab.words import Matrix, analyte
from rootcase.fieldbook.intake.lists.table import LeftOut, Table
from rootcase.fieldbook.intake.lists.words import Meant, meant
from rootcase.ground.words import say

_FACTS: Mapping[Identity, str] = {
    "sample": "tag", "sampled": "day", "tree": "of_tree", "place": "place", "depth": "depth",
    "sample_depth_top": "sample_depth_top", "sample_depth_bottom": "sample_depth_bottom",
    "sample_matrix": "sample_matrix", "lab_and_number": "lab_and_number"}
_OF_TREES = ("species", "dbh", "girth", "caliper", "tree_height", "crown_spread")
_ONLY_SOIL = ("soil_ph", "buffer_ph", "organic_matter", "cec", "sand", "silt", "clay", "carbonate", "ece", "esp", "sar")
"""What no laboratory reads on leaves: a sheet with one of these is of soil."""


@dataclass(frozen=True, slots=True)
class Laboratory:
    """What all rows of a laboratory's sheet share."""

    matrix: Matrix | None
    """None where no word of the sheet says whether it is soil or leaf."""
    layer_m: float | None
    """Thickness of the layer, where it is the same for all."""


def laboratory_of(table: Table, told_matrix: str) -> Laboratory | None:
    """What the sheet of a laboratory is of; None where most columns are those of trees."""
    lab = [(analyte(header, unit), identity(header)) for header, unit in zip(table.header, table.units, strict=True)]
    of_trees = sum(bool(found and found.target in _OF_TREES) for found in map(meant, table.header))
    if sum(bool(found) for found, _ in lab) <= 2 * of_trees:
        return None
    facts = {fact: at for at, (_, fact) in reversed(list(enumerate(lab))) if fact}
    said: Mapping[str, Matrix] = {"soil": "soil", "leaf": "leaf"}
    matrix = said.get(told_matrix) or _matrix(table, facts.get("sample_matrix"))
    if matrix is None and any(found and found.kind in _ONLY_SOIL for found, _ in lab):
        matrix = "soil"
    return Laboratory(matrix, _layer_m(table, facts.get("depth")))


def without_limits(table: Table) -> Table:
    """A laboratory's sheet without the rows that are its opinion or its limits, as "Optimum low", and no sample."""
    if laboratory_of(table, "") is None:
        return table
    own = [row for row in table.rows if re.fullmatch(say("lists.limit_words"), folded(next(
        (cell.text for cell in row.cells if re.search(r"[^\W\d]", cell.text)), "")))]
    left = tuple(LeftOut(row.number, " · ".join(cell.text for cell in row.cells if cell.text), say("lists.limits"))
                 for row in own)
    return replace(table, rows=tuple(row for row in table.rows if row not in own), left_out=(*table.left_out, *left))


def lab_meaning(header: str, unit: str, sheet: Laboratory) -> Meant | None:
    """What a column of a laboratory's sheet stands for; with options where its header leaves something open."""
    fact = identity(header)
    if fact:
        return Meant(_FACTS[fact], word=fact) if fact in _FACTS else None
    found = analyte(header, unit, sheet.matrix or "soil", sheet.layer_m)
    if found is None:
        return None
    if found.asks:
        return Meant(found.kind, found.unit, said="; ".join(ask.question for ask in found.asks),
                     options=tuple(option for ask in found.asks for option in ask.headers), asked=True)
    return Meant(found.kind, found.unit, found.factor, found.attributes, found.why)


def depth_unit(header: str) -> str:
    """The unit a header of depths names in brackets."""
    inside = header.partition("(")[2] or header.partition("[")[2]
    return inside.rstrip(")] ")


def _matrix(table: Table, at: int | None) -> Matrix | None:
    """Soil or leaf, as the rows say it, else the titles or the sheet's name; the rows may hold both: then the most."""
    if at is not None:
        found = [matrix for row in table.rows if (matrix := matrix_of(row.cells[at].text))]
        if found:
            return max(("soil", "leaf"), key=found.count)
    return next((matrix for text in (table.name, *(left.text for left in table.left_out), *table.told)
                 if (matrix := matrix_of(text))), None)


def _layer_m(table: Table, at: int | None) -> float | None:
    if at is None:
        return None
    unit = depth_unit(table.header[at]) or table.units[at]
    depths = {depths_mm(row.cells[at].text, unit) for row in table.rows}
    depth = depths.pop() if len(depths) == 1 else None
    return (depth[1] - depth[0]) / 1000 if depth else None


def other_matrix(text: str, sheet: Laboratory) -> str:
    """What is wrong with a row that is of leaf among soil, or of soil among leaf."""
    found = matrix_of(text)
    return say(f"lists.matrix.{found}") if found and sheet.matrix and found != sheet.matrix else ""
