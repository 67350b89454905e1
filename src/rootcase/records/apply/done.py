"""The record of what was put on, as law asks for it, and where every litre went."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal


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
    property_id: str
    place_id: str
    tree_ids: tuple[str, ...]
    remedy: str
    plan: str = ""
    """Mark of the signed plan; empty: none asked for it."""
    job_ids: tuple[str, ...] = ()
    load_id: str = ""
    """Of extract: the load it came from."""
    started: datetime
    ended: datetime
    time_zone: str
    applicator: str
    """A code."""
    applicator_licence: str = ""
    helpers: tuple[str, ...] = ()
    """Codes of who is not certified."""
    amount: str = ""
    """As typed, with its unit."""
    litres: float | None = None
    mass_kg: float | None = None
    area_m2: float | None = None
    site: str = ""
    """What was treated, in words of the law: crop, commodity, stored product or site."""
    product: Product | None = None
    method: str = ""
    weather: str = ""
    soil: str = ""
    not_done: str = ""
    """Why it was not; empty: it was."""
    note: str = ""
    prev: str = ""
    """Mark of the record before it in the practice's chain."""
    mark: str = ""
    """Its own, over its content and `prev`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """What law still asks of one record."""

    application_id: str
    missing: tuple[str, ...]
    """Names of fields that law wants and that are empty or wrong."""
    due: date | None
    """By then it has to be whole."""
    keep_until: date | None
    copy_due: date | None
    """The client's copy; None where none is owed, or it was given."""
    source: str = ""


LitreKind = Literal["made", "applied", "left", "lost", "rinse"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Where the litres of one batch went; whole where they sum up."""

    batch_id: str
    made_l: float
    applied_l: float
    left_l: float
    lost_l: float
    unaccounted_l: float
    """Made less applied, left and lost; 0 where every litre is told."""
