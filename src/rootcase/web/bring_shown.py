"""The pages of a file that was brought: how it is read, what needs the person, what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.lists.listing import Listing
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.fieldbook.intake.lists.troubles import Answer, Group
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.report.text.figures import sentence
from rootcase.report.text.flags import without_flags
from rootcase.report.text.listed import counted, cut, group_told, quoted, stopped
from rootcase.services import bring, columns
from rootcase.services.bring import Brought, Look
from rootcase.services.bring_weather import glance_told, weather_told
from rootcase.services.weather import WeatherLook, WeatherSaid, stations_known
from rootcase.tables.readings import kinds
from rootcase.web import bringing
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of

_GROUPS_SHOWN, _ANSWERS_SHOWN, _FAULTS_SHOWN = 20, 8, 200
_OWN_KEYS = ("unit", "keep", "leave", "join", "right")
"""Deeds whose key says more than what they do."""
_SAID_AS_ASKED = ("swap", "minus")
_FLAG = "--"


def start_page(request: Request, visitor: Visitor, trouble: RootcaseError | None = None,
               what: str = "list") -> HTMLResponse:
    """Where a file is chosen; what waits; what can be undone."""
    desk = desk_of(request)
    files = bring.waiting(bringing.folder_of(desk, visitor.practice_id), desk.now())
    return page(request, "bring.html", visitor, place="trees", status=422 if trouble else 200, trouble=trouble,
                what=what, files=files, grounds=desk.grounds(visitor.practice_id).values(), fault=fault_line)


def brought_page(request: Request, visitor: Visitor, brought: Brought, trouble: RootcaseError | None = None,
                 typed: Mapping[str, str] | None = None, at: str = "") -> HTMLResponse:
    """How far a file has come; trouble: what could not be taken, at one part of the page, with what was typed."""
    grounds = desk_of(request).grounds(visitor.practice_id).values()
    shown: dict[str, Any] = {
        "brought": brought, "trouble": trouble, "typed": typed or {}, "at": at, "fault": fault_line,
        "need_you": _need_you, "unread": None, "names": [each.name for each in grounds],
        "ground": next((each for each in grounds if each.name == brought.property_name), None)}
    template = "bring_done.html"
    if brought.stage != "done":
        try:
            look = bringing.look_at(desk_of(request), visitor.practice_id, brought)
        except RootcaseError as unread:
            template = "bring_weather.html" if brought.kind == "weather" else "bring_unread.html"
            shown |= _weather(request, visitor, brought, None) if brought.kind == "weather" else _about(
                brought.said(), None)
            shown["unread"] = unread
        else:
            template = f"bring_{brought.kind}.html"
            told = (_list(brought, look.listing) if look.listing else _sheet(look) if look.sheet else
                    _weather(request, visitor, brought, look.weather))
            shown |= {"look": look, **told}
    return page(request, template, visitor, place="trees", status=422 if trouble else 200, **shown)


def fault_line(error: RootcaseError) -> str:
    """One line: where, what, the value, what would be right; without the flags that only a command line has."""
    value = error.value.split("=", 1)[-1] if error.value.startswith(_FLAG) else error.value
    line = str(RootcaseError(error.what, where=error.where, value=value, right=without_flags(error.right)))
    return line if error.where else sentence(line)


def _list(brought: Brought, listing: Listing) -> dict[str, Any]:
    finding = counted("ready", listing) if brought.stage == "open" else say(
        "bring.aside.finding", waiting=_need_you(listing.waiting), ready=listing.ready,
        property=brought.property_name)
    plain = replace(listing, told=tuple(map(without_flags, listing.told)))
    return {"listing": plain, "finding": finding, "columns": listing.columns,
            "unsettled": sum(each.standing in ("asked", "proposed") for each in listing.columns),
            "meanings": columns.meanings(listing), "option_said": columns.option_said, "has_unit": columns.has_unit,
            "groups": listing.groups[:_GROUPS_SHOWN], "more": len(listing.groups) - _GROUPS_SHOWN,
            "group_told": group_told, "answers": _answers, "parts_of": _parts, "stopped": stopped, "cut": cut,
            "said": _said(brought.said()), "samples_of": lambda theirs: " · ".join(map(cut, theirs.samples)),
            "sheets": [(each, each) for each in ("", listing.sheet, *listing.other_sheets)],
            "property_told": _property_told(listing),
            **_about(brought.said(), listing)}


def _property_told(listing: Listing) -> str:
    """Whose list it is taken for; of a new property also what it is reckoned in."""
    reckoned = listing.new_property and listing.currency
    return f"{listing.belongs} {say('bring.list.currency', currency=listing.currency)}" if reckoned else listing.belongs


def _about(told: Told, listing: Listing | None) -> dict[str, Any]:
    """What is asked of a list as a whole, by the field it is asked for."""
    questions = {question.asks: question for question in listing.questions} if listing else {}
    places = [*told.grounds, *(questions["ground"].places if "ground" in questions else ())]
    return {"told": told, "questions": questions, "places": places[:bringing.MOST_PLACES],
            "grounds": list(kinds()["place_kind"].choices.items()),
            "ours": [(word, say(f"bring.ours.{word}")) for word in ("species", "tag", "dbh", "girth")]}


def _answers(group: Group) -> list[tuple[str, str]]:
    """The keys of a group: the word, and what is on the key."""
    return [(answer.word, _key(answer, len(group.cells))) for answer in group.answers[:_ANSWERS_SHOWN]]


def _key(answer: Answer, count: int) -> str:
    if answer.deed in _OWN_KEYS:
        return say(f"bring.key.{answer.deed}{'_one' if count == 1 else ''}", count=count, to=answer.to)
    return sentence(answer.does)


def _parts(group: Group) -> list[tuple[int, str, str]]:
    """Each value of a group that has several: its number, its rows, the value."""
    if len(group.values) < 2:
        return []
    rows = {value: ", ".join(str(row) for row, held in group.cells if held == value) for value in group.values}
    return [(at, rows[value], value) for at, value in enumerate(group.values[:bringing.MOST_VALUES], 1)]


def _said(told: Told) -> list[tuple[str, int, str]]:
    """What has been said of faults so far: which kind of saying, its number, in words."""
    mends = [("mends", at, say("bring.said.mend", column=mend.column, values=quoted(mend.values), does=say(
        f"lists.does.{mend.do}") if mend.do in _SAID_AS_ASKED else say(f"bring.said.{mend.do}", to=mend.to)))
        for at, mend in enumerate(told.mends)]
    notations = [(of, at, say("bring.said.notation", column=column, does=say(f"lists.does.{said}")))
                 for of, sayings in (("days", told.days), ("commas", told.commas))
                 for at, (column, said) in enumerate(sayings.items())]
    return [*mends, *notations]


def _weather(request: Request, visitor: Visitor, brought: Brought, look: WeatherLook | None) -> dict[str, Any]:
    """What was said of a file of weather, what would come of it and who would use it."""
    said, stations = brought.weather_said(), stations_known(desk_of(request).book(visitor.practice_id))
    first, *rest = weather_told(look.result) if look else [say("bring.weather.title")]
    used = "" if look is None else say("bring.weather.used_by", properties=", ".join(look.used_by)) if (
        look.used_by) else say("bring.weather.unused", station=look.result.station)
    return {"finding": first, "lines": rest, "used": used, "weather": look,
            "glance": glance_told(look.result, visitor.system) if look else (),
            "stations": stations,
            "choices": [*stations, *(each.name for each in desk_of(request).grounds(visitor.practice_id).values())],
            "before": weather_typed(said) if said else {}}


def weather_typed(said: WeatherSaid) -> dict[str, str]:
    """What was said, as the fields of the form hold it."""
    of = "gauge" if said.gauge else "forecast" if said.forecast else "station"
    return {"of": of, "whose": said.gauge or said.station or "", "units": said.units or "",
            "rain_unit": said.rain_unit or "", "fill": str(said.fill or ""), "fill_from": said.fill_from or "",
            "stand_in": {True: "yes", False: "no", None: ""}[said.stand_in], "issued": said.issued or ""}


def _need_you(count: int) -> str:
    return say("bring.needs.title", count=f"{count:,}", need=say(f"lists.shown.{'needs' if count == 1 else 'need'}"))


def _sheet(look: Look) -> dict[str, Any]:
    assert look.sheet is not None
    faults = look.sheet.faults
    members: dict[str, list[tuple[int, Fault]]] = {}
    for at, fault in enumerate(faults[:_FAULTS_SHOWN]):
        members.setdefault(bringing.cause_of(fault), []).append((at, fault))
    causes = [(cause, f"{stopped(found[0][1].what)} {stopped(found[0][1].right)}".strip(),
               sum(bring.can_be_written(fault) for _, fault in found), found) for cause, found in members.items()]
    finding = say("bring.sheet.ready", property=look.sheet.property_name, new=f"{look.sheet.new:,}",
                  same=f"{look.sheet.same:,}", corrected=f"{look.sheet.corrected:,}", need=_need_you(len(faults)))
    return {"sheet": look.sheet, "causes": causes, "more": len(faults) - _FAULTS_SHOWN,
            "can_be_written": bring.can_be_written, "finding": finding}
