"""Figures that a table gives for a class of soil, for one name or for a name in each lane."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from rootcase.science.lanes import Lanes
from rootcase.tables.load import table

Names = ArrayLike
"""One name, or an array with a name for each lane."""


class Between(NamedTuple):
    """A range as a source prints it; an open end is 0 or infinite."""

    low: Lanes
    high: Lanes


def figures_by_name(name: str, key: str, names: Names, columns: tuple[str, ...], **cells: str) -> tuple[Lanes, ...]:
    """What a table of named rows says, column by column, for every lane.

    Parameters
    ----------
    name : path of the table, such as "soil/density_trees"
    key : column that holds the names
    names : one name or one per lane
    columns : columns to read
    cells : what other columns of the row must hold, where a name stands in more than one row

    Returns
    -------
    one array for each column, of the shape of `names`. [the column's unit]

    Raises
    ------
    Missing : the table has no such row, or more than one.

    Notes
    -----
    Each different name is looked up once. There is no nearest row.

    References
    ----------
    None: reading of a table; each table names its own source.

    Examples
    --------
    >>> low, high = figures_by_name("soil/density_trees", "texture", ["loam", "clay"], ("low_mg_m3", "high_mg_m3"))
    >>> low.tolist(), high.tolist()
    ([1.45, 1.4], [1.6, 1.55])
    """
    asked, lane = np.unique(np.asarray(names, dtype=np.str_), return_inverse=True)
    rows = [table(name).row(**{key: str(each)}, **cells) for each in asked]
    return tuple(np.array([row[column] for row in rows], dtype=np.float64)[lane].reshape(np.shape(names))
                 for column in columns)
