"""What is typed of a batch: its steps and its loads, in the units of who types, kept or told back beside its field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from rootcase.casework.make.filling import load_weight
from rootcase.casework.make.steps import FIGURES, SIGNED, AskedFigure, AskedWord, words_asked
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.making.heap_log import heaps_of
from rootcase.ground.clock import CameTwice, day_there, moments_of, read_time, the_moment
from rootcase.ground.errors import RootcaseError
from rootcase.ground.length import MOST_LINE, too_long
from rootcase.ground.measured import Pair
from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.batch import FLOOR_MG_L, HEIGHT_M, HOLDING_H, MOST_LOAD_L, BatchRules, Step
from rootcase.records.make.checklist import BatchSeen
from rootcase.records.make.rates import LoadWeight
from rootcase.services.asked import Ask, read_one, sign_said
from rootcase.services.make_batch import fill_load, start_batch, tell_rules, tell_step

WHEN, WHICH = "at", "which"
_PAIRS: Mapping[str, Pair] = {"L": ("gal", "L"), "degC": ("degF", "degC"), "kg": ("lb", "kg"), "um": ("mesh", "um")}
"""Where people type another unit than the one that is kept."""
_READ_AS = {"CFU/100 mL": "1/100mL"}
_DAY = timedelta(days=1)

LOAD = (Ask("volume", "volume_l", "L", ("gal", "L"), 0.1, MOST_LOAD_L),
        Ask("gap", "air_gap_m", "m", ("in", "cm"), 0.0, 5.0, needed=False),
        Ask("oxygen", "oxygen_mg_l", "mg/L", ("mg/L", "mg/L"), 0.0, 40.0, needed=False),
        Ask("left", "left_kg", "kg", ("lb", "kg"), 0.0, 1e5, needed=False))
"""Figures of a load; what is left of the payload is told against its weight and not kept."""
LOAD_FORM = "load"


RULES = (Ask("floor", "oxygen_floor_mg_l", "mg/L", ("mg/L", "mg/L"), *FLOOR_MG_L),
         Ask("holding", "holding_h", "h", ("h", "h"), *HOLDING_H, needed=False),
         Ask("elevation", "elevation_m", "m", ("ft", "m"), *HEIGHT_M))
"""What the practice sets itself."""


@dataclass(frozen=True, slots=True)
class LoadCame:
    """What came of a load's form: what is wrong by field, what it weighs, and whether it is on record."""

    wrong: Mapping[str, str]
    weight: LoadWeight | None = None
    filled: bool = False


@dataclass(frozen=True, slots=True)
class StartCame:
    """What came of a new batch's form: what is wrong by field, or its number."""

    wrong: Mapping[str, str]
    number: int | None = None


def load_figure(name: str, text: str, system: System, said: list[str]) -> float | None:
    """One figure of a load as it was typed; said: how what could mean two things was read."""
    try:
        return read_one(next(ask for ask in LOAD if ask.name == name), text, system, said)
    except RootcaseError as error:
        raise type(error)(error.what, where=say(f"made.asked.{name}"), value=error.value, right=error.right) from None


def step_asks(step: Step) -> tuple[Ask, ...]:
    """The figures that a step's form asks for."""
    return tuple(_ask(name, figure) for name, figure in FIGURES.get(step, {}).items())


def asks_of(form: str) -> tuple[Ask, ...]:
    """The figures of the form of this name: a step's, or the load's."""
    return LOAD if form == LOAD_FORM else next((step_asks(step) for step in FIGURES if step == form), ())


def step_words(step: Step) -> Mapping[str, AskedWord]:
    """The words that it asks for; what a figure's own sign says is no word that anybody types."""
    return {name: word for name, word in words_asked(step).items() if name not in SIGNED.values()}


def take_start(book: Fieldbook, typed: Mapping[str, str], by: str) -> StartCame:
    """Start a batch of the heap that was chosen, now or at the earlier time of its paper."""
    heap = next((each for each in heaps_of(book.making.events()) if each.id == typed.get("heap")), None)
    if heap is None:
        return StartCame({"heap": f"{say('made.new.choose')}; {say('made.new.choose_right')}"})
    try:
        at = _moment(typed.get(WHEN, ""), book.making.now(), ZoneInfo(heap.time_zone), typed.get(WHICH, ""))
    except RootcaseError as error:
        return StartCame({WHICH if isinstance(error, CameTwice) else WHEN: str(error)})
    try:
        return StartCame({}, start_batch(book, heap.id, by, at if typed.get(WHEN, "").strip() else None,
                                         typed.get("mark", "")).number)
    except RootcaseError as error:
        return StartCame({"heap": str(error)})


def take_step(book: Fieldbook, seen: BatchSeen, step: Step, typed: Mapping[str, str], by: str,
              system: System) -> Mapping[str, str]:
    """Tell one step; returns what is wrong, by field, under no name where it is about the step; then nothing is kept.
    """
    figures, wrong = _figures(step_asks(step), typed, system)
    try:
        at = _moment(typed.get(WHEN, ""), book.making.now(), ZoneInfo(seen.heap.time_zone), typed.get(WHICH, ""))
    except CameTwice as error:
        wrong[WHICH] = str(error)
    except RootcaseError as error:
        wrong[WHEN] = str(error)
    words = {name: typed[name] for name in step_words(step) if typed.get(name, "").strip()}
    words |= {sign: said for name, sign in SIGNED.items() if name in figures and (said := sign_said(typed[name]))}
    wrong |= too_long(words, MOST_LINE)
    if wrong:
        return wrong
    try:
        tell_step(book, seen.batch.id, step, figures, words, by, at if typed.get(WHEN, "").strip() else None,
                  typed.get("mark", ""))
    except RootcaseError as error:
        return {error.about: str(error)}
    return {}


def take_load(book: Fieldbook, seen: BatchSeen, typed: Mapping[str, str], by: str, system: System) -> LoadCame:
    """Fill a tank, once its weight was told where what is left of the payload was; an overload is warned of once."""
    figures, wrong = _figures(LOAD, typed, system)
    wrong |= too_long({"tank": typed.get("tank", "")}, MOST_LINE)
    left = figures.pop("left_kg", None)
    weight = None if left is None or "volume_l" not in figures else load_weight(figures["volume_l"], left)
    warned = weight is not None and weight.spare_kg < 0.0 and typed.get("weighed") != mark_of(typed)
    if wrong or typed.get("weigh") or warned:
        return LoadCame(wrong, weight)
    try:
        fill_load(book, seen.batch.id, figures["volume_l"], by, air_gap_m=figures.get("air_gap_m"),
                  oxygen_mg_l=figures.get("oxygen_mg_l"), tank=typed.get("tank", ""), mark=typed.get("mark", ""))
    except RootcaseError as error:
        return LoadCame({_field_of(error): str(error)}, weight)
    return LoadCame({}, weight, filled=True)


def mark_of(typed: Mapping[str, str]) -> str:
    """Of which liquid and payload an overload was warned; any other is warned of again."""
    return " / ".join(" ".join(typed.get(name, "").split()) for name in ("volume", "left"))


def rule_cells(rules: BatchRules, system: System) -> dict[str, str]:
    """What stands, as it would be typed."""
    found = {}
    for ask in RULES:
        value = getattr(rules, ask.into)
        box = ask.box_unit(system)
        found[ask.name] = "" if value is None else f"{round(convert(value, ask.unit, box), 2):g}"
    return found


def take_rules(book: Fieldbook, typed: Mapping[str, str], by: str, system: System) -> Mapping[str, str]:
    """Set them for the batches that are judged from now on; returns what is wrong, by field; then nothing is kept."""
    figures, wrong = _figures(RULES, typed, system)
    if wrong:
        return wrong
    try:
        tell_rules(book, BatchRules(oxygen_floor_mg_l=figures["oxygen_floor_mg_l"], elevation_m=figures["elevation_m"],
                                    holding_h=figures.get("holding_h")), by)
    except RootcaseError as error:
        return {"": str(error)}
    return {}


def _ask(name: str, figure: AskedFigure) -> Ask:
    unit = _READ_AS.get(figure.unit, figure.unit)
    return Ask(name, name, unit, _PAIRS.get(unit, (unit, unit)), figure.low, figure.high, figure.needed,
               signed=name in SIGNED)


def _figures(asks: tuple[Ask, ...], typed: Mapping[str, str], system: System) -> tuple[dict[str, float],
                                                                                      dict[str, str]]:
    figures, wrong = {}, {}
    for ask in asks:
        try:
            value = read_one(ask, typed.get(ask.name, ""), system, [])
        except RootcaseError as error:
            wrong[ask.name] = str(error)
            continue
        if value is not None:
            figures[ask.into] = value
    return figures, wrong


def _moment(text: str, now: datetime, place: ZoneInfo, which: str) -> datetime:
    """A time of the clock as the newest moment that showed it; nothing typed is now. which: see `the_moment`."""
    if not text.strip():
        return now
    today, time = day_there(now, place), read_time(text)
    for day in (today, today - _DAY):
        local = datetime.combine(day, time)
        past = [moment for moment in moments_of(local, place) if moment <= now]
        if len(past) == 1:
            return past[0]
        if past or (day != today or local <= now.astimezone(place).replace(tzinfo=None)):
            break
    return the_moment(local, place, which)


def _field_of(error: RootcaseError) -> str:
    """The field of a load's form that a refusal is about."""
    return next((ask.name for ask in LOAD if ask.into == error.about), "")
