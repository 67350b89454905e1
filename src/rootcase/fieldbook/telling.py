"""What the practice tells of itself at the desk: a price, its name and terms; by the field sheet's own rules.

A row typed at the desk goes the way of a sheet's row, so there is one set of rules. Its event takes the place of what
stands, whoever said that, and bears an id of its own: the same old sheet does not turn it back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Literal

from rootcase.fieldbook.events import Body, Event, Priced, PropertyOpened
from rootcase.fieldbook.intake.desk import Desk, Line
from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Cell, Page, Row
from rootcase.fieldbook.intake.layout import PAGES, columns_of
from rootcase.fieldbook.intake.practice import take_practice
from rootcase.fieldbook.intake.prices import take_prices
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.undone import without_undone
from rootcase.fieldbook.view import heads, said
from rootcase.records.observe import Price

PageName = Literal["prices", "practice"]
_TAKING: Mapping[PageName, Callable[[list[Line]], Mapping[str, Body]]] = {
    "prices": take_prices, "practice": take_practice}


@dataclass(frozen=True, slots=True)
class ToldPrice:
    """A price as it was told once."""

    price: Price
    told_at: datetime
    stands: bool


class Telling:
    """What belongs to the practice itself, and how it is told anew."""

    def __init__(self, store: Store, now: Callable[[], datetime], device: str, new_id: Callable[[], str]) -> None:
        self._store, self._now, self._device, self._new_id = store, now, device, new_id

    def tell(self, page: PageName, rows: list[Mapping[str, str]]) -> tuple[Fault, ...]:
        """Take rows of this page of the field sheet as they were typed; kept is all of them, or none and why."""
        drafts, faults = self._read(page, rows)
        if faults:
            return faults
        made_at = written(self._now().astimezone(UTC))
        with self._store.writing() as turn:
            standing = heads(turn.events(""))
            turn.add([Event(self._new_id(), self._store.practice_id, "", made_at, self._device, body)
                      for body in _changed(drafts, {slot: head.event for slot, head in standing.items()})])
        return ()

    def take_price_away(self, item: str, currency: str) -> None:
        """Let a price stand no more; what is not there is not missed."""
        made_at = written(self._now().astimezone(UTC))
        with self._store.writing() as turn:
            standing = (head.event for head in heads(turn.events("")).values())
            turn.add([Event(self._new_id(), self._store.practice_id, "", made_at, self._device,
                            replace(body, gone=True, supersedes=event.id))
                      for event in standing if isinstance(body := event.body, Priced) and not body.gone
                      and (body.item, body.currency) == (item, currency)])

    def prices(self) -> tuple[ToldPrice, ...]:
        """Every price that was ever told, newest first."""
        with self._store.reading() as look:
            events = without_undone(look.events(""))
        standing = {head.event.id for head in heads(events).values()}
        return tuple(ToldPrice(Price(body.item, body.unit, body.amount, body.currency, body.source),
                               datetime.fromisoformat(event.made_at), event.id in standing)
                     for event in reversed(events) if isinstance(body := event.body, Priced) and not body.gone)

    def _read(self, page: PageName, rows: list[Mapping[str, str]]) -> tuple[Mapping[str, Body], tuple[Fault, ...]]:
        layout, header = PAGES[page], tuple(dict.fromkeys(column for row in rows for column in row))
        sheet = Page(page, f"{page}.csv", header, ("",) * len(header), tuple(
            Row(number, tuple(Cell(row.get(column, "").strip()) for column in header))
            for number, row in enumerate(rows, 1)))
        currency = next((cell for row in rows if (cell := row.get("currency", "").strip().upper())), "")
        facts = PropertyOpened(slot="", name="", latitude_deg=0.0, longitude_deg=0.0, weather_station="",
                               system="metric", invented=False, currency=currency)
        desk = Desk(self._store.practice_id, "", facts, self._now().date())
        columns = columns_of(sheet, layout)
        drafts = _TAKING[page]([Line(desk, sheet, layout, columns, row) for row in sheet.rows])
        return drafts, tuple(desk.faults)


def _changed(drafts: Mapping[str, Body], standing: Mapping[str, Event]) -> Iterator[Body]:
    """What is not just what stands already, in its place."""
    for slot, draft in drafts.items():
        if slot not in standing:
            yield draft
        elif said(standing[slot].body) != said(draft):
            yield replace(draft, supersedes=standing[slot].id)
