"""How kinds of reading are laid out in a form."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rootcase.fieldbook.intake.layout import COVERS, RINGS
from rootcase.ground.words import say
from rootcase.records.observe import Place, PropertyRecord, Reading, Tree
from rootcase.report.text.naming import species_of, way_name
from rootcase.services.field_forms import nothing_of
from rootcase.services.read import PUSHES, SPECIES, SPECIES_SAID, Stop, may_mean
from rootcase.tables.readings import ReadingKind, kinds

Options = list[tuple[str, str]]


class Laid:
    """What the form's page asks beside its readings."""

    covers, rings, numbers = COVERS, RINGS, (1, 2, 3)
    species, species_said = SPECIES, SPECIES_SAID
    positions = tuple(kinds()["shoot_position"].choices)

    nothing_of = staticmethod(nothing_of)

    @staticmethod
    def stands(record: PropertyRecord, at: Tree | Place, kind: ReadingKind) -> str:
        """What a tree is, beside the field that asks it."""
        species = species_of(record, at) if kind.kind == "species" and isinstance(at, Tree) else None
        return say("read.stands", species=species) if species else ""

    @staticmethod
    def answers(species: str) -> Options:
        """What a name that is asked about may be: a kind of ours, or what was typed."""
        return [*((each, each) for each in may_mean(species)),
                (species.strip(), say("read.as_typed", species=species.strip()))]

    @staticmethod
    def options(codes: Iterable[str]) -> Options:
        """Ways of reading, each as a person says it."""
        return [(code, way_name(code)) for code in codes]

    @staticmethod
    def same(names: Iterable[str]) -> Options:
        return [(name, name) for name in names]

    @staticmethod
    def pairs(places: Iterable[Place]) -> Options:
        return [(place.id, place.name) for place in places]

    @staticmethod
    def begins(stops: Iterable[Stop]) -> dict[str, str]:
        """Before which kind it is asked at which spot, how deep, and of which sample."""
        found: dict[str, str] = {}
        for ask in (ask for stop in stops for ask in stop.asks):
            if ask.kind.of == "pit":
                found.setdefault("pit", ask.kind.kind)
                if ask.kind.kind not in PUSHES:
                    found.setdefault("depth", ask.kind.kind)
            elif ask.kind.of == "sample":
                found.setdefault("sample", ask.kind.kind)
        return found

    @staticmethod
    def at_fault(stop: Stop, wrong: Mapping[str, str]) -> bool:
        """Whether a field of this stop is at fault, so that it stands open."""
        own = {"pit": "depth_from", "laboratory": "sample"}.get(stop.name, "")
        codes = {ask.kind.kind for ask in stop.asks}
        others = {"y": "shoot_length_by_year", "c": "cover_share_by_ring"}
        return any(name == own or (name.split(".")[1:2] and (
            others.get(name[0]) or name.split(".")[1]) in codes) for name, why in wrong.items() if why)

    @staticmethod
    def doubts_of(came: Iterable[Reading], kind: str) -> list[str]:
        """What is asked about what was just kept of a kind."""
        return list(dict.fromkeys(doubt for each in came if each.kind == kind for doubt in each.doubts))


LAID_OUT = Laid()
