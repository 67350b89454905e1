"""What lists tell of a kind of tree."""

from __future__ import annotations

from typing import Literal, NamedTuple

from rootcase.ground.errors import Missing
from rootcase.tables.load import table

Trait = Literal["growth", "drought", "compaction", "soil_salt", "spray_salt", "wet_soil", "ph", "lime_chlorosis_risk",
                "shade_score", "drought_score", "waterlogging_score"]
_OF_SPECIES = {"growth": ("growth_class", "growth_source"), "soil_salt": ("salt_tolerance", "salt_source"),
               "lime_chlorosis_risk": ("lime_chlorosis_risk", "lime_source")}


class Told(NamedTuple):
    """What a list says of a trait, and which list, known how."""

    told: str
    source: str


def kind_told(kind: str, trait: Trait) -> Told:
    """What does a kind of tree stand: drought, compaction, salt, wet soil, lime, and at which pH does it grow?

    Parameters
    ----------
    kind : botanical name or a synonym, such as "Acer rubrum"
    trait : what is asked of it

    Returns
    -------
    Told(told, source): a class, a range or a score as the list has it; what is from memory says so.

    Raises
    ------
    Missing : no list tells it of this kind.

    Notes
    -----
    A weak prior: lists differ by a class and more, most cells of drought and compaction are from memory, and a healthy
    tree of the kind near by overrules them. Salt spray runs from 1, least injury, to 5; the scores from 1, very
    intolerant, to 5. The pH is where a kind is grown, wider than where its color is good.

    References
    ----------
    Table tree/kinds and table species, a source for each cell.

    Examples
    --------
    >>> kind_told("Acer rubrum", "wet_soil").told
    'high'
    """
    listed = next((row for row in table("species").rows if kind in (row["botanical_name"], row["synonym"])), None)
    names = {kind} if listed is None else {kind, listed["botanical_name"], listed["synonym"]}
    if trait in _OF_SPECIES:
        if listed is not None:
            told, source = _OF_SPECIES[trait]
            return Told(listed[told], listed[source])
    else:
        for row in table("tree/kinds").rows:
            if row["trait"] == trait and row["kind"] in names:
                return Told(row["told"], f"{row['how_known'].partition(':')[0]}: {row['source']}")
    raise Missing(f"no list tells {trait} of this kind", value=kind,
                  right="a botanical name of the table species, such as Acer rubrum")
