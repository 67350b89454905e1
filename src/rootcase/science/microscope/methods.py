"""Ways to count at the bench, in their order, and what each does not show."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.tables.load import table


@dataclass(frozen=True, slots=True)
class Method:
    """A way to count."""

    name: str
    counted: str
    not_shown: str
    source: str


def methods() -> tuple[Method, ...]:
    """In which order is the bench worked, and what does each count and not show?

    Returns
    -------
    by the order in which they are taken up.

    Raises
    ------
    FileError : the table cannot be read.

    Notes
    -----
    What a count does not show stands beside the count wherever it is told.

    References
    ----------
    Table microscope/methods, a source each row.

    Examples
    --------
    >>> [method.name for method in methods()]
    ['chamber', 'fields', 'smear', 'crossings', 'photos', 'tubes', 'sieve']
    """
    return tuple(Method(row["method"], row["counted"], row["not_shown"], row["source"])
                 for row in sorted(table("microscope/methods").rows, key=lambda row: float(row["order"])))
