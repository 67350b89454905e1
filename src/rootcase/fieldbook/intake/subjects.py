"""Pages of things and what was read at them: places, visits, trees, pits, samples."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from rootcase.fieldbook.events import (
    ComparedWith,
    PitOpened,
    PlaceOpened,
    SampleOpened,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
)
from rootcase.fieldbook.intake.desk import Line, Opened, Where, between, count_repeats, label_of, whole
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import Cell, folded
from rootcase.fieldbook.intake.layout import kind_of
from rootcase.fieldbook.intake.values import not_too_old, read_choice, read_day, read_length_m, read_value
from rootcase.ground.words import say
from rootcase.tables.readings import ReadingKind, kinds

_DAY = timedelta(days=1)


def take_subjects(lines: list[Line]) -> None:
    """Open the thing of each row, then take its readings; a row that opens nothing gives none."""
    thing = lines[0].layout.of
    count_repeats(lines, thing, "visit")
    for line in whole(lines):
        with line.guarding():
            label = line.text(thing)
            if not label:
                raise Refused(say("intake.no_label", thing=thing), right=say("intake.right_label"))
            body = _OPENING[thing](line, label)
            if body is not None:
                line.desk.open(thing, body)
            _take_readings(line, thing, line.desk.find(thing, label))


def _place(line: Line, label: str) -> PlaceOpened | None:
    cell = next((cell for column, cell in line.filled("kind") if column.name == "place_kind"), Cell(""))
    if not cell.text and ("place", folded(label)) in line.desk.things:
        return None
    if not cell.text:
        raise Refused(say("intake.needed", column="place_kind"), right=say("intake.one_of", choices=", ".join(
            kinds()["place_kind"].choices)))
    desk = line.desk
    desk.within.require_kind("place_kind")
    return PlaceOpened(slot=desk.slot("place", folded(label)), place=desk.id_of("place", label), name=label,
                       place_kind=read_choice(kinds()["place_kind"], cell.text))


def _visit(line: Line, label: str) -> VisitStarted | None:
    desk, cell = line.desk, line.cell("date")
    known = desk.things.get(("visit", folded(label)))
    if not cell.text and known:
        return None
    if not cell.text:
        raise Refused(say("intake.needed", column="date"), right=say("dates.right"))
    day = not_too_old(read_day(cell))
    if day > desk.today + _DAY:
        raise Refused(say("intake.day_ahead"), value=cell.text)
    observer = (line.text("observer") or (known.observer if isinstance(known, VisitStarted) else "")
                or desk.within.code or desk.by)
    desk.within.require_observer(observer)
    return VisitStarted(slot=desk.slot("visit", folded(label)), visit=desk.id_of("visit", label), label=label, day=day,
                        observer=observer)


def _tree(line: Line, label: str) -> TreeOpened | None:
    desk, known = line.desk, line.desk.things.get(("tree", folded(label)))
    tree = desk.id_of("tree", label)
    place = desk.id_of("place", label_of(desk.find("place", line.text("place")))) if line.text("place") else ""
    if not place and not known:
        raise Refused(say("intake.needed", column="place"), right=say("intake.right_place"))
    east, north = (read_length_m(line.cell(name), line.unit(name), desk.facts.system) for name in ("east", "north"))
    if isinstance(known, TreeOpened):
        # A blank says nothing: what was known stays.
        place, east, north = (place or known.place, known.east_m if east is None else east,
                              known.north_m if north is None else north)
    _groups(line, tree)
    return TreeOpened(slot=desk.slot("tree", folded(label)), tree=tree, label=label, place=place, east_m=east,
                      north_m=north)


def _groups(line: Line, tree: str) -> None:
    """The yardstick a tree belongs to, and the one it is compared with."""
    desk = line.desk
    own, other = line.text("yardstick"), line.text("compare_with")
    if own and folded(own) == folded(other):
        raise Refused(say("intake.own_yardstick"), value=f'"{own}"', right=say("intake.right_yardstick"))
    if own:
        desk.draft(YardstickNamed(slot=desk.slot("yardstick", tree), tree=tree, label=own,
                                  yardstick=desk.id_of("yardstick", own)))
    if other:
        desk.draft(ComparedWith(slot=desk.slot("compared", tree), tree=tree, label=other,
                                yardstick=desk.id_of("yardstick", other)))


def _pit(line: Line, label: str) -> PitOpened | None:
    tree, place = _tree_and_place(line, "pit", label)
    return PitOpened(slot=line.desk.slot("pit", folded(label)), pit=line.desk.id_of("pit", label), label=label,
                     tree=tree, place=place)


def _sample(line: Line, label: str) -> SampleOpened | None:
    tree, place = _tree_and_place(line, "sample", label)
    return SampleOpened(slot=line.desk.slot("sample", folded(label)), sample=line.desk.id_of("sample", label),
                        label=label, tree=tree, place=place)


def _tree_and_place(line: Line, thing: str, label: str) -> tuple[str | None, str | None]:
    desk, known = line.desk, line.desk.things.get((thing, folded(label)))
    tree, place = (desk.id_of(each, label_of(desk.find(each, line.text(each)))) if line.text(each) else None
                   for each in ("tree", "place"))
    if isinstance(known, PitOpened | SampleOpened):
        tree, place = tree or known.tree, place or known.place
    if not tree and not place:
        raise Refused(say("intake.needed", column=say("intake.tree_or_place")), right=say("intake.right_place"))
    return tree, place


_OPENING: dict[str, Callable[[Line, str], Opened | None]] = {
    "place": _place, "visit": _visit, "tree": _tree, "pit": _pit, "sample": _sample}


def _take_readings(line: Line, thing: str, body: Opened) -> None:
    desk = line.desk
    visit: VisitStarted | None = None
    if isinstance(body, VisitStarted):
        visit = body
    elif thing != "place" or line.text("visit") or (desk.within.code and any(line.filled("kind"))):
        visit = desk.visit(line.text("visit"))
    where = _depths(line, visit)
    attributes = [(column, cell.text) for column, cell in line.filled("attribute")]
    for column, cell in line.filled("kind"):
        kind = kinds()[column.name]
        given = {**column.attributes, **{each.name: text for each, text in attributes
                                         if each.name in kind.required and each.kind in ("", kind.kind)}}
        with line.guarding(column.header, cell):
            of = str(getattr(body, thing)) if kind.of == thing else _other_subject(line, kind, body, visit)
            series = line.repeat if kind.of == thing else f"{label_of(body)} {line.repeat}"
            line.take(kind, cell, of, visit, unit=column.unit, series=series, attributes=given, where=where,
                      factor=column.factor)
    line.take_own(str(getattr(body, thing)), visit, line.repeat)


def _other_subject(line: Line, kind: ReadingKind, body: Opened, visit: VisitStarted | None) -> str:
    """Id of what a reading is of when its column stands on another thing's page: the mulch of the pit's place."""
    found = visit.visit if kind.of == "visit" and visit else getattr(body, kind.of, None)
    if found is None and kind.of == "place" and getattr(body, "tree", None):
        tree = next(each for each in line.desk.things.values()
                    if isinstance(each, TreeOpened) and each.tree == getattr(body, "tree", None))
        found = tree.place
    if found is None:
        raise Refused(say("intake.wrong_page", kind=kind.label, of=kind.of), right=say("intake.right_page", of=kind.of))
    return str(found)


def _depths(line: Line, visit: VisitStarted | None) -> Where:
    """Where in the soil the row's readings stand: a pit's own columns, a sample's two depth kinds."""
    system = line.desk.facts.system
    if line.layout.of == "sample":
        ends: list[float | None] = []
        for name in ("sample_depth_top", "sample_depth_bottom"):
            column, cell = next(((c, v) for c, v in line.filled("kind") if c.name == name), (None, Cell("")))
            kind = kind_of(name)
            assert kind is not None  # both stand in the catalogue
            value = read_value(kind, cell, column.unit if column else "", system, visit.day if visit else None)
            ends.append(None if value is None or value.value is None else round(value.value / 1000, 9))
        return between(*ends)
    return line.depths()


