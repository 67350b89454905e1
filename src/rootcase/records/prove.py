"""Trials that were read: what went in, and what they say of a treatment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

FreedomBy = Literal["satterthwaite", "kenward-roger"]
Replicate = Literal["tree", "plot"]
Warned = Literal["plots", "one_arm", "lost", "few", "no_spread", "unread", "trend", "one_shoot", "one_site",
                 "disturbed", "disturbed_most"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialReading:
    """One reading of one tree in one year."""

    site: str
    tree: str
    year: int
    after: bool
    """Read after the treatment began."""
    treated: bool
    """The tree's arm, the same in every year."""
    value: float | None
    """None: not read. [any unit, the same in a trial]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A pair that says nothing, by the tree it is for."""

    tree_id: str
    partner_id: str
    why: Literal["not_put_on", "got_it_too", "regulated", "not_read_before", "not_read_after", "in_another_pair",
                 "removed", "dead"]
    until: int | None = None
    """Last season in which shoots are no measure; None: that is not why."""
    treated: bool = False
    """The tree that it is for."""
    before: float | None = None
    """Of a tree that is gone or dead: mean of the natural logs of its shoots from before, in [mm]."""
    note: str = ""
    """Why it is gone, as it was written down."""


DISTURBING = ("watered", "fed", "pruned", "dug", "salted", "sprayed", "roots_cut", "grade", "trench", "building",
              "flood", "fire", "neighbour_tree")
"""What breaks the measure at a tree: choices of the readings outside_change and site_event, and roots cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """What befell a tree that is in the answer, beside the treatment; it stays in the answer."""

    tree_id: str
    treated: bool
    what: str
    """One of DISTURBING; else removed or dead: it is gone since, and its shoots up to then count."""
    day: date
    """On which it was told."""
    note: str = ""

    @property
    def disturbing(self) -> bool:
        return self.what in DISTURBING


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialReadings:
    """What was read of one property's pairs for one thing in doubt."""

    property_id: str
    remedy: str
    pairs: int
    """That a lot parted, those left out with them."""
    readings: tuple[TrialReading, ...]
    """Natural logs of shoots in [mm]."""
    left_out: tuple[LeftOut, ...]
    happened: tuple[Happened, ...] = ()
    """To trees that are not left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialWarning:
    """What a reader of the answer has to know."""

    kind: Warned
    names: tuple[str, ...] = ()
    """Of trees, sites or spreads it is about."""
    figures: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialFit:
    """What one trial says of a treatment: how much more the treated changed than the untreated."""

    effect: float
    """[unit of the readings]"""
    standard_error: float
    """[unit of the readings]"""
    freedom: float
    """Degrees of freedom. [-]"""
    p: float
    """Chance of an effect as far from nothing where there is none. [-]"""
    low: float
    """[unit of the readings]"""
    high: float
    """[unit of the readings]"""
    level: float
    """Of the interval. [-]"""
    freedom_by: FreedomBy
    variances: Mapping[str, float]
    """Of site, site_year, tree, tree_year and residual, or of plot; what the trial cannot tell apart is missing.
    [unit squared]"""
    replicate: Replicate
    """What was treated as one."""
    treated: int
    """Replicates."""
    untreated: int
    """Replicates."""
    sites: int
    trees: int
    readings: int
    warnings: tuple[TrialWarning, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeInTrial:
    """One tree of a pair that is in the answer."""

    tree_id: str
    treated: bool
    before: float
    """Mean of the natural logs of its shoots, in [mm]."""
    after: float
    """Mean of the natural logs of its shoots, in [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftAlone:
    """Trees of a property that a signed plan leaves alone; no lot parted them, so they enter no effect."""

    property_id: str
    trees: tuple[TreeInTrial, ...]
    """Read before that plan and since."""
    change: float
    """Mean of theirs, log ratio. [-]"""
    low: float | None = None
    """Of its interval, log ratio; None: fewer than two trees, or all changed alike. [-]"""
    high: float | None = None
    """Of its interval, log ratio. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyTrial:
    """One property's trial of one thing in doubt."""

    property_id: str
    pairs: int
    """In the answer."""
    left_out: tuple[LeftOut, ...]
    seasons: int
    """Read after it was put on."""
    fit: TrialFit | None
    """On the log scale; None: too little was read for an answer."""
    heard: float | None
    """The effect after hearing the other properties, log scale. [-]"""
    inner: tuple[float, float] | None = None
    """Between them it lies as likely as not, log scale; None: no answer. [-]"""
    trees: tuple[TreeInTrial, ...] = ()
    """In the answer, pair by pair."""
    happened: tuple[Happened, ...] = ()
    """To trees in the answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What a practice's own trials say of one thing in doubt; effects are log ratios of shoot lengths."""

    remedy: str
    properties: tuple[PropertyTrial, ...]
    pairs: int
    """In the answer."""
    look: int
    """How many seasons after were looked at so far; 0: none."""
    level: float
    """That the intervals of all looks hold together. [-]"""
    effect: float
    """Mean of what is believed after the trials. [-]"""
    low: float
    """Of its interval, log ratio. [-]"""
    high: float
    """Of its interval, log ratio. [-]"""
    inner: tuple[float, float]
    """Between them it lies as likely as not, log ratio. [-]"""
    least_seen: float | None
    """Least true effect that trials like these would tell from nothing four times in five; None: no trial answers yet.
    [-]"""
    next_sd: float
    """How far the true effect at one more property lies around `effect`, as is believed. [-]"""
    heard: float
    """Share of what is believed that comes from the trials, the rest from what was believed before. [-]"""
    without: Proof | None = None
    """The same without the pairs of which a tree was disturbed; None: none was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """What plans promised of a thing at the trees of its trials, over what the untreated got; log ratios of growth."""

    mean: float
    """[-]"""
    low: float
    """Mean of the plans' lower limits. [-]"""
    high: float
    """[-]"""
    trees: int
    """Whose plans said something of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedEffect:
    """What a practice's own trials say of a remedy, under a signature; plans reckon with it in the handbook's place."""

    remedy: str
    mean: float
    """Log ratio of growth with it to growth without, at a tree like those of the trials. [-]"""
    sd: float
    """Of that at the next property. [-]"""
    promised: float | None
    """What plans had promised at those trees, log ratio; None: no plan told, or too little to go by. [-]"""
    tree_ids: tuple[str, ...]
    """Of the pairs in the answer."""
    properties: int
    seasons: int
    """Read after it was put on."""
    by: str
    """A code of who signed, never a name."""
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class ShootSpreads:
    """How far shoots stray where nothing is done to a tree, natural logs."""

    tree_year: float
    """A tree's years around the tree, beyond what its place's years share. [-]"""
    shoot: float
    """Shoots around their tree and year. [-]"""
    trees: int
    """Of the practice's own that they are reckoned from; 0: the table's stand in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialAhead:
    """What the pairs of one thing in doubt could show."""

    remedy: str
    pairs: int
    """Drawn at this property."""
    elsewhere: int
    """Drawn at the practice's other properties, which count with them."""
    shoots: int
    """Read of a tree in a year."""
    before: int
    """Years read before the work."""
    plots: int | None
    """Whole places of an arm, where no place has trees of both; None: pairs are what is repeated."""
    spreads: ShootSpreads
    missed: tuple[tuple[int, float, float], ...]
    """Seasons read after; log ratio under which a difference is missed oftener than found, and that found four times in
    five. [-]; none where one pair or plot an arm stands alone."""
