"""Where a property lies: its trees are measured from there, so a slip in it is a slip in every one of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo, available_timezones

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.events import PropertyOpened, ReadingTaken, TreeOpened
from rootcase.fieldbook.intake.desk import Desk
from rootcase.fieldbook.intake.doubts.positions import Place, apart_m, slips
from rootcase.fieldbook.intake.faults import Fault, PageRefused
from rootcase.fieldbook.intake.grid import Page
from rootcase.fieldbook.intake.property_page import cells_of
from rootcase.fieldbook.view import Head
from rootcase.ground.position import trees_grow_at
from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import System

_CLOCK_OFF_H = 4.0
"""JUDGEMENT: where people live the clock is up to three hours off the sun's, as in the west of China."""
_FAR_M = 500_000.0
"""JUDGEMENT: farther than this nobody drives to a tree."""
_US_LONGITUDES, _US_UNTIL_DEG = (-30.0, 140.0), -60.0
"""JUDGEMENT: between the first two, from the Azores to short of Guam, hardly anybody keeps trees in US units; most who
do are west of the last (common knowledge, memory)."""
_TYPED_ANEW_M = 3.0
"""JUDGEMENT: the same corner, read again or written with fewer figures, is no farther off."""


def place_of(facts: PropertyOpened) -> Place | None:
    """Where a property lies; None where nobody has said."""
    if facts.latitude_deg is None or facts.longitude_deg is None:
        return None
    return facts.latitude_deg, facts.longitude_deg


def require_place(page: Page, facts: PropertyOpened) -> None:
    """Refuse a position where no tree grows or that lies far from its own clock, with the slip that may be in it."""
    if not _cells(page):
        return
    place, (number, key) = place_of(facts), _cells(page)[0]
    if place is None:
        raise PageRefused(Fault(page.name, number, key, "", say("particulars.both", beside=key),
                                say("intake.right_degrees")))
    if _is_right(place, facts.time_zone):
        return
    what = say("intake.other_clock", zone=facts.time_zone) if trees_grow_at(place[0]) else say("intake.no_tree_there")
    back = next((slip for slip, there in slips(place).items() if _is_right(there, facts.time_zone)), "")
    raise PageRefused(Fault(page.name, number, key, _shown(place), what,
                            say(f"doubts.slipped.{back}") if back else say("intake.right_degrees")))


def far_off(place: Place, others: Iterable[PropertyOpened], system: System) -> str:
    """What is asked about a place that is far from all others of the practice, or the first of all and far from where
    its units are used, with the slip that may be in it; else nothing."""
    known = [there for other in others if (there := place_of(other))]
    if not known:
        return _of_other_units(place, system)
    nearest = min((apart_m(place, there) for there in known), default=0.0)
    if nearest <= _FAR_M:
        return ""
    back = min(((min(apart_m(there, each) for each in known), slip) for slip, there in slips(place).items()),
               default=(_FAR_M, ""))
    meant = say(f"doubts.slipped.{back[1]}") if back[0] < _FAR_M else ""
    return say("particulars.far_off", apart=show(nearest, "m", system, ("mi", "km"), 2), meant=meant).strip()


def _of_other_units(place: Place, system: System) -> str:
    """What is asked about a place in US units on the far side of the earth."""
    if system != "us" or not _US_LONGITUDES[0] < place[1] < _US_LONGITUDES[1]:
        return ""
    back = next((slip for slip, there in slips(place).items() if there[0] > 0 and trees_grow_at(there[0])
                 and there[1] < _US_UNTIL_DEG), "")
    return say("particulars.other_units", meant=say(f"doubts.slipped.{back}") if back else "").strip()


def hold_place(desk: Desk, page: Page, known: PropertyOpened, standing: Mapping[str, Head]) -> None:
    """Leave a known property where it is while trees are measured from there that came by degrees of their own.

    Otherwise a page with another position would move each of them, and their list would no longer say what is known.
    """
    old, new = place_of(known), place_of(desk.facts)
    if old is None or new is None or old == new:
        return
    bodies = [head.event.body for head in standing.values()]
    by_degrees = {body.of for body in bodies if isinstance(body, ReadingTaken) and body.kind == "latitude"}
    laid = [body.tree for body in bodies if isinstance(body, TreeOpened) and body.east_m is not None]
    apart = show(apart_m(old, new), "m", desk.facts.system, ("ft", "m"), 2)
    if not by_degrees.intersection(laid):
        if laid:
            desk.told.append(say("intake.trees_move_along", apart=apart, count=len(laid)))
        return
    desk.facts = replace(desk.facts, latitude_deg=old[0], longitude_deg=old[1])
    if apart_m(old, new) > _TYPED_ANEW_M:
        number, key = _cells(page)[0]
        what = say("intake.trees_would_move", apart=apart, count=len(by_degrees.intersection(laid)))
        desk.faults.append(Fault(page.name, number, key, _shown(new), what,
                                 say("intake.right_trees_would_move", known=_shown(old))))


def _cells(page: Page) -> list[tuple[int, str]]:
    """Row and key of what the page says of the position."""
    cells = cells_of(page)
    return [(cells[key][0], key) for key in ("latitude", "longitude") if key in cells and cells[key][1].text]


def _is_right(place: Place, zone: str) -> bool:
    """Whether trees grow there, and the sun stands about where the clock says."""
    if not trees_grow_at(place[0]):
        return False
    if "/" not in zone or zone.startswith("Etc/") or zone not in available_timezones():
        return True
    offset = datetime(2000, 1, 1, tzinfo=UTC).astimezone(ZoneInfo(zone)).utcoffset()
    assert offset is not None  # the zone is a real one
    off_h = abs(offset.total_seconds() / 3600 - place[1] / 15) % 24
    return min(off_h, 24 - off_h) <= _CLOCK_OFF_H


def _shown(place: Place) -> str:
    return f"{number_text(place[0])}, {number_text(place[1])}"
