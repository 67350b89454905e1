"""Drawing on the map of a property: each stroke is an event that takes the place of what stood there before."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO, TypeVar

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.drawn import AerialLaid, DrawingTakenBack, KeepOffDrawn, LineDrawn
from rootcase.fieldbook.events import (
    ComparedWith,
    Event,
    PitOpened,
    PlaceOpened,
    PlaceOutlined,
    ReadingTaken,
    SampleOpened,
    TreeOpened,
    YardstickNamed,
)
from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.layout import DRAWN_KINDS
from rootcase.fieldbook.intake.named import is_named, named_id
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.store.store import Store, Writing
from rootcase.fieldbook.view import Head, aerial, heads, said
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.ground.words import say
from rootcase.records.observe import Aerial, BuriedLine, KeepOff, Place

Corners = tuple[tuple[float, float], ...]
BodyT = TypeVar("BodyT", bound=Body)

_NAMED = (PlaceOpened, PlaceOutlined, LineDrawn, KeepOffDrawn)
_SPEAKING = (ReadingTaken, PitOpened, SampleOpened, TreeOpened, YardstickNamed, ComparedWith)


@dataclass(frozen=True, slots=True)
class Drawing:
    """The map of each property of a fieldbook."""

    store: Store
    photos: Photos
    event: Callable[[Event, Body], Event]
    """A new event beside one of the same property."""
    new_id: Callable[[], str]

    def outline(self, property_id: str, place: Place) -> None:
        """Draw the corners of a place, of a new one where it has no id, or of what is drawn only.

        What has an id keeps its name and kind: readings and other sheets speak of it by them.
        """
        with self._sheet(property_id) as sheet:
            slot = sheet.slot("outline", folded(place.name))
            if place.id:
                known = sheet.one(PlaceOutlined, "place", place.id) or sheet.known(PlaceOpened, "place", place.id)
                kind = known.outline_kind if isinstance(known, PlaceOutlined) else known.place_kind
                place = replace(place, name=known.name, kind=kind)
                slot = known.slot if isinstance(known, PlaceOutlined) else sheet.slot("outline", folded(place.name))
            else:
                sheet.require_free(place.name)
                place = replace(place, id=self.new_id())
                if place.kind not in DRAWN_KINDS:
                    sheet.put(PlaceOpened(slot=sheet.slot("place", folded(place.name)), place=place.id,
                                          name=place.name, place_kind=place.kind))
            sheet.put(PlaceOutlined(slot=slot, place=place.id, name=place.name,
                                    outline_kind=place.kind, outline_m=place.outline_m))

    def line(self, property_id: str, line: BuriedLine) -> None:
        """Draw a buried line, in the place of the one of its id."""
        with self._sheet(property_id) as sheet:
            sheet.require_free(line.name, line.id)
            known = sheet.known(LineDrawn, "line", line.id) if line.id else None
            an_id = line.id or self.new_id()
            sheet.put(LineDrawn(slot=known.slot if known else an_id, line=an_id, name=line.name, line_kind=line.kind,
                                points_m=line.points_m))

    def keep_off(self, property_id: str, area: KeepOff) -> None:
        """Draw an area to keep off, in the place of the one of its id."""
        with self._sheet(property_id) as sheet:
            sheet.require_free(area.name, area.id)
            known = sheet.known(KeepOffDrawn, "area", area.id) if area.id else None
            an_id = area.id or self.new_id()
            sheet.put(KeepOffDrawn(slot=known.slot if known else an_id, area=an_id, name=area.name, reason=area.reason,
                                   outline_m=area.outline_m, distance_m=area.distance_m))

    def move_tree(self, property_id: str, tree_id: str, east_m: float, north_m: float) -> None:
        """Say where a tree stands."""
        with self._sheet(property_id) as sheet:
            sheet.put(replace(sheet.known(TreeOpened, "tree", tree_id), east_m=east_m, north_m=north_m))

    def new_tree(self, property_id: str, label: str, place_id: str, east_m: float, north_m: float) -> None:
        """Open a tree where it stands."""
        with self._sheet(property_id) as sheet:
            if any(folded(body.label) == folded(label) for body in sheet.all(TreeOpened)):
                raise ImpossibleValue(say("ground.tree_there"), value=f'"{label}"', right=say("ground.right_tree_name"))
            if sheet.one(PlaceOpened, "place", place_id) is None:
                raise Missing(say("ground.no_place"), right=say("ground.right_place"))
            sheet.put(TreeOpened(slot=sheet.slot("tree", folded(label)), tree=self.new_id(), label=label,
                                 place=place_id, east_m=east_m, north_m=north_m))

    def lay_aerial(self, property_id: str, laid: Aerial) -> None:
        """Lay a picture under the map, in the place of the one that lay there."""
        with self._sheet(property_id) as sheet:
            sheet.put(AerialLaid(slot=sheet.slot("aerial"), photo=laid.photo, width_px=laid.width_px,
                                 height_px=laid.height_px, own_width_px=laid.own_width_px,
                                 own_height_px=laid.own_height_px, scale_m_px=laid.scale_m_px,
                                 turned_deg=laid.turned_deg, east_m=laid.east_m, north_m=laid.north_m))

    def aerial(self, property_id: str) -> Aerial | None:
        """The picture that lies under the map."""
        with self.store.reading() as look:
            return aerial(look.events(property_id))

    def keep_photo(self, source: BinaryIO) -> str:
        """Keep a picture, and return its mark."""
        return self.photos.keep(source)

    def photo(self, mark: str) -> Path | None:
        """Where the bytes of a picture are."""
        return self.photos.find(mark)

    def take_back(self, property_id: str, thing_id: str, reason: str) -> None:
        """Take something off the map: a stroke, the picture, a tree's position.

        A place or a tree that was opened here and of which nothing is held goes with it; of any other only the drawing.
        """
        with self._sheet(property_id) as sheet:
            drawn = [head for kind, name in ((PlaceOutlined, "place"), (LineDrawn, "line"), (KeepOffDrawn, "area"))
                     if (head := sheet.head(kind, name, thing_id)) is not None]
            picture = sheet.standing.get(sheet.slot("aerial"))
            if picture is not None and picture.event.id == thing_id:
                drawn.append(picture)
            for kind, name in ((PlaceOpened, "place"), (TreeOpened, "tree")):
                opened = sheet.head(kind, name, thing_id)
                if opened is not None and sheet.only_drawn(opened, thing_id):
                    drawn.append(opened)
                elif opened is not None and isinstance(opened.event.body, TreeOpened):
                    sheet.put(replace(opened.event.body, east_m=None, north_m=None))
            for head in drawn:
                sheet.put(DrawingTakenBack(slot=head.event.body.slot, reason=reason))
            if not sheet.strokes:
                raise Missing(say("ground.no_such_thing"), value=thing_id)

    @contextmanager
    def _sheet(self, property_id: str) -> Iterator[_Sheet]:
        with self.store.writing() as turn:
            sheet = _Sheet(turn, self.store.practice_id, property_id)
            yield sheet
            turn.add([self.event(sheet.events[0], stroke) for stroke in sheet.strokes])


class _Sheet:
    """What stands of a property while one stroke is drawn."""

    def __init__(self, turn: Writing, practice_id: str, property_id: str) -> None:
        self._names = practice_id, property_id
        self.events: Sequence[Event] = turn.events(property_id)
        if not self.events:
            raise Missing(say("fieldbook.no_such_property"), value=property_id)
        self.standing: Mapping[str, Head] = heads(self.events)
        self.strokes: list[Body] = []

    def slot(self, *names: str) -> str:
        """As an import would name it, so that a sheet with the same thing speaks of the same."""
        return named_id(*self._names, "slot", *names)

    def put(self, body: Body) -> None:
        """Draw, unless just this stands already."""
        head = self.standing.get(body.slot)
        if head is None or said(head.event.body) != said(body):
            self.strokes.append(replace(body, supersedes=head.event.id if head else None))

    def all(self, kind: type[BodyT]) -> list[BodyT]:
        return [head.event.body for head in self.standing.values() if isinstance(head.event.body, kind)]

    def head(self, kind: type[Body], name: str, an_id: str) -> Head | None:
        return next((head for head in self.standing.values()
                     if isinstance(head.event.body, kind) and getattr(head.event.body, name) == an_id), None)

    def one(self, kind: type[BodyT], name: str, an_id: str) -> BodyT | None:
        return next((body for body in self.all(kind) if getattr(body, name) == an_id), None)

    def known(self, kind: type[BodyT], name: str, an_id: str) -> BodyT:
        found = self.one(kind, name, an_id)
        if found is None:
            raise Missing(say("ground.no_such_thing"), value=an_id)
        return found

    def require_free(self, name: str, own_id: str = "") -> None:
        """No two things on a map bear one name."""
        for kind, id_name in zip(_NAMED, ("place", "place", "line", "area"), strict=True):
            if any(folded(body.name) == folded(name) and getattr(body, id_name) != own_id for body in self.all(kind)):
                raise ImpossibleValue(say("ground.name_taken"), value=f'"{name}"', right=say("ground.right_name"))

    def only_drawn(self, opened: Head, thing_id: str) -> bool:
        """Whether a thing was opened by hand and nothing else speaks of it."""
        if is_named(opened.event.id) or any(is_named(event.id) for event in self.events
                                            if event.body.slot == opened.event.body.slot):
            return False
        speaking = (body for kind in _SPEAKING for body in self.all(kind) if body is not opened.event.body)
        return not any(thing_id in (getattr(body, name, None) for name in ("of", "tree", "place"))
                       for body in speaking)
