"""What is drawn on a property's map, as it is typed: read, checked as ground can lie, and kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import dist, hypot
from typing import Literal, TypeVar, get_args

from rootcase.fieldbook.drawing import Corners, Drawing
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.layout import DRAWN_KINDS
from rootcase.ground import typed as typing
from rootcase.ground.errors import ImpossibleValue, Missing, RootcaseError, TypedError, UnreadableValue
from rootcase.ground.length import MOST_NAME, require_length
from rootcase.ground.quantity import number, show, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.observe import BuriedLine, KeepOff, LineKind, Place, PropertyRecord, System
from rootcase.science.plane import FAR_M, first_crossing, outline_area_m2
from rootcase.tables.readings import kinds

Tool = Literal["place", "tree", "line", "keep_off"]
Value = TypeVar("Value")
Code = TypeVar("Code", bound=str)

TOOLS: tuple[Tool, ...] = get_args(Tool)
LINE_KINDS: tuple[LineKind, ...] = get_args(LineKind)
_MOST_CORNERS = 500
_FARTHEST_OFF_M = 1_000.0
"""No law known asks for more round a well or open water. JUDGEMENT."""
_LEAST_M2 = 0.05
"""A smaller outline is a slip of the hand; the smallest tree pit has some hundred times that. JUDGEMENT."""
_MM = 3


@dataclass(frozen=True, slots=True)
class Drawn:
    """One thing of the map, as a row below it."""

    id: str
    tool: Tool
    name: str
    kind: str
    measure: str
    """How large, how long or where; empty: not on the map."""
    corners: str
    """As they would be typed."""


def ground_kinds() -> dict[str, str]:
    """Kinds of ground and of what is only drawn, and what each means."""
    return {**kinds()["place_kind"].choices, **{kind: say(f"ground.kind.{kind}") for kind in DRAWN_KINDS}}


def drawn_things(record: PropertyRecord, system: System) -> list[Drawn]:
    """Everything that is on the map or could be."""
    meaning = ground_kinds()
    rows = [Drawn(place.id, "place", place.name, meaning.get(place.kind, place.kind), _area(place.outline_m, system),
                  written(place.outline_m, system)) for place in (*record.places, *record.outlines)]
    for line in record.lines:
        length = sum(dist(*ends) for ends in pairwise(line.points_m))
        rows.append(Drawn(line.id, "line", line.name, say(f"plan.line_kind.{line.kind}"),
                          show(length, "m", system), written(line.points_m, system)))
    for area in record.keep_off:
        size = _area(area.outline_m, system)
        if area.distance_m:
            size = say("ground.and_round", area=size, far=show(area.distance_m, "m", system))
        rows.append(Drawn(area.id, "keep_off", area.name, area.reason, size, written(area.outline_m, system)))
    places = {place.id: place.name for place in record.places}
    for tree in record.trees:
        at = () if tree.east_m is None or tree.north_m is None else ((tree.east_m, tree.north_m),)
        rows.append(Drawn(tree.id, "tree", tree.label, places.get(tree.place_id, ""),
                          _where(at, system) if at else "",
                          written(at, system)))
    return rows


def _where(at: Corners, system: System) -> str:
    east, north = written(at, system).split(", ")
    return say("ground.at", east=east, north=north, unit=_unit(system))


def written(corners: Corners, system: System) -> str:
    """Corners as they would be typed, one a line.

    >>> written(((3.048, -1.524), (6.1, 0.0)), "us")
    '10, -5\\n20.01, 0'
    """
    return "\n".join(", ".join(f"{round(convert(part, 'm', _unit(system)), 2) + 0.0:.10g}" for part in corner)
                     for corner in corners)


def draw(fieldbook: Fieldbook, property_id: str, tool: Tool, cells: Mapping[str, str],
         system: System) -> dict[str, str]:
    """Draw what was typed, in the place of what has the id `of`; what is wrong, by its cell: then nothing is kept."""
    form = Form({**cells, "of": cells.get("of", "") or _listed(fieldbook, property_id, tool, cells.get("name", ""))})
    keep = _READING[tool](form, system)
    if not form.wrong:
        # What drawing refuses is a name that another thing has, or an id that nothing has any more.
        form.read("corners" if form.text("of") and tool in ("place", "tree") else "name",
                  lambda _: keep(fieldbook.drawing, property_id))
    return form.wrong


def next_undrawn_tree(record: PropertyRecord, after: str) -> str:
    """Id of the next tree without a place on the map, behind the one just drawn; empty where every tree has one."""
    names = [tree.label for tree in record.trees]
    behind = names.index(after) + 1 if after in names else 0
    turned = (*record.trees[behind:], *record.trees[:behind])
    return next((tree.id for tree in turned if tree.east_m is None), "")


def _listed(fieldbook: Fieldbook, property_id: str, tool: Tool, name: str) -> str:
    """Id of the place or tree of this name that is listed and not drawn yet; empty where there is none."""
    wanted = " ".join(name.split()).casefold()
    things = drawn_things(fieldbook.record(property_id), "metric") if tool in ("place", "tree") and wanted else []
    return next((each.id for each in things
                 if each.tool == tool and not each.measure and each.name.casefold() == wanted), "")


def take_back(fieldbook: Fieldbook, property_id: str, cells: Mapping[str, str]) -> dict[str, str]:
    """Take a thing off the map. Returns what is wrong, by its cell."""
    form = Form(cells)
    reason = form.read("reason", some_words)
    if reason:
        form.read("reason", lambda _: fieldbook.drawing.take_back(property_id, form.text("of"), reason))
    return form.wrong


class Form:
    """What was typed, and what is wrong with it, by cell."""

    def __init__(self, cells: Mapping[str, str]) -> None:
        self._cells = cells
        self.wrong: dict[str, str] = {}

    def text(self, name: str) -> str:
        return self._cells.get(name, "").strip()

    def read(self, name: str, reading: Callable[[str], Value]) -> Value | None:
        """What a cell says; None where that is refused."""
        try:
            return reading(self.text(name))
        except RootcaseError as error:
            self.wrong[name] = str(error)
            return None


def read_corners(text: str, least: int, system: System) -> Corners:
    """Corners as typed, one a line: east, then north, in feet or metres where no unit stands.

    >>> read_corners("0, 0\\n10 m, 0\\n10 m; 20 ft", 3, "metric")
    ((0.0, 0.0), (10.0, 0.0), (10.0, 6.096))
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) > _MOST_CORNERS:
        raise ImpossibleValue(say("ground.many_corners", most=_MOST_CORNERS), value=str(len(lines)),
                              right=say("ground.right_many_corners"))
    corners = [_corner(line, i, system) for i, line in enumerate(lines, 1)]
    corners = [corner for i, corner in enumerate(corners) if not i or corner != corners[i - 1]]
    if least > 2 and len(corners) > 1 and corners[0] == corners[-1]:
        corners.pop()
    if len(corners) < least or (least == 1 and len(corners) > 1):
        raise UnreadableValue(say(f"ground.few_corners_{least}"), value=str(len(corners)),
                              right=say("ground.right_corner"))
    if least > 2:
        _require_outline(tuple(corners))
    return tuple(corners)


def read_far_m(text: str, system: System, what: str) -> float:
    """A distance as typed; feet or metres where no unit stands."""
    try:
        found = typing.read(text)
        length = found.to("m", _unit(system)) if found is not None and not found.nothing else None
    except TypedError:
        length = None
    if length is None or length.value is None or length.sign != "=":
        raise UnreadableValue(say("ground.no_length", what=what), value=f'"{text.strip()}"',
                              right=say("ground.right_length"))
    return round(length.value, _MM) + 0.0  # no zero bears a sign in an event


def some_words(text: str) -> str:
    """Some words that must be there, and be no essay."""
    text = " ".join(text.split())
    if not text:
        raise Missing(say("ground.needed"), right=say("ground.right_words"))
    require_length(text, MOST_NAME)
    return text


def _corner(line: str, i: int, system: System) -> tuple[float, float]:
    east, north = (read_far_m(part, system, say("ground.corner", number=i)) for part in _parts(line, i))
    away = hypot(east, north)
    if away > FAR_M:
        raise ImpossibleValue(say("ground.far", number=i), value=with_unit(number(away / 1000), "km"),
                              right=say("ground.right_far", most=with_unit(f"{FAR_M / 1000:g}", "km")))
    return east, north


def _parts(line: str, i: int) -> list[str]:
    """East and north; a comma may part them or be a decimal's, so what parts more plainly goes first."""
    for parting in (";", "\t", ", ", None if line.count(",") != 1 else ",", None):
        parts = [part.strip() for part in (re.split(r"\s+", line) if parting is None else line.split(parting))]
        if len(parts) == 2 and all(parts):
            return parts
    raise UnreadableValue(say("ground.no_pair", number=i), value=f'"{line}"', right=say("ground.right_corner"))


def _require_outline(corners: Corners) -> None:
    """Ground that can lie: no side over another, and more than a line."""
    crossing = first_crossing(corners)
    if crossing is not None:
        first, second = (f"{i + 1}-{(i + 1) % len(corners) + 1}" for i in crossing)
        raise ImpossibleValue(say("ground.crosses", first=first, second=second), right=say("ground.right_crosses"))
    if outline_area_m2(corners) < _LEAST_M2:
        raise ImpossibleValue(say("ground.no_area"), right=say("ground.right_area"))


def _place(form: Form, system: System) -> Keep:
    of = form.text("of")
    name = "" if of else form.read("name", some_words)
    kind = "" if of else form.read("kind", lambda text: _one_of(text, ground_kinds()))
    corners = form.read("corners", lambda text: read_corners(text, 3, system))
    return lambda drawing, ground: drawing.outline(ground, Place(of, ground, name or "", kind or "", corners or ()))


def _tree(form: Form, system: System) -> Keep:
    of, place = form.text("of"), form.text("place")
    name = "" if of else form.read("name", some_words)
    corners = form.read("corners", lambda text: read_corners(text, 1, system))
    (east, north), = corners or ((0.0, 0.0),)
    if of:
        return lambda drawing, ground: drawing.move_tree(ground, of, east, north)
    return lambda drawing, ground: drawing.new_tree(ground, name or "", place, east, north)


def _line(form: Form, system: System) -> Keep:
    name = form.read("name", some_words)
    kind = form.read("kind", lambda text: _one_of(text, LINE_KINDS))
    corners = form.read("corners", lambda text: read_corners(text, 2, system))
    return lambda drawing, ground: drawing.line(
        ground, BuriedLine(form.text("of"), ground, name or "", kind or "drain", corners or ()))


def _keep_off(form: Form, system: System) -> Keep:
    name, reason = form.read("name", some_words), form.read("reason", some_words)
    far = form.read("distance", lambda text: _far_off_m(text, system))
    corners = form.read("corners", lambda text: read_corners(text, 3, system))
    return lambda drawing, ground: drawing.keep_off(
        ground, KeepOff(form.text("of"), ground, name or "", reason or "", corners or (), far or 0.0))


Keep = Callable[[Drawing, str], None]
_READING: Mapping[Tool, Callable[[Form, System], Keep]] = {
    "place": _place, "tree": _tree, "line": _line, "keep_off": _keep_off}


def _far_off_m(text: str, system: System) -> float:
    far = read_far_m(text, system, say("ground.distance")) if text else 0.0
    if not 0.0 <= far <= _FARTHEST_OFF_M:
        raise ImpossibleValue(say("ground.no_distance"), value=show(far, "m", system),
                              right=say("ground.right_distance", most=show(_FARTHEST_OFF_M, "m", system)))
    return far


def _one_of(text: str, codes: Iterable[Code]) -> Code:
    found = next((code for code in codes if code == text), None)
    if found is None:
        raise UnreadableValue(say("ground.no_kind"), value=f'"{text}"', right=say("ground.right_kind"))
    return found


def _area(outline_m: Corners, system: System) -> str:
    return show(outline_area_m2(outline_m), "m2", system) if len(outline_m) > 2 else ""


def _unit(system: System) -> str:
    return "ft" if system == "us" else "m"
