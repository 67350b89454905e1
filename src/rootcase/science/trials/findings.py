"""What others found, to set one's own beside."""

from __future__ import annotations

from typing import Literal, NamedTuple

from rootcase.tables.load import table

About = Literal["remedies", "growth_regulator", "compost_tea", "roots", "ground", "leaf_meter", "crown_ratings"]


class Finding(NamedTuple):
    """What was looked at, between what it lay in which unit, what was said of it, and who says so, known how."""

    what: str
    low: float | None
    high: float | None
    unit: str
    told: str
    source: str


def found_elsewhere(about: About) -> tuple[Finding, ...]:
    """What did others find: trials of remedies, a trial's compost tea, roots, ground, leaf meters, crown ratings?

    Parameters
    ----------
    about : what is asked about

    Returns
    -------
    Finding(what, low, high, unit, told, source) for each: both ends alike for one figure, none for what is a word or
    has no end.

    Raises
    ------
    None

    Notes
    -----
    One trial, one place: "no significant effect" is not proof of none, and a share among trees in decline is not one
    among all trees. A leaf meter tells a hungry tree from a fed one of one cultivar, day and age of leaf, and neither
    ranks cultivars nor says what is short.

    References
    ----------
    Table trials/findings, a source each row.

    Examples
    --------
    >>> [(each.what, each.low) for each in found_elsewhere("leaf_meter")][0]
    ('sycamore maple, beech, English oak: impaired below', 25.0)
    """
    return tuple(Finding(row["what"], row["low"], row["high"], row["unit"], row["told"],
                         f"{row['source']} ({row['how_known']})")
                 for row in table("trials/findings").rows if row["about"] == about)
