"""Work on a large picture, handed out in strips to threads of our own."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from multiprocessing import current_process

THREADS = 2
"""More would wait for the same memory. JUDGEMENT, measured on a machine of two."""
LEAST = 256
"""Of rows or strands: under that handing out costs more than it gains. JUDGEMENT."""


def in_strips(work: Callable[[int, int], object], count: int, step: int) -> None:
    """Do a piece of work for all rows, or strands, of a picture.

    Parameters
    ----------
    work : takes the first of its rows and the one after its last; writes where nobody else does, and lets go of Python
    count : of rows. [-], 0 or more
    step : strips begin at multiples of it. [-], 1 or more

    Returns
    -------
    nothing: the work has been done when it comes back.

    Raises
    ------
    Whatever the work raises.

    Notes
    -----
    The result is the same for any number of threads, since no row asks another strip's result.

    References
    ----------
    JUDGEMENT: the house's own pool, as the days of the growth model have it.

    Examples
    --------
    >>> done = []
    >>> in_strips(lambda first, last: done.append(last - first), 100, 5)
    >>> done
    [100]
    """
    if count < LEAST:
        work(0, count)
        return
    ends = [count * part // THREADS // step * step for part in range(THREADS)] + [count]
    list(_pool(current_process().pid).map(work, ends[:-1], ends[1:]))


@cache
def _pool(process: int | None) -> ThreadPoolExecutor:
    """Threads that stay; a process forked from one that has some has none of them, and would wait for ever."""
    return ThreadPoolExecutor(THREADS, "rootcase-photo")
