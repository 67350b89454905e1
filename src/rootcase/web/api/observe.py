"""What was seen: properties, their records and readings, weather and maps."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response

from rootcase.fieldbook.export.geojson import geojson_bytes
from rootcase.fieldbook.export.layers import layers
from rootcase.ground.words import say
from rootcase.records.observe import Property, PropertyRecord, Reading
from rootcase.services.weather_summary import WeatherSummary, weather_summary
from rootcase.web.api.answers import PropertyId, answered, answers, sends
from rootcase.web.api.schemas import closed, schema_of
from rootcase.web.refusals import NotThere
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]
_MOST = 1000
_PAGE = closed({"readings": schema_of(tuple[Reading, ...]), "next": {"type": ["string", "null"]}})


@router.get("/properties", summary="Every property of the practice", response_class=Response,
            responses=answers(tuple[Property, ...], "By name."))
def properties(request: Request, visitor: Seer) -> Response:
    return answered(tuple(map(visitor.seen_ground, desk_of(request).grounds(visitor.practice_id).values())))


@router.get("/properties/{property_id}", summary="One property", response_class=Response,
            responses=answers(Property, "Where it is, and in which currency and units it is kept."))
def one_property(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    return answered(visitor.seen_ground(desk_of(request).ground(visitor.practice_id, property_id)))


@router.get("/properties/{property_id}/record", summary="Everything held of a property", response_class=Response,
            responses=answers(PropertyRecord, "Corrections applied; the same as observe list --json."))
def record(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    return answered(_record(request, visitor, property_id))


@router.get("/properties/{property_id}/readings", summary="Readings, a page at a time", response_class=Response,
            responses=answers(_PAGE, "In the order of day and kind; next: what to ask for after."))
def readings(request: Request, visitor: Seer, property_id: PropertyId,
             tree: Annotated[str, Query(max_length=64, description="id of a tree, pit, place, sample or visit")] = "",
             kind: Annotated[str, Query(max_length=64)] = "", since: date | None = None,
             after: Annotated[str, Query(max_length=64, description="id of the last one seen")] = "",
             limit: Annotated[int, Query(ge=1, le=_MOST)] = 200) -> Response:
    held = _record(request, visitor, property_id)
    of = {tree, *(pit.id for pit in held.pits if pit.tree_id == tree)}
    found = [each for each in held.readings if (not tree or each.of in of) and kind in ("", each.kind)
             and (since is None or each.day >= since)]
    if after:
        places = [number for number, each in enumerate(found, 1) if each.id == after]
        if not places:
            raise NotThere(say("api.no_reading"), value=after, right=say("api.start_again"))
        found = found[places[0]:]
    more = found[limit - 1].id if len(found) > limit else None
    return answered({"readings": found[:limit], "next": more})


@router.get("/properties/{property_id}/weather", summary="The weather a property is reckoned with",
            response_class=Response, responses=answers(WeatherSummary, "Its days in short, and what is to be said."))
def weather(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return answered(weather_summary(desk.book(visitor.practice_id), ground, desk.run(visitor.practice_id)))


@router.get("/properties/{property_id}/map.geojson", summary="Trees, places and pits as a map",
            response_class=Response, responses=sends("application/geo+json", "In degrees, WGS 84."))
def geojson(request: Request, visitor: Seer, property_id: PropertyId) -> Response:
    made = geojson_bytes(layers([_record(request, visitor, property_id)]))
    return Response(made, media_type="application/geo+json")


def _record(request: Request, visitor: Visitor, property_id: str) -> PropertyRecord:
    desk = desk_of(request)
    return visitor.seen(desk.book(visitor.practice_id).record(desk.ground(visitor.practice_id, property_id).id))
