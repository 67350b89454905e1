"""The property a list belongs to, and what a list leaves open that has to be asked: never guessed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.events import PlaceOpened, Priced, PropertyOpened, SampleOpened, TreeOpened
from rootcase.fieldbook.intake.desk import Desk
from rootcase.fieldbook.intake.grid import Cell, Page, Row, folded
from rootcase.fieldbook.intake.importer import facts_of, id_of_property, slot_of_property
from rootcase.fieldbook.intake.lists.columns import Mapped
from rootcase.fieldbook.intake.lists.entries import ground_of
from rootcase.fieldbook.intake.lists.entry import Entries, Entry
from rootcase.fieldbook.intake.lists.notation import days_in
from rootcase.fieldbook.intake.lists.positions import Position
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.fieldbook.intake.property_page import currency, property_facts
from rootcase.fieldbook.intake.property_place import far_off, place_of
from rootcase.fieldbook.intake.values import read_choice
from rootcase.fieldbook.store.store import Reading
from rootcase.fieldbook.view import heads, natural
from rootcase.ground.dates import show_date
from rootcase.ground.errors import FileError, RootcaseError
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import kinds

_UNTOLD_GROUND = "lawn"
"""What a place is checked as until its kind is said; it is never kept."""
_PLACES_SHOWN = 6


@dataclass(frozen=True, slots=True)
class Question:
    """What the list does not say and nobody has said: nothing is kept before it is answered, unless it may wait."""

    asks: str
    """What of a list's facts answers it, as `Told` calls it."""
    what: str
    answer: str
    """How an answer is written."""
    places: tuple[str, ...] = ()
    """The places whose ground is asked."""
    may_wait: bool = False
    """Whether the list can be kept without an answer."""


@dataclass(frozen=True, slots=True)
class Belongs:
    """The property of a list, as far as it is known."""

    name: str
    property_id: str
    facts: PropertyOpened | None
    """What the fieldbook holds of it; None where it is new or not named yet."""
    places: Mapping[str, str] = field(default_factory=dict)
    """Names of the places it has, by folded name."""
    trees: Mapping[str, str] = field(default_factory=dict)
    """Labels of its trees, by folded label."""
    samples: frozenset[str] = frozenset()
    """Folded labels of the samples it has."""
    known: tuple[str, ...] = ()
    """Names of all properties of the fieldbook."""
    currencies: tuple[str, ...] = ()
    """Those that the price book and all the properties use."""
    others: tuple[PropertyOpened, ...] = ()
    """All properties of the fieldbook."""

    @property
    def position(self) -> Position | None:
        return place_of(self.facts) if self.facts else None


def property_of(look: Reading, practice_id: str, told: Told) -> Belongs:
    """The property that was named, or the only one there is."""
    facts = {each: facts_of(opened) for each, opened in look.properties().items()}
    known = tuple(sorted(held.name for held in facts.values()))
    priced = (head.event.body for head in heads(look.events("")).values())
    used = {each.currency for each in facts.values()} | {body.currency for body in priced
                                                              if isinstance(body, Priced) and not body.gone}
    currencies = tuple(sorted(used - {""}))
    if told.property_name:
        property_id = id_of_property(practice_id, told.property_name, facts)
    elif len(facts) == 1:
        property_id = next(iter(facts))
    else:
        return Belongs("", id_of_property(practice_id, "", {}), None, known=known, currencies=currencies,
                       others=tuple(facts.values()))
    held = facts.get(property_id)
    opened = [head.event.body for head in heads(look.events(property_id)).values()]
    return Belongs(held.name if held else told.property_name, property_id, held,
                   {folded(body.name): body.name for body in opened if isinstance(body, PlaceOpened)},
                   {folded(label): label for label in sorted(
                       (body.label for body in opened if isinstance(body, TreeOpened)), key=natural)},
                   frozenset(folded(body.label) for body in opened if isinstance(body, SampleOpened)),
                   known, currencies, tuple(facts.values()))


def belongs_said(belongs: Belongs) -> str:
    """Whose list it is taken for, in one line."""
    if not belongs.name:
        return say("lists.property_open")
    if belongs.facts is None:
        return say("lists.property_new", property=belongs.name)
    return say("lists.property_known", property=belongs.name, trees=len(belongs.trees))


def system_of(told: Told, belongs: Belongs) -> System | None:
    systems: Mapping[str, System] = {"us": "us", "metric": "metric"}
    if told.system and told.system not in systems:
        raise FileError(say("intake.no_choice", kind="system"), value=told.system,
                        right=say("intake.one_of", choices="us, metric"))
    return belongs.facts.system if belongs.facts else systems.get(told.system)


def currency_of(told: Told, belongs: Belongs) -> str:
    """The currency a property is reckoned in: its own, the one that was said, else the only one the practice uses."""
    if belongs.facts and belongs.facts.currency:
        return belongs.facts.currency
    if told.currency:
        return currency(told.currency)
    return belongs.currencies[0] if belongs.facts is None and len(belongs.currencies) == 1 else ""


def grounds_of(entries: Entries, told: Told, belongs: Belongs) -> dict[str, str]:
    """Kind of each place that is not known yet, by its folded name; empty text where nobody has said it."""
    said = {folded(name): _ground(kind) for name, kind in told.grounds.items()}
    everywhere = _ground(told.ground) if told.ground else ""
    found: dict[str, str] = {}
    for entry in entries.rows:
        name = folded(entry.place)
        if not name or name in belongs.places or found.get(name):
            continue
        found[name] = said.get(name) or ground_of(entry.ground) or everywhere
    return found


def questions_of(mapped: Mapped, entries: Entries, told: Told, belongs: Belongs, grounds: Mapping[str, str],
                 origin: Position | None, above: Sequence[str]) -> tuple[Question, ...]:
    """What has to be said before anything can be kept."""
    found = []
    if not told.property_name:
        offered = "|".join(f'"{name}"' for name in (*belongs.known[:_PLACES_SHOWN], "..."))
        found.append(Question("property_name", say("lists.ask.this_property", property=belongs.name) if belongs.name
                              else say("lists.ask.property"), offered))
    elif belongs.facts is None and origin is None:
        found.append(Question("at", say("lists.ask.at", property=belongs.name), "47.45,-122.31"))
    elif belongs.facts is None and origin and (
            far := far_off(origin, belongs.others, mapped.system or "metric")):
        found.append(Question("at", far, "47.45,-122.31", may_wait=True))
    if belongs.facts is None and mapped.system is None:
        found.append(Question("system", say("lists.ask.system"), "us|metric"))
    if mapped.laboratory and mapped.laboratory.matrix is None:
        found.append(Question("matrix", say("lists.ask.matrix"), "soil|leaf"))
    names = {folded(entry.place): entry.place for entry in entries.rows}
    open_places = [names[name] for name, kind in grounds.items() if not kind]
    if open_places:
        shown = ", ".join(open_places[:_PLACES_SHOWN])
        rest = say("lists.and_more", count=len(open_places) - _PLACES_SHOWN) if len(open_places) > _PLACES_SHOWN else ""
        found.append(Question("ground", say("lists.ask.ground", places=shown + rest),
                              "|".join(kinds()["place_kind"].choices), tuple(open_places)))
    if mapped.of("day") is None and not told.day:
        found.append(_ask_day(above))
    if not currency_of(told, belongs):
        found.append(Question("currency", say("lists.ask.currency"), "|".join(belongs.currencies) or "USD",
                              may_wait=True))
    return tuple(found)


def _ask_day(above: Sequence[str]) -> Question:
    """Which day; the only one that stands above the header is offered, as it may be the day of the letter."""
    days = {day for text in above for day in days_in(text)}
    if len(days) != 1:
        return Question("day", say("lists.ask.day"), "2024-05-03")
    day = days.pop()
    return Question("day", say("lists.ask.day_above", day=show_date(day)), day.isoformat())


def desk_for(practice_id: str, belongs: Belongs, told: Told, system: System | None, origin: Position | None,
             now: datetime) -> Desk:
    """A desk for the property; a new one is opened on it, with what the list and the flags say."""
    if belongs.facts:
        return _desk_of_known(practice_id, belongs, belongs.facts, told, now)
    latitude, longitude = origin or (0.0, 0.0)  # only a check: without a position nothing is kept
    rows = (("name", belongs.name or "-"), ("latitude", number_text(latitude)), ("longitude", number_text(longitude)),
            ("system", system or "metric"), ("currency", currency_of(told, belongs)), ("weather_station", told.station))
    page = Page("property", "", ("key", "value"), ("", ""),
                tuple(Row(at, (Cell(key), Cell(value))) for at, (key, value) in enumerate(rows, 2)))
    facts = property_facts(page, slot_of_property(practice_id, belongs.property_id, None), None)
    desk = Desk(practice_id, belongs.property_id, facts, now.date())
    desk.draft(facts)
    return desk


def _desk_of_known(practice_id: str, belongs: Belongs, facts: PropertyOpened, told: Told, now: datetime) -> Desk:
    """A desk for a property there is; it is told its currency and under which station its weather is kept, if it does
    not know yet."""
    held, station = facts.weather_station, told.station
    now_known = replace(facts, weather_station=held or station, currency=currency_of(told, belongs))
    changed = now_known != facts
    desk = Desk(practice_id, belongs.property_id, replace(now_known, supersedes=None) if changed else facts, now.date())
    if changed:
        desk.draft(desk.facts)
    if held and station and folded(station) != folded(held):
        desk.told.append(say("lists.station_stays", property=facts.name, held=held, station=station))
    return desk


def checked_grounds(grounds: Mapping[str, str]) -> dict[str, str]:
    """The kinds with something in every blank, for a look that keeps nothing."""
    return {name: kind or _UNTOLD_GROUND for name, kind in grounds.items()}


def checked_days(entries: Sequence[Entry], now: datetime) -> list[Entry]:
    """The rows with a day in every blank, for a look that keeps nothing."""
    return [replace(entry, day=entry.day or now.date()) for entry in entries]


def _ground(text: str) -> str:
    try:
        return read_choice(kinds()["place_kind"], text)
    except RootcaseError as error:
        raise FileError(say("intake.no_choice", kind="--ground"), value=f'"{text}"', right=error.right) from None
