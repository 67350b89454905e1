"""The pages of the record of what was put on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fastapi import Request
from fastapi.responses import HTMLResponse

from rootcase.casework.prescribe.remedies import remedies
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.store.links import Walked
from rootcase.ground.clock import zone
from rootcase.ground.dates import show_date
from rootcase.ground.quantity import show
from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.records.apply.done import Application
from rootcase.records.observe import Property
from rootcase.records.outlook import NOTHING
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.record import SHORT, account_line, duty_lines, flag_lines, head_line, hours, record_line
from rootcase.services.log import KINDS, LITRES, LogCame, Recorded, accounts, recorded
from rootcase.services.log_boxes import ASKS
from rootcase.services.log_prefill import loads, planned
from rootcase.services.record_list import MOST_SHOWN, record_list
from rootcase.web import work
from rootcase.web.desk import Desk
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.who import Visitor, desk_of

MOST_WALKED = 5000
"""JUDGEMENT: links that are walked while somebody waits, a quarter of a second; more are walked elsewhere."""
_NONE: Mapping[str, str] = {}
_SAID: LogCame = LogCame({})


@dataclass(frozen=True, slots=True)
class Place:
    """From where on each list is shown."""

    open: int = 0
    others: int = 0
    batches: int = 0


_BEGIN = Place()


def records_page(request: Request, visitor: Visitor, typed: Mapping[str, str] = _NONE,
                 wrong: Mapping[str, str] = _NONE, at: Place = _BEGIN) -> HTMLResponse:
    """The record, open ones first, the liters of each batch, and how the chain stands; each list from a place on."""
    desk = desk_of(request)
    book, today = desk.book(visitor.practice_id), desk.today(visitor.practice_id)
    grounds = desk.grounds(visitor.practice_id)
    found = record_list(book, today, at.open, at.others, MOST_SHOWN)
    rows, open_ones = ([(each, *_line(each, found.labels, grounds), [*duty_lines(each.duty, each.copy_given, today)])
                        for each in some] for some in (found.others, found.open_ones))
    litres = accounts(book, slice(at.batches, at.batches + MOST_SHOWN + 1))
    walked = _chain(desk, visitor.practice_id)
    fault = say(f"log.chain.fault.{walked.fault}") if walked and walked.fault else ""
    return page(request, "records.html", visitor, place="today", status=422 if wrong else 200,
                open_ones=open_ones, rows=rows, open_count=found.open_count, count=found.count, at=at,
                most=MOST_SHOWN, more_open=found.open_count > at.open + MOST_SHOWN,
                more=found.count - found.open_count > at.others + MOST_SHOWN, more_batches=len(litres) > MOST_SHOWN,
                grounds=sorted(grounds.values(), key=lambda ground: ground.name),
                accounts=[(batch, account_line(batch.number, each, visitor.system), each.unaccounted_l)
                          for batch, each in litres[:MOST_SHOWN]],
                head=head_line(walked.head if walked else book.recording.head(), today),
                walking="" if walked else say("log.chain.walking", count=book.recording.head().count),
                broken=say("log.chain.broken", number=walked.number, why=fault) if walked and fault else "",
                kinds=[(kind, say(f"log.page.{kind}")) for kind in KINDS[1:] + KINDS[:1]],
                unit=unit_label(LITRES.box_unit(visitor.system)), typed=cells(typed), wrong=cells(wrong))


def _chain(desk: Desk, practice_id: str) -> Walked | None:
    """How the chain stands; None while a long one is walked in another process."""
    book, tenant = desk.book(practice_id), desk.tenant(practice_id)
    if book.recording.links_ahead() <= MOST_WALKED:
        return book.recording.look_on()
    done = next((job.result for job in desk.jobs.of(tenant) if job.work == "chain" and job.state == "done"), None)
    if done is None:
        desk.jobs.start(tenant, "chain", work.chain, desk.elsewhere(practice_id), leads_to="/record")
        return None
    return done if done.fault else book.recording.look_on_from(done)


def record_page(request: Request, visitor: Visitor, number: str, typed: Mapping[str, str] = _NONE,
                wrong: Mapping[str, str] = _NONE) -> HTMLResponse:
    """One record: what it says, what law still asks of it, its link, and what was told of it before."""
    desk = desk_of(request)
    book, today = desk.book(visitor.practice_id), desk.today(visitor.practice_id)
    with asked_by_id():
        found = recorded(book, number, today)
    one = found.application
    line, flags = _line(found, book.recording.tree_labels(one.tree_ids), desk.grounds(visitor.practice_id))
    before = [(word.number, say("log.page.word", number=word.number, amount=word.amount or word.not_done,
                                mark=word.mark[:SHORT])) for word in book.recording.words(one.slot)[:-1]]
    return page(request, "record.html", visitor, place="today", status=422 if wrong else 200, one=one, found=found,
                line=line, flags=flags, duties=[*duty_lines(found.duty, found.copy_given, today)],
                told=[*_told(one, visitor, _load_of(book, one))], before=before, typed=cells(typed), wrong=cells(wrong),
                short=SHORT)


def log_page(request: Request, visitor: Visitor, ground: Property, typed: Mapping[str, str],
             came: LogCame = _SAID) -> HTMLResponse:
    """The form of what was put on, with what the plan, the load or the record had to say."""
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    record = book.record(ground.id)
    trees = {tree.id: tree.label for tree in record.trees}
    known, meant = [*loads(book, ground, visitor.system)], None
    if came.meant_l is not None:
        meant = (typed.get("volume", "").strip(), "L" if visitor.system == "us" else "gal",
                 unit_label(LITRES.box_unit(visitor.system)))
    return page(request, "log.html", visitor, place="today", status=422 if came.wrong or meant else 200,
                ground=ground, typed=cells(typed), wrong=cells(came.wrong), meant=meant,
                meant_told=show(came.meant_l, "L", visitor.system, ("gal", "L")) if meant else "",
                planned_told=_planned(typed, visitor), trees=[("", say("log.page.choose")), *trees.items()],
                remedies=[(each.code, remedy_name(each.code)) for each in remedies() if each.code != NOTHING],
                loads=known, known_loads={key for key, _ in known},
                jobs=[] if typed.get("plan") else [(job.id, say("log.page.job", remedy=remedy_name(job.remedy),
                                                                tree=job.tree_label))
                                                   for job in planned(book, record, desk.today(visitor.practice_id))],
                units={ask.name: unit_label(ask.box_unit(visitor.system)) for ask in ASKS})


def _planned(typed: Mapping[str, str], visitor: Visitor) -> str:
    plain = typed.get("planned_l", "")
    known = plain.isascii() and plain.replace(".", "", 1).isdecimal() and float(plain) > 0
    return show(float(plain), "L", visitor.system, ("gal", "L")) if known else ""


def _line(found: Recorded, labels: Mapping[str, str], grounds: Mapping[str, Property]
          ) -> tuple[str, tuple[str, ...]]:
    one = found.application
    tree, ground = one.tree_ids[0], grounds.get(one.property_id)
    return record_line(one, labels.get(tree, tree), ground.name if ground else ""), flag_lines(one, found.twice)


def _load_of(book: Fieldbook, one: Application) -> tuple[str, str]:
    """The load it came from in words, and the page of its batch; the name that was told where nobody filled it."""
    way = next((each for each in book.making.tracing.of("load", one.load_id) if one.load_id), None)
    if way is None or way.load_at is None:
        return one.load_id, ""
    at = way.load_at.astimezone(zone(one.time_zone or way.time_zone or "UTC"))
    words = say("log.page.load_told", number=way.batch_number, tank=way.tank or say("made.no_tank"),
                day=show_date(at.date()), at=f"{at:%H:%M}")
    return words, f"/make/batches/{way.batch_number}#loads"


def _told(one: Application, visitor: Visitor, load: tuple[str, str]) -> Iterator[tuple[str, str, str]]:
    """Each field that was told, in words, with the page it leads to."""
    pair = ("ft2", "m2")
    area = "" if one.area_m2 is None else show(one.area_m2, "m2", visitor.system, pair)
    litres = "" if one.litres is None else show(one.litres, "L", visitor.system, ("gal", "L"))
    product = one.product
    helpers = say("log.page.no_helper") if one.no_helper else ", ".join(one.helpers)
    for key, value in (("day", show_date(one.day)), ("hours", hours(one)), ("amount", one.amount), ("volume", litres),
                       ("area", area or one.area), ("method", one.method), ("load", load[0]),
                       ("product", product.name if product else ""),
                       ("registration", product.registration if product else ""), ("by", one.applicator),
                       ("licence", one.applicator_licence), ("helpers", helpers), ("site", one.site),
                       ("weather", one.weather), ("soil", one.soil), ("note", one.note)):
        if value:
            yield say(f"log.page.{key}"), value, load[1] if key == "load" else ""
