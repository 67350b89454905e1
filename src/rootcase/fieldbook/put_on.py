"""What was put on, or why it was not: a plain record at a tree, beside the signed plan that asked for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOnLogged(Body):
    """Somebody did a piece of work at a tree, or says why not; one of the same slot takes its place."""

    KIND = "put_on_logged"
    tree: str
    remedy: str
    """Code of one remedy."""
    day: date
    by: str
    """A code of who did it, never a name."""
    plan: str = ""
    """Mark of the signed plan; empty: none asked for it."""
    amount: str = ""
    """As typed, with its unit."""
    area: str = ""
    """As typed, with its unit; empty: as planned."""
    not_done: str = ""
    """Why it was not done; empty: it was."""
    note: str = ""
    load: str = ""
    """Id of the load of extract it came from, as told; empty: none, or nobody said."""
