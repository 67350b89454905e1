"""What the table of species knows of a kind."""

from __future__ import annotations

from statistics import mode

from rootcase.tables.load import Row, table


def known_as(name: str) -> tuple[Row, ...]:
    """Rows of the table of species for a name: the kind's own, else those of its genus.

    Parameters
    ----------
    name : botanical name or synonym, or a genus with "sp."; may be empty.

    Returns
    -------
    Rows of the table; empty where it has neither kind nor genus.

    Raises
    ------
    Nothing.

    Notes
    -----
    Where only the genus is known, what most of its kinds have is taken of the rows by whoever asks.

    References
    ----------
    Table species.

    Examples
    --------
    >>> [row["botanical_name"] for row in known_as("Quercus rubra")], known_as("")
    (['Quercus rubra'], ())
    """
    rows = table("species").rows
    same = tuple(row for row in rows if name and name in (row["botanical_name"], row["synonym"]))
    return same or tuple(row for row in rows if name and name.split(" ")[0] == row["genus"])


def growth_class_of(name: str) -> str:
    """How fast a kind grows, as the table of species classes it.

    Parameters
    ----------
    name : botanical name; empty where nobody read it.

    Returns
    -------
    slow, medium or fast; medium where the table has neither kind nor genus.

    Raises
    ------
    Nothing.

    Notes
    -----
    Where only the genus is known, the class that most of its kinds have.

    References
    ----------
    Table species; medium for an unknown kind: JUDGEMENT.

    Examples
    --------
    >>> growth_class_of("Acer platanoides"), growth_class_of("")
    ('slow', 'medium')
    """
    listed = known_as(name)
    return mode(str(row["growth_class"]) for row in listed) if listed else "medium"
