"""The record of what was put on, as law asks for it, and where every litre went."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

Flag = Literal["no_such_load", "refused_load", "called_back", "late", "age_not_shown", "hours_do_not_fit",
               "no_load_told", "batch_told", "no_such_batch", "zone_not_known"]
"""What stands against work, most of it from a load of extract; it is kept all the same. The last one stands in no link.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainHead:
    """The end of a practice's chain, as it is printed and backed up."""

    count: int
    """Links."""
    mark: str
    """Of the last one; empty where there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """What is put on that has a label."""

    name: str
    registration: str = ""
    """Its number by the EPA, or of the state."""
    restricted: bool = False
    """Restricted use: only by a certified applicator or under one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Application:
    """One remedy put on at one place, or not; closed when nothing that law asks for is missing."""

    id: str
    """Of the newest word; older ones stay in the fieldbook."""
    slot: str
    """The same through every correction."""
    property_id: str
    place_id: str
    tree_ids: tuple[str, ...]
    """One: what lies on several trees is a record at each."""
    remedy: str
    day: date
    plan: str = ""
    """Mark of the signed plan; empty: none asked for it."""
    job_ids: tuple[str, ...] = ()
    part: int = 0
    """Of a job that is parted over stops of a round: which of them, from 1; 0: it is not, or nobody said."""
    load_id: str = ""
    """Of extract: the load it came from, as told, or the only one that can be meant by the batch."""
    batch_id: str = ""
    """As told, made or planned, where no load was."""
    started: datetime | None = None
    """None: the hours were not told, as a phone's short form leaves them out."""
    ended: datetime | None = None
    time_zone: str = ""
    applicator: str
    """A code."""
    applicator_licence: str = ""
    helpers: tuple[str, ...] = ()
    """Codes of who is not certified."""
    no_helper: bool = False
    """Nobody helped, and that was said."""
    amount: str = ""
    """As typed, with its unit."""
    litres: float | None = None
    mass_kg: float | None = None
    area_m2: float | None = None
    area: str = ""
    """As typed, with its unit."""
    site: str = ""
    """What was treated, in words of the law: crop, commodity, stored product or site."""
    product: Product | None = None
    method: str = ""
    weather: str = ""
    soil: str = ""
    not_done: str = ""
    """Why it was not; empty: it was."""
    note: str = ""
    flags: tuple[Flag, ...] = ()
    """What stood against it when it was taken in; empty: it was regular."""
    number: int = 0
    """Of its link in the practice's chain."""
    prev: str = ""
    """Mark of the link before it."""
    mark: str = ""
    """Of its own link, over its content and `prev`."""
    corrects: int = 0
    """How many words of the same record stood before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnFile:
    """What stands beside the record, where it can be erased, and what the practice has set itself."""

    client_named: bool
    client_address: bool
    keep_years: float = 0.0
    """By the practice's own rule; 0: it has none."""
    whole_days: float | None = None
    """Within so many the record is whole by the practice's own rule; None: it has none."""
    copy_given: date | None = None


Wrong = Literal["empty", "kind", "date"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lack:
    """One field that law wants."""

    field: str
    """Of the table of fields."""
    why: Wrong


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """What law still asks of one record."""

    application_id: str
    missing: tuple[Lack, ...]
    """Fields that law wants and that are empty or wrong."""
    due: date | None
    """By then it has to be whole."""
    own_days: float | None = None
    """Of the practice's own rule, where that is sooner than the federal one."""
    keep_until: date | None
    copy_due: date | None
    """The client's copy; None where none is owed, or it was given."""
    source: str = ""


LitreKind = Literal["made", "left", "lost", "rinse"]
"""What is told of a batch beside its records; what was applied stands in those."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Where the litres of one batch went; whole where they sum up."""

    batch_id: str
    made_l: float
    applied_l: float
    left_l: float
    lost_l: float
    rinse_l: float
    """Water that came after; outside the sum."""
    unaccounted_l: float
    """Made less applied, left and lost; 0 where every litre is told."""
