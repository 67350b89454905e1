"""One figure of the casework, as a page may print it and as its trace tells it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Result:
    """One figure of the casework, with its interval and what it was made of."""

    what: str
    figure: str
    interval: str
    readings: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    results: tuple[str, ...] = ()
    """Names of the results it was reckoned from."""
