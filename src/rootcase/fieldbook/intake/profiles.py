"""Pages with one row for several readings: shoots by year, covers by ring, outlines by corner, and the general page."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from rootcase.fieldbook.events import PlaceOpened, PlaceOutlined, TreeOpened
from rootcase.fieldbook.intake.desk import Line, Where, count_repeats, whole
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.layout import COVERS, DRAWN_KINDS, RINGS, THINGS, kind_of
from rootcase.fieldbook.intake.values import read_choice, read_length_m, read_value
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.typed import read
from rootcase.ground.words import say
from rootcase.tables.load import table
from rootcase.tables.readings import kinds


def take_shoots(lines: list[Line]) -> None:
    count_repeats(lines, "tree", "visit")
    kind, position = kinds()["shoot_length_by_year"], kinds()["shoot_position"]
    for line in whole(lines):
        with line.guarding():
            tree = _tree(line)
            visit = line.desk.visit(line.text("visit"))
            given = line.text("shoot_position")
            attributes = {"position": read_choice(position, given)} if given else {}
            series = line.text("shoot") or line.repeat
            line.take_own(tree, visit, series)
            for column, cell in line.filled("year"):
                year = int(column.name)
                with line.guarding(column.header, cell):
                    if year > visit.day.year:
                        raise Refused(say("intake.year_ahead", kind=kind.label, year=visit.day.year), value=column.name)
                    line.take(kind, cell, tree, visit, unit=column.unit, series=series, attributes=attributes,
                              where=Where(growth_year=year))


def take_covers(lines: list[Line]) -> None:
    kind = kinds()["cover_share_by_ring"]
    rings = {folded(ring): ring for ring in RINGS}
    whole_pct = table("observe/agreements").row(name="ring_covers")
    for line in whole(lines):
        with line.guarding():
            tree = _tree(line)
            visit = line.desk.visit(line.text("visit"))
            if folded(line.text("ring")) not in rings:
                raise Refused(say("intake.no_choice", kind="ring"), value=f'"{line.text("ring")}"',
                              right=say("intake.one_of", choices=", ".join(RINGS)))
            total = 0.0
            for cover in COVERS:
                with line.guarding(cover, line.cell(cover)):
                    value = read_value(kind, line.cell(cover), line.unit(cover), line.desk.facts.system, visit.day)
                    total += value.value if value and value.value is not None else 0.0
            if line.row.number in line.desk.bad_rows.get(line.page.name, {}):
                continue
            if not whole_pct["low"] <= round(100 * total, 9) <= whole_pct["high"]:
                line.fault(say("intake.cover_sum"), value=f"{100 * total:.0f} %", right=say("intake.right_cover_sum"),
                           cells=tuple((cover, line.text(cover)) for cover in COVERS))
                continue
            ring = rings[folded(line.text("ring"))]
            line.take_own(tree, visit, ring)
            for cover in COVERS:
                line.take(kind, line.cell(cover), tree, visit, unit=line.unit(cover), series=ring,
                          attributes={"cover": cover}, where=Where(whole=total))


def take_outlines(lines: list[Line]) -> None:
    """One outline of each name; where one corner is at fault the whole outline waits."""
    outlines: dict[str, list[Line]] = defaultdict(list)
    for line in lines:
        outlines[folded(line.text("place"))].append(line)
    for corners in outlines.values():
        before = len(corners[0].desk.faults)
        placed = []
        for line in whole(corners):
            with line.guarding():
                placed.append(_corner(line))
        with corners[-1].guarding():
            if len(corners[0].desk.faults) == before:
                corners[0].desk.draft(_outline(corners[0], placed))
        if len(corners[0].desk.faults) > before:
            for line in corners:
                line.desk.bad_rows.setdefault(line.page.name, {}).setdefault(line.row.number, "")


def _corner(line: Line) -> tuple[float, float, float]:
    number = read(line.text("corner"))
    system = line.desk.facts.system
    east, north = (read_length_m(line.cell(name), line.unit(name), system) for name in ("east", "north"))
    if number is None or number.value is None or east is None or north is None:
        raise Refused(say("intake.needed", column="corner, east, north"), right=say("intake.right_corner"))
    return number.value, east, north


def _outline(line: Line, placed: list[tuple[float, float, float]]) -> PlaceOutlined:
    desk, name = line.desk, line.text("place")
    if len(placed) < 3 or len({number for number, _, _ in placed}) < len(placed):
        raise Refused(say("intake.few_corners", name=name), right=say("intake.right_corner"))
    known = desk.things.get(("place", folded(name)))
    if isinstance(known, PlaceOpened):
        kind = known.place_kind
    else:
        kind = folded(line.text("kind"))
        if kind not in DRAWN_KINDS:
            kind = read_choice(kinds()["place_kind"], line.text("kind"))
    return PlaceOutlined(slot=desk.slot("outline", folded(name)), place=desk.id_of("place", name), name=name,
                         outline_kind=kind, outline_m=tuple((east, north) for _, east, north in sorted(placed)))


def take_general(lines: list[Line]) -> None:
    """The page for whatever has no column."""
    count_repeats(lines, "visit", "of", "name", "kind", "depth_from", "depth_to", "growth_year")
    for line in whole(lines):
        with line.guarding():
            desk, thing = line.desk, folded(line.text("of"))
            if thing not in THINGS:
                raise Refused(say("intake.no_choice", kind="of"), value=f'"{thing}"',
                              right=say("intake.one_of", choices=", ".join(THINGS)))
            of = str(getattr(desk.find(thing, line.text("name")), thing))
            visit = desk.visit(line.text("visit"))
            kind = kind_of(line.text("kind"))
            if kind is None or kind.of != thing:
                raise Refused(say("intake.no_kind", of=thing), value=f'"{line.text("kind")}"',
                              right=say("intake.right_kind"))
            note = line.text("note")
            line.take_own(of, visit, line.repeat)
            with line.guarding("value", line.cell("value")):
                line.take(kind, line.cell("value"), of, visit, unit=line.text("unit"), series=line.repeat,
                          attributes={"note": note} if note else {}, where=_where(line))


def _where(line: Line) -> Where:
    year = line.text("growth_year")
    if year and not year.isdigit():
        raise UnreadableValue(say("intake.no_year"), value=f'"{year}"', right=say("intake.right_year"))
    return replace(line.depths(), growth_year=int(year) if year else None)


def _tree(line: Line) -> str:
    found = line.desk.find("tree", line.text("tree"))
    assert isinstance(found, TreeOpened)
    return found.tree
