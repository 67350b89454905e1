"""Log what was put on: kept whatever it lacks, with what law still asks of it and where every liter went."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import get_args

from rootcase.casework.apply.duties import asks_anything, duty
from rootcase.casework.apply.litres import account
from rootcase.casework.make.volumes import made_l
from rootcase.casework.prescribe.remedies import remedies
from rootcase.casework.prescribe.rules import rules_here
from rootcase.fieldbook.applied.log import ClientCopyGiven, LitresTold
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchStarted, LoadFilled
from rootcase.fieldbook.making.batch_log import batch_of, batches_of
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.put_on_log import litres_told
from rootcase.fieldbook.signed import require_code
from rootcase.fieldbook.store.links import Walked
from rootcase.ground.clock import day_there, zone
from rootcase.ground.dates import show_date
from rootcase.ground.errors import ImpossibleValue, Missing, RootcaseError
from rootcase.ground.length import MOST_LINE, MOST_NAME, too_long
from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.apply.done import Account, Application, ChainHead, Duty, LitreKind, OnFile
from rootcase.records.apply.jobs import EXTRACT
from rootcase.records.make.batch import MOST_LOAD_L, Batch
from rootcase.records.observe import Property, PropertyRecord, Rule
from rootcase.records.outlook import NOTHING
from rootcase.report.text.record import head_line
from rootcase.services.asked import Ask, read_one
from rootcase.services.log_boxes import ASKS, Correction, correction
from rootcase.services.log_hours import hours_told

ADDRESS = "client address"
"""Role of the contact whose name is the address of a client: it stands outside the events and can be erased."""
_CLIENTS = ("owner", "payer")
_RULE, _WITHIN = "records", "record_within"
"""Topics of rules: for how many years a record is kept, and within how many days it is whole."""
LITRES = Ask("volume", "volume_l", "L", ("gal", "L"), 0.0, MOST_LOAD_L)
_ALL = slice(None)
_BLANK = OnFile(client_named=False, client_address=False)
TEXTS = ("site", "product", "registration", "licence", "method", "weather", "soil", "note", "not_done", "reason")
KINDS: tuple[LitreKind, ...] = get_args(LitreKind)
METER_NEAR, METER_FAR = 1.05, 1.25
"""JUDGEMENT: within 5 % of the plan in the other unit, and over 25 % off it in the one of the box, is a slip."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """One record with what law still asks of it."""

    application: Application
    duty: Duty
    copy_given: date | None
    twice: tuple[int, ...] = ()
    """Numbers of the other records that say that the same job was done."""

    @property
    def is_open(self) -> bool:
        """Whether something that law wants is missing, or the client's copy is."""
        return bool(self.duty.missing) or self.duty.copy_due is not None


@dataclass(frozen=True, slots=True)
class LogCame:
    """What came of a form: what is wrong by field, the other unit that may have been meant, or the record."""

    wrong: Mapping[str, str]
    meant_l: float | None = None
    """Liters, where the figure fits the plan in the unit that the box does not have."""
    slot: str = ""


def records(book: Fieldbook, today: date, property_id: str | None = None) -> tuple[Recorded, ...]:
    """Every record, open ones first, by the day they are due; then the newest first."""
    standing = book.recording.applications(property_id)
    return open_first(with_duties(book, standing, _by_job(standing), today))


def open_first(found: Iterable[Recorded]) -> tuple[Recorded, ...]:
    """Open ones by the day they are due, then the others as they stand."""
    every = tuple(found)
    open_ones = [each for each in every if each.is_open]
    closed = [each for each in every if not each.is_open]
    return (*sorted(open_ones, key=lambda each: (each.duty.due or date.max, -each.application.number)), *closed)


def with_duties(book: Fieldbook, standing: Iterable[Application], of_job: Mapping[tuple[str, int], Sequence[int]],
                today: date) -> list[Recorded]:
    """What law still asks of records. of_job: numbers of all records that say that a job, or a part of it, was done."""
    copies = book.recording.copies()
    grounds = {ground.id: ground for ground in book.properties()}
    on_file: dict[str, OnFile] = {}
    rules = book.rules()
    found = []
    for one in standing:
        given = copies.get(one.slot)
        if asks_anything(one) and one.property_id in grounds and one.property_id not in on_file:
            on_file[one.property_id] = _on_file(book, grounds[one.property_id], rules)
        beside = replace(on_file.get(one.property_id, _BLANK), copy_given=given)
        there = _day_at(one.time_zone, book, today)
        twice = {other for job in one.job_ids for other in of_job.get((job, one.part), ())} - {one.number}
        found.append(Recorded(one, duty(one, beside, there), given, () if one.not_done else tuple(sorted(twice))))
    return found


def _day_at(time_zone: str, book: Fieldbook, today: date) -> date:
    """The day it is where something was put on, for a computer that may be a day behind it."""
    return max(today, day_there(book.recording.now(), zone(time_zone or "UTC")))


def _by_job(standing: Iterable[Application]) -> dict[tuple[str, int], list[int]]:
    """Numbers of the records that say that a job, or one part of it, was done; phones without signal may log the same
    one."""
    found: dict[tuple[str, int], list[int]] = {}
    for one in standing:
        for job in () if one.not_done else one.job_ids:
            found.setdefault((job, one.part), []).append(one.number)
    return found


def recorded(book: Fieldbook, named: str, today: date) -> Recorded:
    """The record of this number in the chain, or whose id is or ends so."""
    one = book.recording.named(named)
    return next(each for each in records(book, today, one.property_id) if each.application.slot == one.slot)


def take_log(book: Fieldbook, ground: Property, typed: Mapping[str, str], by: str, system: System,
             planned_l: float | None = None) -> LogCame:
    """Keep what was put on as it was typed, or say what cannot be read, by field; then nothing is kept.

    What the record lacks keeps nothing back. With `whole` typed it claims to be whole: then each field that law wants
    and that is empty, wrong in kind or in date is refused beside it.
    """
    wrong: dict[str, str] = {}
    begun = _begun(book, ground, typed, system)
    typed = begun.typed if begun else typed
    figures = _figures(typed, system, wrong, begun)
    if (meant := _other_unit(typed, figures.get("volume_l"), system, planned_l)) is not None:
        return LogCame(wrong, meant)
    place = (begun and begun.old.time_zone) or ground.time_zone or "UTC"
    when = hours_told(typed, place, book.recording.now(), begun, wrong)
    texts = {name: typed.get(name, "").strip() for name in TEXTS}
    wrong |= too_long({name: text for name, text in texts.items() if not (begun and begun.leaves(name))}, MOST_LINE)
    remedy = typed.get("remedy", "").strip() or EXTRACT
    codes = [each.code for each in remedies() if each.code != NOTHING]
    if remedy not in codes and not (begun and begun.leaves("remedy")):
        wrong["remedy"] = say("log.no_remedy", typed=remedy[:MOST_NAME], codes=", ".join(codes))
    trees = {tree.id for tree in book.record(ground.id).trees}
    if typed.get("tree") not in trees:
        wrong["tree"] = say("log.which_tree")
    if wrong or when.day is None:
        return LogCame(wrong)
    body = PutOnLogged(
        slot=typed.get("slot") or book.recording.new_id(), tree=typed["tree"], day=when.day,
        remedy=remedy, by=typed.get("by", "").strip() or by, plan=typed.get("plan", ""),
        amount=_amount(typed, system, begun), area=_area(typed, begun), load=typed.get("load", ""),
        started=when.started, ended=when.ended, time_zone=place,
        helpers=tuple(typed.get("helpers", "").replace(",", " ").split()),
        jobs=begun.old.job_ids if begun else (), part=begun.old.part if begun else 0,
        batch=begun.old.batch_id if begun and not typed.get("load") else "",
        no_helper=bool(typed.get("no_helper")),
        restricted=bool(typed.get("restricted")), **texts,
        **figures)  # type: ignore[arg-type]  # texts are texts, figures are figures
    if typed.get("whole") and (wrong := _refused_as_whole(book, ground, body)):
        return LogCame(wrong)
    try:
        book.recording.tell(ground.id, body)
    except RootcaseError as error:
        return LogCame({"": str(error)})
    return LogCame({}, slot=body.slot)


def _begun(book: Fieldbook, ground: Property, typed: Mapping[str, str], system: System) -> Correction | None:
    """The record that a form corrects; None where it tells a new one."""
    words = book.recording.words(typed["slot"]) if typed.get("slot") else ()
    return correction(words[-1], typed, system) if words and words[-1].property_id == ground.id else None


def _amount(typed: Mapping[str, str], system: System, begun: Correction | None) -> str:
    """As it was typed; of a correction as it stood, unless another figure was typed."""
    if begun and (not begun.leaves("amount") or (begun.leaves("volume") and begun.leaves("mass"))):
        return typed["amount"].strip()
    return ("" if begun else typed.get("amount", "").strip()) or _typed(typed, system)


def _area(typed: Mapping[str, str], begun: Correction | None) -> str:
    return begun.old.area if begun and begun.leaves("area") else typed.get("area", "").strip()


def give_copy(book: Fieldbook, one: Application, day: date, by: str, note: str = "") -> None:
    """Keep that the client was given a copy of what is done."""
    if day < one.day:
        raise ImpossibleValue(say("log.copy_before"), value=show_date(day), right=say("log.copy_right",
                                                                                      day=show_date(one.day)))
    slot = f"copy {one.slot}"[:64]
    book.recording.tell(one.property_id, ClientCopyGiven(slot=slot, record=one.slot, day=day, by=by, note=note.strip()))


def accounts(book: Fieldbook, some: slice = _ALL) -> tuple[tuple[Batch, Account], ...]:
    """Where the liters of every batch that was loaded went, the newest first. some: only of these."""
    events = book.making.events()
    loaded = {each.body.batch for each in events if isinstance(each.body, LoadFilled)}
    numbered = sorted(((each.body.number, each.body.batch) for each in events
                       if isinstance(each.body, BatchStarted) and each.body.batch in loaded), reverse=True)
    wanted = {batch for _, batch in numbered[some]}
    batches = batches_of(each for each in events if batch_of(each.body) in wanted)
    loads = [load.id for batch in batches for load in batch.loads]
    by_load: dict[str, list[float]] = {}
    for one in book.recording.applications() if some == _ALL else book.recording.of_loads(loads):
        if one.load_id and not one.not_done:
            by_load.setdefault(one.load_id, []).append(litres_told(one.litres, one.amount) or 0.0)
    told = book.recording.litres()
    found = []
    for batch in batches:
        applied = [litres for load in batch.loads for litres in by_load.get(load.id, ())]
        elsewhere = [(each.what, each.volume_l) for each in told if each.batch == batch.id]
        found.append((batch, account(batch.id, made_l(batch) or 0.0, applied, elsewhere)))
    return tuple(found)


def verified(book: Fieldbook, anchor: str = "") -> Walked:
    """The chain walked from its first link. anchor: a head as it was printed, such as `214 3f9c01ab`."""
    if not anchor.strip():
        return book.recording.verify()
    count, _, mark = anchor.strip().partition(" ")
    if not count.isdecimal() or not mark.strip():
        raise Missing(say("log.chain.no_anchor"), value=anchor, right=say("log.chain.anchor_right"))
    return book.recording.verify([ChainHead(count=int(count), mark=mark.strip())])


def record_line(book: Fieldbook, day: date) -> str:
    """The head of the practice's record as a report prints it; empty where nothing was put on."""
    return head_line(book.recording.head(), day)


def _on_file(book: Fieldbook, ground: Property, told: tuple[Rule, ...]) -> OnFile:
    people = book.contacts(ground.id)
    rules = rules_here(PropertyRecord(ground, (), (), (), (), (), (), (), {}, rules=told))
    years = [rule.value or 0.0 for rule in rules if rule.topic == _RULE]
    within = [rule.value for rule in rules if rule.topic == _WITHIN and rule.value is not None]
    return OnFile(client_named=any(each.role in _CLIENTS and each.name.strip() for each in people),
                  client_address=any(each.role == ADDRESS for each in people), keep_years=max(years, default=0.0),
                  whole_days=min(within, default=None))


def _refused_as_whole(book: Fieldbook, ground: Property, body: PutOnLogged) -> dict[str, str]:
    """What keeps a record from being whole, by field of the form."""
    told = book.recording.as_told(ground.id, body)
    now = book.recording.now()
    lacks = duty(told, _on_file(book, ground, book.rules()), _day_at(body.time_zone, book, now.date())).missing
    return {_CELL.get(lack.field, lack.field): say(f"log.lack.{lack.why}", field=say(f"log.field.{lack.field}"))
            for lack in lacks}


_CELL = {"amount": "volume", "amount_here": "volume", "hours": "started", "location": "tree", "applicator": "by",
         "client_name": "", "client_address": ""}
"""The field of the form where it is not called as law calls it."""


def _figures(typed: Mapping[str, str], system: System, wrong: dict[str, str], begun: Correction | None
             ) -> dict[str, float]:
    found = begun.figures() if begun else {}
    for ask in ASKS:
        if begun and begun.leaves(ask.name):
            continue
        try:
            value = read_one(ask, typed.get(ask.name, ""), system, [])
        except RootcaseError as error:
            wrong[ask.name] = str(error)
            continue
        if value is not None:
            found[ask.into] = value
    return found


def _other_unit(typed: Mapping[str, str], found_l: float | None, system: System, planned_l: float | None
                ) -> float | None:
    """Liters, where a bare figure is far off the plan as read and near it in the other system's unit."""
    text = typed.get("volume", "").strip()
    if found_l is None or not planned_l or not text.replace(".", "", 1).isdecimal() or typed.get("meant"):
        return None
    other = "L" if system == "us" else "gal"
    other_l = convert(float(text), other, "L")

    def off(litres: float) -> float:
        return max(litres / planned_l, planned_l / litres) if litres else METER_FAR

    return other_l if off(other_l) <= METER_NEAR and off(found_l) >= METER_FAR else None


def _typed(typed: Mapping[str, str], system: System) -> str:
    """The amount as it was typed, with the unit of its box where none was."""
    for ask in ASKS[:2]:
        text = typed.get(ask.name, "").strip()
        if text:
            return f"{text} {ask.box_unit(system)}" if text.replace(".", "", 1).isdecimal() else text
    return ""


def take_litres(book: Fieldbook, batch: Batch, typed: Sequence[Mapping[str, str]], by: str, system: System
                ) -> dict[str, str]:
    """Keep where liters went as it was typed, all of it or nothing; returns what is wrong, by field."""
    try:
        require_code(by, ())
    except RootcaseError as error:
        return {"": str(error)}
    bodies = []
    for cells in typed:
        what = next((kind for kind in KINDS if kind == cells.get("what")), None)
        if what is None:
            return {"what": say("log.which_way")}
        try:
            litres = read_one(LITRES, cells.get("volume", ""), system, [])
        except RootcaseError as error:
            return {"volume": str(error)}
        where = cells.get("where", "")[:MOST_LINE].strip()
        if what != "made" and not where:
            return {"where": str(Missing(say("log.where"), right=say("log.where_right")))}
        bodies.append(LitresTold(slot=book.recording.new_id(), batch=batch.id, what=what, volume_l=litres or 0.0,
                                 at=written(book.recording.now()), by=by, where=where))
    for body in bodies:
        book.recording.tell("", body)
    return {}
