"""Doses as a crew measures them out: what comes back, what is capped, what is not known, how long the heads run."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.doses import dose_of
from rootcase.casework.prescribe.laboratory_doses import laboratory_dose, nitrogen_dose_kg_m2
from rootcase.casework.prescribe.measured_out import measured_out
from rootcase.casework.prescribe.needs import Standing
from rootcase.casework.prescribe.remedies import remedies
from rootcase.casework.prescribe.sprinklers import zone_runs
from rootcase.casework.prescribe.states import Worked
from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.observe import Reading
from rootcase.records.prescribe import Dose
from rootcase.report.text import doses
from rootcase.science.chemistry.lime_and_sulfur import sulfur_cap
from rootcase.science.tree.site import Site
from tests.casework.property import read
from tests.ground.test_measured import comes_back

SYSTEMS: tuple[System, ...] = ("us", "metric")
REMEDIES = {remedy.code: remedy for remedy in remedies()}
COVERS = {"litter": 0.0, "mulch": 0.1, "turf": 0.5, "bare": 0.3, "paved": 0.1}
SITE = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5, trunk_diameter_m=0.3,
            crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03,
            bulk_density_mg_m3=1.4)
LABORATORY = (("esp", 0.2), ("cec", 20.0), ("soil_ph", 7.6))
NO_FIZZ = read("carbonate_fizz", "pit", choice="none")


def ground(*readings: Reading) -> Ground:
    by_kind: dict[str, tuple[Reading, ...]] = {}
    for reading in readings:
        by_kind[reading.kind] = (*by_kind.get(reading.kind, ()), reading)
    return Ground("lawn", by_kind)


def told(*of: tuple[str, float]) -> list[Reading]:
    return [read(kind, "sample", value) for kind, value in of]


def whole(dose: Dose, system: System) -> str:
    """A dose with all that stands beside it."""
    return " ".join((f"{doses.dose_text(dose, system)}.", *doses.beside(dose, system)))


def cups(zone: str, depths_mm: Iterable[float], minutes: float = 10.0, **more: float) -> list[Reading]:
    attributes = {"controller_zone": zone}
    return [read("catch_minutes", "lawn", minutes, attributes=attributes),
            *(read("catch_depth", "lawn", depth, series=str(at), attributes=attributes)
              for at, depth in enumerate(depths_mm))]


def out(code: str, standing: Standing, system: System, zone_m2: float = 200.0) -> Dose | None:
    remedy = REMEDIES[code]
    return measured_out(remedy, dose_of(remedy, zone_m2, COVERS, Worked(), float(np.median(standing.site.clay))),
                        standing, system)


FULL = Standing(ground(*told(*LABORATORY), NO_FIZZ, *cups("1", [4.0, 5.0, 6.0, 5.0, 3.0, 7.0])), SITE, COVERS)


@pytest.mark.property
@pytest.mark.parametrize("code", list(REMEDIES))
@pytest.mark.parametrize("system", SYSTEMS)
@settings(max_examples=settings().max_examples // 4)
@given(zone_m2=st.floats(0.5, 3000.0), crown_m=st.floats(0.5, 15.0))
def test_every_figure_of_every_dose_comes_back(code: str, system: System, zone_m2: float, crown_m: float) -> None:
    printed = []

    def listen(value: float, unit: str, of: System, pair: tuple[str, str], figures: int | None = None) -> str:
        text = plain(value, unit, of, pair, figures)
        printed.append((text, unit, of, pair, figures))
        return text

    plain = doses.told
    dose = out(code, replace(FULL, site=replace(SITE, crown_radius_m=crown_m)), system, zone_m2)
    if dose is None:
        return
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(doses, "told", listen)
        text = whole(dose, system)
    assert printed
    assert all(shown in text for shown, *_ in printed)
    assert [shown for shown, *rest in printed if " (" in shown and not comes_back(shown, *rest)] == []


@pytest.mark.parametrize("system", SYSTEMS)
def test_what_is_kept_is_what_is_printed(system: System) -> None:
    for code in REMEDIES:
        dose = out(code, FULL, system)
        for amount, pair in ((dose.volume_m3, ("yd3", "m3")), (dose.mass_kg, ("lb", "kg")),
                             (dose.litres, ("gal", "L"))) if dose else ():
            if amount:
                own = convert(amount, pair[1], pair[system == "metric"])
                assert float(f"{own:.3g}") == pytest.approx(own, rel=1e-12), code


def test_a_volume_follows_from_the_depth_a_tape_shows() -> None:
    us, metric = (out("mulch", FULL, system) for system in SYSTEMS)
    assert us is not None
    assert metric is not None
    assert us.depth_m == pytest.approx(3 * 0.0254)
    assert us.volume_m3 == pytest.approx(160.0 * 3 * 0.0254, rel=0.05)
    assert metric.volume_m3 == pytest.approx(160.0 * 0.08, rel=0.05)
    assert metric.mass_kg == pytest.approx(metric.volume_m3 * 316.0, rel=0.05)


def test_without_a_laboratory_no_gypsum_or_sulfur_is_weighed_and_it_says_what_would_tell() -> None:
    bare = Standing(ground(), SITE, COVERS)
    for code in ("gypsum", "sulfur"):
        dose = out(code, bare, "us")
        assert dose is not None
        assert dose.mass_kg is None
        assert "not known" in whole(dose, "us")


def test_gypsum_is_worked_by_hand() -> None:
    # 20 % to 10 % of 20 cmol/kg in 210 kg/m2 of soil: 2 x 86.09 / 1e5 x 210 x 1.2
    found = laboratory_dose("gypsum", FULL)
    assert found.kg_m2 == pytest.approx(0.43389, abs=1e-4)
    assert (found.parts, found.unknown) == (1, "")
    much = laboratory_dose("gypsum", replace(FULL, ground=ground(*told(("esp", 0.4), ("cec", 30.0)))))
    assert much.parts == 5
    assert much.kg_m2 == pytest.approx(9 * 86.09e-5 * 210 * 1.2 / 5)
    assert laboratory_dose("gypsum", replace(FULL, ground=ground(*told(("esp", 0.1), ("cec", 30.0))))) == (
        None, 1, "gypsum_none")


def test_sodium_ratio_stands_in_for_exchangeable_sodium() -> None:
    by_ratio = laboratory_dose("gypsum", replace(FULL, ground=ground(*told(("sar", 20.0), ("cec", 20.0)))))
    # A ratio of 20 stands for 22.02 %; what is over 10 % is more than one time bears, so it goes on in two.
    assert by_ratio.parts == 2
    assert by_ratio.kg_m2 == pytest.approx((22.02 - 10.0) / 10.0 * 0.43389 / 2, rel=1e-3)


def test_no_dose_of_sulfur_is_above_its_cap_and_none_is_told_where_the_soil_fizzes() -> None:
    cap = sulfur_cap("clemson_landscape").low_kg_m2
    for ph in np.linspace(7.0, 9.0, 21):
        for sand, clay in ((0.8, 0.05), (0.4, 0.2), (0.2, 0.5)):
            at = Standing(ground(*told(("soil_ph", float(ph))), NO_FIZZ), replace(SITE, sand=sand, clay=clay), COVERS)
            found = laboratory_dose("sulfur", at)
            assert found.kg_m2 is not None
            assert found.kg_m2 <= cap * (1 + 1e-9)
    limy = ground(*told(("soil_ph", 7.8)), read("carbonate_fizz", "pit", choice="slight"))
    assert laboratory_dose("sulfur", replace(FULL, ground=limy)) == (None, 1, "sulfur_none")
    acid = ground(*told(("soil_ph", 6.4)), NO_FIZZ)
    assert laboratory_dose("sulfur", replace(FULL, ground=acid)) == (None, 1, "sulfur_none")


def test_nitrogen_stays_under_what_a_rule_for_trees_allows() -> None:
    assert nitrogen_dose_kg_m2(1.0) == pytest.approx(convert(4, "lb/1000ft2", "kg/m2"))
    dose = out("slow_nitrogen", FULL, "us", 1000.0)
    assert dose is not None
    assert "2 lb/1000 ft² (0.98 kg/100 m²)" in doses.dose_text(dose, "us")


def test_a_zone_runs_as_its_cups_say() -> None:
    run, = zone_runs(FULL, 10.7)
    assert (run.zone, run.rate_mm_h, run.cups) == ("1", pytest.approx(30.0), 6)
    assert run.evenness == pytest.approx(3.5 / 5.0)
    assert run.minutes == pytest.approx(60 * 10.7 / 30.0 / (0.4 + 0.6 * 0.7))
    assert run.cycles > 1
    assert not run.intake_read


def test_cups_tell_by_their_mouth_and_each_zone_by_itself() -> None:
    attributes = {"controller_zone": "2"}
    by_volume = [read("catch_minutes", "lawn", 10.0, attributes=attributes), read("catch_cup_diameter", "lawn", 80.0),
                 *(read("catch_volume", "lawn", 25.13, series=str(at), attributes=attributes) for at in range(4))]
    runs = zone_runs(replace(FULL, ground=ground(*cups("1", [5.0] * 4), *by_volume, *cups("3", [5.0] * 3))), 10.0)
    assert [run.zone for run in runs] == ["1", "2"]  # three cups tell no driest quarter
    assert runs[1].rate_mm_h == pytest.approx(30.0, rel=1e-3)
    assert runs[1].evenness == pytest.approx(1.0)


def test_drip_is_not_judged_by_cups_and_a_ring_goes_before_the_texture() -> None:
    drip = read("zone_heads", "lawn", choice="drip", attributes={"controller_zone": "1"})
    assert zone_runs(replace(FULL, ground=ground(*cups("1", [5.0] * 4), drip)), 10.0) == ()
    quick, = zone_runs(replace(FULL, site=replace(SITE, infiltration_ring_mm_h=100.0)), 10.0)
    assert (quick.cycles, quick.soak_minutes, quick.intake_read) == (1, 0.0, True)


def test_the_water_dose_says_minutes_or_the_way_with_a_hose() -> None:
    with_cups, without = out("water", FULL, "us"), out("water", Standing(ground(), SITE, COVERS), "us")
    assert with_cups is not None
    assert without is not None
    text = whole(with_cups, "us")
    assert "Zone 1: 26 minutes each time, in" in text
    assert "So few cups (6)" in text
    assert "not known" not in text
    assert "not known, no cups were set out. By hose: time how long one bucket of 5 gal" in whole(
        without, "us")


@pytest.mark.parametrize(("trunk_in", "says"), [(2.0, "drowns"), (36.0, "starves")])
def test_the_inch_rule_starves_large_trees_and_drowns_small_ones(trunk_in: float, says: str) -> None:
    trunk_m = convert(trunk_in, "in", "m")
    ground_m2 = np.pi * (12.0 * trunk_m) ** 2
    standing = replace(FULL, site=replace(SITE, trunk_diameter_m=trunk_m))
    dose = out("water", standing, "us", float(ground_m2))
    assert dose is not None
    assert dose.trunk_rule_l_week == pytest.approx(convert(10 * trunk_in, "gal", "L"))
    assert say(f"dose.trunk.{says}") in whole(dose, "us")


def test_what_goes_by_its_label_says_so() -> None:
    for code in ("chelate", "mycorrhiza", "biostimulant"):
        dose = out(code, FULL, "metric")
        assert dose is not None
        assert "label" in whole(dose, "metric")


def test_trenches_reach_from_the_trunk_to_the_edge_of_the_crown() -> None:
    dose = out("radial_trenches", FULL, "metric")
    assert dose is not None
    assert dose.trench_m == pytest.approx(8 * 4.0 * 0.8, rel=0.02)
    assert dose.volume_m3 == pytest.approx(8 * 4.0 * 0.8 * 0.25 * 0.3, rel=0.03)
