"""Which signs were seen at a tree, which were looked for and not there, which nobody looked for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rootcase.casework.explain.ground import Ground
from rootcase.records.observe import Reading
from rootcase.tables.load import Row, table
from rootcase.tables.readings import kinds

NOT_MADE = ("not looked", "not read")
"""Somebody said so: as good as no reading."""
SAYS_NOT = ("not_looked", "not_cut", "not_asked", "not_checked")
"""Choices of the catalogue that say so."""


@dataclass(frozen=True, slots=True)
class Looked:
    """A sign of which a reading told."""

    present: bool
    reading_ids: tuple[str, ...]


def signs_read(ground: Ground) -> dict[str, Looked]:
    """What the readings tell of each sign; a sign that is not in it was not looked for, or its reading settles nothing.

    Parameters
    ----------
    ground : what was read at the tree and around it.

    Returns
    -------
    Looked by the code of the sign.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Of each kind the newest day's readings. Any that says present stands before one that says absent. A figure with <
    says at most absent, one with > at most present.

    References
    ----------
    Table explain/signs: JUDGEMENT.

    Examples
    --------
    >>> from datetime import date
    >>> def saw(kind, value, choice, nothing=None):
    ...     return Reading("r-" + kind, kind, "t", "v", date(2015, 8, 1), "a", value, choice, "=", nothing, "")
    >>> told = signs_read(Ground("lawn", {
    ...     "root_flare_state": (saw("root_flare_state", None, "none"),),
    ...     "canker_share": (saw("canker_share", 0.0, None),),
    ...     "borer_hole_count": (saw("borer_hole_count", None, None, "none seen"),),
    ...     "encircling_share": (saw("encircling_share", None, None, "not looked"),)}))
    >>> {sign: looked.present for sign, looked in told.items()}
    {'flare_hidden': True, 'borer_holes': False, 'canker_seen': False}
    """
    told: dict[str, list[tuple[bool, str]]] = {}
    for row in table("explain/signs").rows:
        for reading in newest(ground, str(row["reading"])):
            said = _says(row, reading, ground)
            if said is not None:
                told.setdefault(str(row["sign"]), []).append((said, reading.id))
    return {sign: Looked(any(said for said, _ in each), _ids(each)) for sign, each in told.items()}


def newest(ground: Ground, kind: str) -> tuple[Reading, ...]:
    """Readings of a kind made on the newest day it was, "none seen" among them.

    Parameters
    ----------
    ground : what was read at the tree and around it.
    kind : a code of the catalogue.

    Returns
    -------
    Readings; none where nobody looked.

    Raises
    ------
    Nothing.

    Notes
    -----
    "Not looked" and "not read" are no readings.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> newest(Ground("lawn", {}), "canker_share")
    ()
    """
    made = [r for r in ground.by_kind.get(kind, ()) if r.nothing not in NOT_MADE and r.choice not in SAYS_NOT]
    return tuple(r for r in made if r.day == max(r.day for r in made))


def _says(row: Row, reading: Reading, ground: Ground) -> bool | None:
    """Whether a reading says that the sign is there; None where it settles nothing."""
    if reading.nothing == "none seen":
        return False
    if any(told.choice == row["unless"] for told in newest(ground, str(row["unless_reading"]))):
        return None
    if reading.value is None:
        if reading.choice in str(row["present"]).split("|"):
            return not _long_ago(row, reading, ground)
        return False if reading.choice in str(row["absent"]).split("|") else None
    value = reading.value
    if kinds()[reading.kind].si_unit == "year":
        value = reading.day.year - value
    if row["present_from"] is not None and value >= row["present_from"] and reading.sign != "<":
        return True
    if row["absent_below"] is not None and value < row["absent_below"] and reading.sign != ">":
        return False
    return None


def _long_ago(row: Row, reading: Reading, ground: Ground) -> bool:
    if not row["year_reading"]:
        return False
    told = newest(ground, str(row["year_reading"]))
    return any(reading.day.year - r.value > row["within_years"] for r in told
               if r.of == reading.of and r.value is not None)


def _ids(told: Iterable[tuple[bool, str]]) -> tuple[str, ...]:
    """Those that settle it: where any says present, only these."""
    each = list(told)
    settles = any(said for said, _ in each)
    return tuple(dict.fromkeys(name for said, name in each if said == settles))
