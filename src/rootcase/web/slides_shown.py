"""What the pages of slides show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from rootcase.ground.words import say
from rootcase.records.make.slide import Method, Slide, Source
from rootcase.records.observe import System
from rootcase.report.text.slides import (
    about_told,
    beside_line,
    constant_told,
    name_told,
    number_told,
    observer_told,
    slide_told,
)
from rootcase.science.microscope.methods import methods
from rootcase.services.asked import help_of
from rootcase.services.slide_form import ASKS, METHODS, ROWS, SOURCES, constants_for
from rootcase.services.slides import SlideSeen, SlideTold, reckoned
from rootcase.web.slide_photos_shown import photo_told


def list_shown(known: Sequence[Slide]) -> dict[str, Any]:
    """Every slide in a line, and the methods in the order of the bench."""
    rows = [(each, name_told(each), number_told(reckoned(each)[0]), about_told(each)) for each in known]
    return {"rows": rows, "methods": [(each.name, say(f"slide.method.{each.name}"), each.counted)
                                      for each in methods()]}


def slide_shown(found: SlideSeen, scale: float | None) -> dict[str, Any]:
    """A slide with its words, and what lies beside it."""
    words = slide_told(found.slide, found.count) if found.count else None
    return {"slide": found.slide, "words": words, "lacking": found.lacking, "batch": found.batch,
            "row": f"{name_told(found.slide)} · {about_told(found.slide)}",
            "beside": [beside_line(*each) for each in found.beside], "observer": observer_told(found.observer),
            "photos": [(photo, photo_told(photo)) for photo in found.slide.photos],
            "scale": "" if scale is None else f"{scale:g}", "again": f"/make/slides/new?method={found.slide.method}",
            "blind": _blind(found.slide)}


def _blind(slide: Slide) -> str:
    """Where the fields of a slide are counted again, without sight of the first counts."""
    if slide.repeat_of or slide.method in ("photos", "tubes"):
        return ""
    told = {"method": slide.method, "source": slide.source, "source_id": slide.source_called, "repeat_of": slide.id}
    return f"/make/slides/new?{urlencode(told)}"


def form_shown(typed: Mapping[str, str], system: System, there: Sequence[tuple[Source, str]], *,
               told: SlideTold | None = None, last: Slide | None = None, correcting: str = "") -> dict[str, Any]:
    """The form of a method: its tallies, its geometry, and what was worked out of it."""
    method: Method = next((each for each in METHODS if each == typed.get("method")), METHODS[0])
    words = slide_told(told.slide, told.count) if told and told.slide and told.count else None
    about = next(each for each in methods() if each.name == method)
    return {
        "method": method, "about": about, "words": words, "said": told.said if told else (), "last": last,
        "correcting": correcting, "tallies": _tallies(method), "asks": ASKS[method],
        "help": lambda ask: help_of(ask, system), "sources": [(each, say(f"slide.from.{each}")) for each in SOURCES],
        "there": [(name, say(f"slide.source.{source}", name=name)) for source, name in there],
        "constants": [("", say("slide.page.no_biomass")), *((each, constant_told(each))
                                                                     for each in constants_for(method))],
    }


def _tallies(method: Method) -> list[tuple[str, str]]:
    """Name and words of what is counted by a key."""
    if method == "sieve":
        return [(f"counts.{name}", say(f"slide.group.{name}")) for name in ROWS]
    return [] if method in ("photos", "tubes") else [("counts", say(f"slide.page.counts_{method}"))]
