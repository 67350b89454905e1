"""Whether a plan breaks a wish, a rule, or what was read of the ground, told from the record alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from math import dist, isfinite, sqrt

import numpy as np

from rootcase.ground.measured import measured, not_above, on_a_tape, told
from rootcase.records.observe import PropertyRecord, Reading, Rule
from rootcase.records.prescribe import Dose, RemedyOutcome, Step, TreePrescription
from rootcase.tables.load import table
from tests.casework.prescribe.held import NEAR, Held, begun, remedy_row
from tests.ground.test_measured import comes_back

OFFERED = ("chosen", "possible", "gain too small", "costs more than it gives", "gain not known")
"""Verdicts that say neither that it may not be used nor that there is no need of it."""
WITHIN = timedelta(days=365)
COMPOST_NITROGEN_KG_M2 = 0.075
ALL_DAYS = [date(2000, 1, 1) + timedelta(days=day) for day in range(366)]


@dataclass(frozen=True)
class Site:
    """What was read at one tree, its pits, samples and place."""

    record: PropertyRecord
    tree: TreePrescription

    @property
    def subjects(self) -> set[str]:
        here, record = next(t for t in self.record.trees if t.id == self.tree.tree_id), self.record
        pits = [p for p in record.pits if p.tree_id == here.id] or [
            p for p in record.pits if p.tree_id is None and p.place_id == here.place_id]
        samples = [s for s in record.samples if s.tree_id == here.id] or [
            s for s in record.samples if s.tree_id is None and s.place_id == here.place_id]
        return {here.id, here.place_id, *(p.id for p in pits), *(s.id for s in samples)}

    @property
    def place_kind(self) -> str:
        here = next(t for t in self.record.trees if t.id == self.tree.tree_id)
        return next(p.kind for p in self.record.places if p.id == here.place_id)

    def fresh(self, kind: str) -> list[Reading]:
        """What was found, of the newest year, oldest first."""
        subjects = self.subjects
        found = [r for r in self.record.readings if r.kind == kind and r.of in subjects and r.nothing is None]
        newest = max((r.day for r in found), default=date.min)
        return sorted((r for r in found if newest - r.day <= WITHIN), key=lambda r: (r.day, r.id))

    def values(self, kind: str) -> list[float]:
        return [r.value for r in self.fresh(kind) if r.value is not None]

    def said(self, kind: str) -> str:
        found = [r.choice for r in self.fresh(kind) if r.choice]
        return found[-1] if found else "not_asked"


def offered(held: Held) -> Iterator[tuple[Site, RemedyOutcome, str, Dose | None]]:
    """Each remedy that is offered at a tree, alone or in a course, with its dose."""
    for tree in held.plan.trees:
        for each in tree.remedies:
            if each.verdict in OFFERED and each.remedy != "nothing":
                for code in begun(each.steps) or {each.remedy: 1}:
                    dose = next((step.dose for step in each.steps if step.remedy == code), each.dose)
                    yield Site(held.record, tree), each, code, dose


def concern(held: Held) -> Iterator[str]:
    """Nobody works under a tree in which something that could fail was seen."""
    for tree in held.plan.trees:
        if Site(held.record, tree).said("structural_concern") == "seen":
            if any(item.tree_id == tree.tree_id for item in held.plan.items):
                yield f"concern: work under {tree.tree_id}"
            yield from (f"concern: {each.remedy} is offered at {tree.tree_id}" for each in tree.remedies
                        if each.verdict in OFFERED and each.remedy != "nothing")


def wishes(held: Held) -> Iterator[str]:
    """The client's answers and the use of the ground, against all that is offered."""
    for site, each, code, dose in offered(held):
        against, row = site.tree.against_advice and each.verdict == "chosen", remedy_row(code)
        for name in _wishes_broken(site, code, dose):
            if name == "play_ground" or not against:
                yield f"{name}: {code} is offered at {site.tree.tree_id} in {each.remedy}"
        if dose is not None and not against:
            open_m2 = site.tree.allowed_share * site.tree.root_zone_m2
            reach = site.tree.root_zone_m2 if row["ground"] == "unpaved" else open_m2
            if row["in_model"] and dose.area_m2 > reach * (1.0 + NEAR) + NEAR:
                yield f"ground: {code} on {dose.area_m2} of {reach} at {site.tree.tree_id}"


def _wishes_broken(site: Site, code: str, dose: Dose | None) -> Iterator[str]:
    row, pitch = remedy_row(code), site.place_kind == "pitch"
    unwanted = site.said("wish_products").lower()
    chips, lawn = site.said("wish_chips"), min(_of_turf(site, "wish_lawn"), _of_turf(site, "wish_bed_line"))
    zone = site.tree.root_zone_m2
    rings = site.fresh("cover_share_by_ring")
    all_turf = bool(rings) and all(r.attributes.get("cover") == "turf" or not r.value for r in rings) and any(
        r.value for r in rings)
    worked = row["ground"] in ("open", "turf")
    broken = {
        "products": unwanted != "not_asked" and any(
            word in unwanted for word in str(row["product_words"]).split("|") if word),
        "chips": bool(row["chips"]) and chips == "no",
        "play_ground": pitch and bool((row["chips"] and chips not in ("yes", "no"))
                                      or (row["breaks_surface"] and row["in_model"])),
        "holes": bool(row["breaks_surface"]) and site.said("wish_holes") == "no",
        "lawn": worked and all_turf and dose is not None and bool(row["in_model"])
        and dose.area_m2 > lawn * zone * (1.0 + NEAR) + NEAR,
        "turf": code == "turf_off" and lawn == 0.0 and dose is not None and dose.area_m2 > 0.0,
    }
    yield from (name for name, holds in broken.items() if holds)


def _of_turf(site: Site, wish: str) -> float:
    return float(table("prescribe/wishes").row(wish=wish, choice=site.said(wish))["turf_share"])


def needs(held: Held) -> Iterator[str]:
    """What a remedy waits for, and what the trade forbids: only what a reading says beyond doubt."""
    for site, each, code, _ in offered(held):
        for reason in NEEDS.get(code, lambda site: iter(()))(site):
            yield f"{reason}: {code} is offered at {site.tree.tree_id} in {each.remedy}"
        if each.verdict in ("chosen", "possible") and not remedy_row(code)["in_model"]:
            yield f"outside: {code} may be chosen at {site.tree.tree_id}"
        if code == "extract" and (each.verdict, each.reason) != ("gain too small", "trial_only"):
            yield f"extract: told {each.verdict} {each.reason}"


def _gypsum(site: Site) -> Iterator[str]:
    ratios, shares = site.values("sar"), site.values("esp")
    if not ratios and not shares:
        yield "sodium not read"
    elif ratios and not shares and max(ratios) < 13.0 / 2.0:
        yield "no sodium"


def _sulfur(site: Site) -> Iterator[str]:
    fizz = {r.choice for r in site.fresh("carbonate_fizz")}
    if not site.values("soil_ph") + site.values("soil_ph_field"):
        yield "ph not read"
    if fizz != {"none"}:
        yield "free lime"


def _nitrogen(site: Site) -> Iterator[str]:
    leaves, planted = site.values("leaf_n"), site.fresh("planting_year")
    if not leaves:
        yield "no leaf test"
    elif min(leaves) > max(row["high"] or row["low"] for row in table("compare/laboratory_ranges").rows
                           if row["kind"] == "leaf_n" and row["low"] is not None) / 100.0:
        yield "not short"
    if planted and site.said("planting_year_basis") == "record" and site.said("stock_kind") != "self_sown":
        newest = max(r.day for r in site.record.readings if r.of in site.subjects)
        if (planted[-1].value or 0.0) >= newest.year - 1:
            yield "newly planted"
    if site.said("soil_moisture_feel") == "dust":
        yield "dust"
    if max(site.values("roots_cut_share"), default=0.0) >= 0.10:
        yield "roots lost"


def _leach(site: Site) -> Iterator[str]:
    drops = site.values("drainage_hole_drop")
    if drops and max(drops) < 5.0 / 24.0 / 4.0:
        yield "drains badly"
    yield from _steep(site)


def _steep(site: Site) -> Iterator[str]:
    if max(site.values("slope"), default=0.0) >= 0.10:
        yield "steep"


def _extract(site: Site) -> Iterator[str]:
    if any(r.choice == "food" for r in site.fresh("sensitive_use")):
        yield "food plants"
    yield from _steep(site)


NEEDS: dict[str, Callable[[Site], Iterator[str]]] = {
    "gypsum": _gypsum, "sulfur": _sulfur, "slow_nitrogen": _nitrogen, "leach": _leach, "extract": _extract}


def law(held: Held) -> Iterator[str]:
    """The rules somebody told: tests, caps, days, buffers, and that each is told beside what it touches."""
    named = {each.strip().casefold() for each in held.record.property.law.split(";")} - {""}
    rules = [rule for rule in held.record.rules if not named or rule.law.casefold() in named]
    for site, each, code, dose in offered(held):
        for rule in rules:
            if code in rule.applies_to and (reason := _breaks(rule, site, code, dose)):
                yield f"{reason}: {code} is offered at {site.tree.tree_id} in {each.remedy}"
        shut = {day for rule in rules if rule.topic == "closed" and code in rule.applies_to
                for day in _between(rule.closed_from, rule.closed_to)}
        for step in each.steps:
            if step.remedy == code and not _open(step, held.record.property.latitude_deg < 0) - shut:
                yield f"closed: {code} in {step.season} at {site.tree.tree_id}"
    done = {step.remedy for item in held.plan.items for step in item.steps}
    for rule in rules:
        if done & set(rule.applies_to) and not any(
                (each.topic, each.law) == (rule.topic, rule.law) for each in held.plan.rules):
            yield f"not told: {rule.topic}"


def _breaks(rule: Rule, site: Site, code: str, dose: Dose | None) -> str:
    limit = rule.value or 0.0
    if rule.topic == "phosphorus_test" and code == "compost" and not site.values("phosphorus"):
        return "phosphorus not tested"
    if rule.topic in ("nitrogen_year", "nitrogen_once") and dose is not None:
        if code == "compost" and limit < COMPOST_NITROGEN_KG_M2:
            return "nitrogen cap"
        if code == "slow_nitrogen" and (dose.mass_kg or 0.0) > limit * dose.area_m2 * (1.0 + NEAR):
            return "nitrogen cap"
    kinds = {"buffer_water": "water_body_distance", "buffer_well": "well_distance"}
    if rule.topic in kinds:
        apart = _apart(site, rule.topic, kinds[rule.topic])
        if apart is not None and (apart <= limit or (
                dose is not None and remedy_row(code)["season"]
                and dose.area_m2 > (_beyond(apart - limit, site.tree.root_zone_m2) + 1e-3) * site.tree.root_zone_m2)):
            return "buffer"
    return ""


def _apart(site: Site, topic: str, kind: str) -> float | None:
    """From the trunk to what the rule guards: to an outline where water is drawn, else as read."""
    here = next(t for t in site.record.trees if t.id == site.tree.tree_id)
    waters = [p for p in (*site.record.outlines, *site.record.places) if p.kind == "water" and p.outline_m]
    if topic == "buffer_water" and waters and here.east_m is not None and here.north_m is not None:
        at = (here.east_m, here.north_m)
        shores = [(start, end) for p in waters for start, end in
                  zip(p.outline_m, (*p.outline_m[1:], p.outline_m[0]), strict=True)]
        return min(dist(at, (a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])))
                   for a, b in shores for s in np.linspace(0.0, 1.0, 501)) + 0.1
    return min(site.values(kind), default=None)


def _beyond(edge_m: float, zone_m2: float) -> float:
    """Share of a round root zone on the far side of a straight edge, by strips."""
    radius = sqrt(zone_m2 / np.pi)
    x = (np.arange(4000) + 0.5) / 2000.0 - 1.0
    strips = np.sqrt(1.0 - x * x)
    return float(strips[x * radius > -edge_m].sum() / strips.sum())


@cache
def _between(first: str, last: str) -> frozenset[tuple[int, int]]:
    """Days of the year from one to another; the year has 366."""
    wraps = last < first
    return frozenset((day.month, day.day) for day in ALL_DAYS if wraps != (
        min(first, last) < f"{day:%m-%d}" < max(first, last) if wraps else first <= f"{day:%m-%d}" <= last))


def _open(step: Step, southern: bool) -> frozenset[tuple[int, int]]:
    """Days on which a step may be done where no rule closes any; six months on in the south."""
    row = table("prescribe/seasons").row(season=step.season)
    found = _between(str(row["first"]), str(row["last"]))
    return frozenset(((month + 5) % 12 + 1, day) for month, day in found) & _between("01-01", "12-31") if (
        southern) else found


def measures(held: Held) -> Iterator[str]:
    """What is kept is what is printed, and what is printed in one system brings the other back."""
    system = held.record.property.system
    for item in held.plan.items:
        for dose in {id(step.dose): step.dose for step in item.steps}.values():
            by_scales = dose.mass_kg is not None and dose.volume_m3 is None
            amounts = ((dose.volume_m3, "m3", ("yd3", "m3"), None), (dose.litres, "L", ("gal", "L"), None),
                       (dose.mass_kg, "kg", ("lb", "kg"), 3 if by_scales else 2))
            for value, unit, pair, figures in amounts:
                if value is None or not isfinite(value) or value < 0.0:
                    continue
                kept = not_above(value, unit, system, pair, 3) if figures == 3 else measured(
                    value, unit, system, pair, figures)
                text = told(value, unit, system, pair, figures)
                if abs(kept - value) > NEAR * max(value, 1.0):
                    yield f"rounded: {item.remedy} {value} {unit} is printed as {kept}"
                elif " (" in text and not comes_back(text, unit, system, pair, figures):
                    yield f"printed: {item.remedy} {text}"
            if dose.depth_m is not None and abs(on_a_tape(dose.depth_m, system) - dose.depth_m) > NEAR:
                yield f"tape: {item.remedy} {dose.depth_m}"


CHECKS = (concern, wishes, needs, law, measures)
