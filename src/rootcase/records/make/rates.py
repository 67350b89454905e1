"""What a vehicle, a hose and a day are reckoned to do: rates, loads, weights, and what was caught to know them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Drench:
    """Liquid over an area."""

    area_m2: float
    rate_l_m2: float
    """As many millimetres deep."""
    volume_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Injection:
    """Liquid through a grid of holes."""

    spacing_m: float
    holes: int
    litres_a_hole: float
    """[L]"""
    seconds_a_hole: float | None
    """None: the flow at the tip was not told."""
    volume_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Topdress:
    """Compost over an area."""

    area_m2: float
    depth_m: float
    volume_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadParts:
    """What goes into one load."""

    volume_l: float
    extract_l: float
    water_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """How a job is parted into tanks, the last in the same ratio."""

    volume_l: float
    tank_l: float
    loads: tuple[LoadParts, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AxleLoads:
    """What each axle carries with all aboard, and what is left of its rating."""

    front_kg: float
    rear_kg: float
    front_spare_kg: float
    rear_spare_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadWeight:
    """A load against what is left of the payload."""

    volume_l: float
    weight_kg: float
    left_kg: float
    """Before the liquid."""
    spare_kg: float
    """With it; below 0: overloaded."""
    most_l: float
    takes_another_person: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Payload:
    """The weight of a load against what the label leaves."""

    load: LoadWeight
    axles: AxleLoads | None = None
    """None: the axles were not told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caught:
    """What came out of a hose in a time, and on the ground covered meanwhile."""

    flow_l_min: float
    rate_l_m2: float | None = None
    """None: no ground was told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Boom:
    """What a moving boom puts on the ground."""

    speed_m_s: float
    rate_l_m2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Injector:
    """What an injector or hose-end jar really draws."""

    share: float
    """Of what comes out."""
    wanted_share: float | None = None
    stock_share: float | None = None
    """Of concentrate in the stock, for what is wanted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cans:
    """How evenly a set of catch cans was filled."""

    cans: int
    cv_pct: float
    cu_pct: float
    du_pct: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Nozzles:
    """How far each nozzle is off the middle of its set."""

    off_pct: tuple[float, ...]
    replace: tuple[bool, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FillingGap:
    """How far above the rim a filling hose ends, by each rule."""

    twice_the_hose_m: float
    six_inches_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class JarStep:
    """One step of a jar test; no amount where there is none."""

    what: str
    amount: float | None
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Jar:
    """How two things are tried together, and what goes into a tank first."""

    portion_ml: float | None
    """Of the product in a litre of the tank's water; None: its rate was not told."""
    steps: tuple[JarStep, ...]
    order: tuple[str, ...]


Worked = (Drench | Injection | Topdress | Loads | Payload | Caught | Boom | Injector | Cans | Nozzles | FillingGap
          | Jar)
