"""A species' name as typed, held against the table of species: kept in any case, asked about where it may be a slip."""

from __future__ import annotations

import difflib

from rootcase.fieldbook.intake.grid import folded
from rootcase.ground.words import say
from rootcase.tables.load import table

_ALIKE = 0.88
"""JUDGEMENT: a letter or two of a name; two kinds of one genus are less alike."""
_MOST = 3


def doubts_of(name: str) -> tuple[str, ...]:
    """What to ask about a name that the table lacks, where one of its own was probably meant.

    >>> doubts_of("Quercus rubra"), doubts_of("Sassafras albidum")
    ((), ())
    >>> doubts_of("Qercus rubra")
    ('"Qercus rubra" is kept, but our table of species does not have it. Did you mean Quercus rubra?',)
    """
    typed = folded(name)
    rows = table("species").rows
    botanical = {folded(row[column]): row["botanical_name"] for row in rows
                 for column in ("botanical_name", "synonym") if row[column]}
    if typed in botanical:
        return ()
    near = [botanical[each] for each in difflib.get_close_matches(typed, botanical, n=1, cutoff=_ALIKE)]
    near = near or [row["botanical_name"] for row in rows if f" {folded(row['common_name'])}".endswith(f" {typed}")]
    if not 0 < len(near) <= _MOST:
        return ()
    return (say("intake.species_near", typed=name, near=say("readings.or").join(near)),)
