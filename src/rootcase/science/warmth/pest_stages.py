"""The degree days at which stages of pests are to be looked for, as extension services print them."""

from __future__ import annotations

from typing import NamedTuple

from rootcase.ground.errors import Missing
from rootcase.ground.units import convert
from rootcase.tables.load import table


class PestStage(NamedTuple):
    """One stage of one pest by one service."""

    pest: str
    stage: str
    from_c_day: float
    to_c_day: float
    counted_from: str
    """Month and day."""
    cue: str
    """A bloom that goes with it; empty: none is told."""
    source: str


def pest_stages(pest: str) -> tuple[PestStage, ...]:
    """At how many degree days is a pest to be looked for: crawlers, hatching eggs, flying borers?

    Parameters
    ----------
    pest : its name or a part of it, such as "scale" or "emerald ash borer"; as the table has it

    Returns
    -------
    Every stage of every pest of that name, the earliest first. Base 50 degF. [degC day]

    Raises
    ------
    Missing : no pest of the table is called so.

    Notes
    -----
    Added up by average_degree_days_c from the day that is told, in the north half of the earth. A call to look and not
    to spray: another method, base or start gives other sums, and a yard may be a week off its station. Two services may
    print two figures for one pest. Look before you act, and the label goes before all.

    References
    ----------
    Table explain/pest_stages, a source each row.

    Examples
    --------
    >>> [(each.stage, round(each.from_c_day), each.counted_from) for each in pest_stages("bronze birch borer")]
    [('adults to new larvae', 222, '01-01')]
    """
    rows = table("explain/pest_stages").rows
    asked = pest.strip().lower()
    found = [row for row in rows if asked in f"{row['pest']} {row['stage']}".lower()]
    if not found:
        raise Missing("no pest of the table is called so", value=pest, about="pest",
                      right=f"one of: {', '.join(dict.fromkeys(str(row['pest']) for row in rows))}")
    stages = (PestStage(str(row["pest"]), str(row["stage"]), _c_day(row["from_degf_day"]), _c_day(row["to_degf_day"]),
                        str(row["start"]), str(row["cue"]), str(row["source"])) for row in found)
    return tuple(sorted(stages, key=lambda each: each.from_c_day))


def _c_day(told: float) -> float:
    return convert(told, "degF_day", "degC_day")
