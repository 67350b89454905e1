"""The nouns of the field: property, place, tree, pit, visit, reading, yardstick.

All of them come out of the fieldbook's events; names of people and how to reach them do not live here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from rootcase.records.prove import SignedEffect

Nothing = Literal["none seen", "not looked", "not read"]
Sign = Literal["=", "<", ">", "~"]
System = Literal["us", "metric"]
LineKind = Literal["gas", "power", "water", "telecom", "irrigation", "drain"]
PlaceKind = str
"""A code of the reading kind place_kind, or of an outline: building, path, water."""


@dataclass(frozen=True, slots=True)
class Property:
    """A client's ground; a position that is NaN, an elevation of None, and an empty time zone, currency or station
    nobody has said."""

    id: str
    practice_id: str
    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None
    time_zone: str
    currency: str
    weather_station: str
    system: System
    invented: bool
    law: str = ""
    """Whose rules hold here, as the page of rules names them, parted by semicolons; empty: nobody has said."""


@dataclass(frozen=True, slots=True)
class Place:
    """A part of a property with one kind of surface and use."""

    id: str
    property_id: str
    name: str
    kind: PlaceKind
    outline_m: tuple[tuple[float, float], ...] = ()
    """Corners, metres east and north of the property's south-west origin."""


@dataclass(frozen=True, slots=True)
class BuriedLine:
    """What lies in the ground as somebody drew it, which is never where a locator has marked it."""

    id: str
    property_id: str
    name: str
    kind: LineKind
    points_m: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class KeepOff:
    """Ground on which nothing is done, nor within a distance of it."""

    id: str
    property_id: str
    name: str
    reason: str
    """As somebody wrote it: a well, a children's bed."""
    outline_m: tuple[tuple[float, float], ...]
    distance_m: float


@dataclass(frozen=True, slots=True)
class Aerial:
    """A picture from above that lies under the map, by the four numbers of its place."""

    id: str
    photo: str
    """SHA-256 under which its bytes are kept."""
    width_px: int
    height_px: int
    scale_m_px: float
    turned_deg: float
    """Where its upper edge points, clockwise from north."""
    east_m: float
    north_m: float
    """Of its upper left corner."""
    own_width_px: int = 0
    own_height_px: int = 0
    """Of the person's own file, upright, before it was drawn anew smaller; 0 where nobody kept it."""

    @property
    def counted_px(self) -> tuple[int, int]:
        """Width and height in the pixels that people count in: those of their own file."""
        return self.own_width_px or self.width_px, self.own_height_px or self.height_px


@dataclass(frozen=True, slots=True)
class Tree:
    """A tree; `label` is what people call it, such as oak 4."""

    id: str
    property_id: str
    place_id: str
    label: str
    east_m: float | None
    north_m: float | None


@dataclass(frozen=True, slots=True)
class Pit:
    """A spot where the soil was opened or probed."""

    id: str
    property_id: str
    label: str
    tree_id: str | None
    place_id: str | None


@dataclass(frozen=True, slots=True)
class Visit:
    """One stay at a property during which readings are taken."""

    id: str
    property_id: str
    label: str
    day: date
    observer: str
    """A code of the reader (a phone, a pair of initials), never a name."""


@dataclass(frozen=True, slots=True)
class Sample:
    """Soil or leaves sent to a laboratory."""

    id: str
    property_id: str
    label: str
    tree_id: str | None
    place_id: str | None


@dataclass(frozen=True, slots=True)
class Reading:
    """One observation: what, of what, value in SI, as typed, when, by whom; never changed, only superseded."""

    id: str
    kind: str
    of: str
    """Id of the tree, pit, place, sample or visit."""
    visit_id: str
    day: date
    observer: str
    value: float | None
    """In the kind's si_unit; None for text, choices and the three kinds of nothing."""
    choice: str | None
    """Code of a choice, or free text."""
    sign: Sign
    nothing: Nothing | None
    typed: str
    """Exactly what the person typed, with its unit."""
    depth_from_m: float | None = None
    depth_to_m: float | None = None
    growth_year: int | None = None
    series: str = ""
    """Which repeat: the shoot, the push, the ring of a cover count."""
    attributes: Mapping[str, str] = field(default_factory=dict)
    """What the kind requires beside the value (method, extract, position)."""
    doubts: tuple[str, ...] = ()
    """Why the value is flagged; empty when it is not."""
    source: str = ""
    """Where it came from: file, sheet and row, or device."""
    supersedes: str | None = None

    @property
    def plain(self) -> bool:
        """A figure that stands as it is: no doubt is on it, and it is no limit such as <5 or 50+."""
        return self.value is not None and self.sign in ("=", "~") and not self.doubts


@dataclass(frozen=True, slots=True)
class WantedReading:
    """A reading that somebody wants taken at the next visit."""

    tree_id: str
    kind: str
    by: str
    """A code of who wants it, never a name."""
    day: date


def by_stem(trunks: Iterable[Reading]) -> list[list[Reading]]:
    """Readings of a tree's trunk, those of each stem together; one that names no stem is of the first."""
    found: dict[str, list[Reading]] = {}
    for reading in trunks:
        found.setdefault(reading.attributes.get("stem", "1"), []).append(reading)
    return list(found.values())


@dataclass(frozen=True, slots=True)
class Yardstick:
    """Healthy trees and pits of the same kind that a tree is compared with."""

    id: str
    property_id: str
    label: str
    tree_ids: tuple[str, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a law or of the practice itself, as somebody who looked it up wrote it down."""

    topic: str
    """Code of the table of topics, such as closed or notice."""
    law: str
    """Whose rule: a state, a county, the practice."""
    value: float | None
    """In `unit`; None where the topic has none."""
    unit: str
    closed_from: str
    """Month and day, such as 12-01, of the first closed day; empty where the topic has no dates."""
    closed_to: str
    """Of the last closed day; before `closed_from` where the time runs over the new year."""
    applies_to: tuple[str, ...]
    """Codes of remedies."""
    source: str
    """Section of the law, or page."""
    checked_on: date
    note: str


@dataclass(frozen=True, slots=True)
class Paper:
    """Something of the practice that holds until a day."""

    kind: Literal["licence", "permit", "calibration"]
    what: str
    ends: date


@dataclass(frozen=True, slots=True)
class Practice:
    """What a practice says of itself to its clients; what is empty or None nobody has said."""

    name: str = ""
    """As it stands at the head of a letter."""
    address: str = ""
    reach: str = ""
    """How clients reach it."""
    tax_name: str = ""
    tax_pct: float | None = None
    """On top of its prices."""
    valid_days: int | None = None
    """How long an offer holds."""
    laboratory_days: int | None = None
    """After which a laboratory's answer is late."""
    terms: str = ""
    papers: tuple[Paper, ...] = ()


@dataclass(frozen=True, slots=True)
class PropertyRecord:
    """Everything the fieldbook holds of one property, corrections applied."""

    property: Property
    places: tuple[Place, ...]
    trees: tuple[Tree, ...]
    pits: tuple[Pit, ...]
    samples: tuple[Sample, ...]
    visits: tuple[Visit, ...]
    readings: tuple[Reading, ...]
    yardsticks: tuple[Yardstick, ...]
    compared_with: Mapping[str, str]
    """Yardstick id of each tree that is to be compared."""
    outlines: tuple[Place, ...] = ()
    """Ground that is drawn but not read: buildings, paths, water."""
    rules: tuple[Rule, ...] = ()
    """All the practice has been told, of whatever law."""
    lines: tuple[BuriedLine, ...] = ()
    keep_off: tuple[KeepOff, ...] = ()
    learned: tuple[SignedEffect, ...] = ()
    """What the practice's own trials say, signed; it holds at every property."""

    def place_of(self, tree: Tree) -> Place:
        return next(place for place in self.places if place.id == tree.place_id)

    def of(self, *ids: str, kind: str | None = None) -> tuple[Reading, ...]:
        """Readings of these subjects, of one kind where it is named, in order of id."""
        return tuple(r for r in self.readings if r.of in ids and (kind is None or r.kind == kind))

    def pits_of(self, tree_id: str) -> tuple[Pit, ...]:
        return tuple(pit for pit in self.pits if pit.tree_id == tree_id)

    def samples_of(self, tree: Tree) -> tuple[Sample, ...]:
        """Samples of the tree itself, else those of its place."""
        own = tuple(s for s in self.samples if s.tree_id == tree.id)
        return own or tuple(s for s in self.samples if s.tree_id is None and s.place_id == tree.place_id)


@dataclass(frozen=True, slots=True)
class Station:
    """A weather station as its files tell of it; what they do not is None."""

    name: str
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    stands_in: bool = False
    """Somebody said that its typical year may stand in where no day was observed."""


@dataclass(frozen=True, slots=True)
class Weather:
    """Daily weather of one station; a day without a value is NaN, never zero."""

    station: str
    days: tuple[date, ...]
    t_min_c: tuple[float, ...]
    t_max_c: tuple[float, ...]
    rain_mm: tuple[float, ...]
    et0_mm: tuple[float, ...]
    """As given, else NaN; services fill it by the best formula the day allows."""
    wind_m_s: tuple[float, ...]
    source: str
    t_dew_c: tuple[float, ...] = ()
    """This and the following are empty where no day has it."""
    humidity_min_pct: tuple[float, ...] = ()
    humidity_max_pct: tuple[float, ...] = ()
    humidity_mean_pct: tuple[float, ...] = ()
    solar_mj_m2_day: tuple[float, ...] = ()
    wind_height_m: tuple[float, ...] = ()
    """At which the wind was measured."""
    marks: tuple[str, ...] = ()
    """What of a day was not observed at the station, in words; empty texts elsewhere."""
    et0_method: tuple[str, ...] = ()
    """Code of the formula behind each day's et0_mm; empty before services have filled it."""
    typical: bool = False
    """A typical year stands in: these are no days that were."""
    place: Station | None = None
    told: tuple[str, ...] = ()
    """What is said wherever this weather is told."""

    @property
    def ends(self) -> date:
        return self.days[-1]


@dataclass(frozen=True, slots=True)
class Forecast:
    """Weather that somebody expects; never mixed with what was observed."""

    issued_at: str
    """As the service or the person said it, ISO 8601."""
    weather: Weather


@dataclass(frozen=True, slots=True)
class Price:
    """One line of a practice's price book."""

    item: str
    unit: str
    """per_m2, per_m3, per_visit, per_tree or per_hour."""
    amount: float
    currency: str
    source: str


MINIMUM_CHARGE = "minimum charge"
"""The item of a price book's one line that is no price of a thing."""


@dataclass(frozen=True, slots=True)
class PriceBook:
    currency: str
    prices: tuple[Price, ...]
    minimum_charge: float = 0.0
