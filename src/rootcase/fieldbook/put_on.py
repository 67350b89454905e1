"""What was put on, or why it was not: a record at a tree, beside the signed plan that asked for it.

There is one kind for all of it, so that there is one truth. A phone sends the light form, without what law asks of some
work; the desk tells the whole of it, or completes what a phone sent: then it supersedes that, and both stay.
"""

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
    batch: str = ""
    """Id of its batch, made or planned, where who told it had heard of no load of it."""
    started: str = ""
    """UTC, such as 2015-11-05T09:30:00.000Z; empty: not told, as is whatever is empty below."""
    ended: str = ""
    time_zone: str = ""
    licence: str = ""
    """Of who did it."""
    helpers: tuple[str, ...] = ()
    """Codes of who is not certified."""
    no_helper: bool = False
    """Nobody helped, and that was said."""
    jobs: tuple[str, ...] = ()
    part: int = 0
    """Of a job that is parted over stops of a round: which of them, from 1; 0: it is not, or nobody said."""
    volume_l: float | None = None
    mass_kg: float | None = None
    area_m2: float | None = None
    site: str = ""
    """What was treated, in words of the law."""
    product: str = ""
    registration: str = ""
    restricted: bool = False
    method: str = ""
    weather: str = ""
    soil: str = ""
    reason: str = ""
    """Of a correction: what was wrong."""
