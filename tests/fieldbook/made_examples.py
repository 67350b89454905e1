"""One event of every kind of what is made, for the tests of reading and writing them."""

from __future__ import annotations

from datetime import date

from rootcase.fieldbook.made.batches import (
    BatchCalledBack,
    BatchEnded,
    BatchJudged,
    BatchRulesTold,
    BatchStarted,
    BatchStepTakenBack,
    BatchStepTold,
    LoadFilled,
    RingNoted,
)
from rootcase.fieldbook.made.heaps import (
    BeansReadOff,
    HeapFreed,
    HeapHeld,
    HeapMeasured,
    HeapStarted,
    HeapTurned,
    HeatLogged,
    HeatRead,
    HeatTakenBack,
    ProbeChecked,
)
from rootcase.fieldbook.made.slides import PhotoMeasured, SlideCounted, SlideTakenBack
from rootcase.records.make.batch import Figure
from rootcase.records.make.heap import HeapPart
from rootcase.records.make.slide import SlideRow
from tests.fieldbook.sheets import event

AT = "2016-05-03T09:05:00.000Z"
BATCHES = [
    event("b0", BatchRulesTold(slot="br", at=AT, by="rs", oxygen_floor_mg_l=6.0, holding_h=1.5, elevation_m=131.0)),
    event("b1", BatchStarted(slot="b", batch="b", number=31, heap="h4", at=AT, by="rs")),
    event("b2", BatchStepTold(slot="bw", batch="b", step="chlorine", at=AT, by="rs",
                              figures=(Figure("total_chlorine_mg_l", 0.5),), words={"strip": "total"})),
    event("b8", BatchStepTakenBack(slot="bw", supersedes="b2", batch="b", at=AT, by="rs", reason="typed .5 for 5")),
    event("b3", BatchJudged(slot="bj", batch="b", verdict="fit", at=AT, by="rs", ended_at=AT,
                            good_until="2016-05-03T10:05:00.000Z")),
    event("b4", LoadFilled(slot="l", load="l", batch="b", at="2016-05-03T09:30:00.000Z", by="rs", volume_l=1135.0,
                           oxygen_mg_l=8.1, air_gap_m=0.1, tank="truck")),
    event("b5", BatchCalledBack(slot="bc", batch="b", why="E. coli 2,400 per 100 mL", at=AT, by="rs")),
    event("b6", BatchEnded(slot="be", batch="b", how="poured_out", where="gravel by the yard", at=AT, by="rs")),
    event("b7", RingNoted(slot="br", batch="b", property="p1", at=AT, by="rs", note="told the owner")),
]
HEAPS = [
    event("h1", HeapStarted(slot="h4", heap="h4", name="4", shape="windrow", rule="nop", complete_at=AT, by="rs",
                            time_zone="America/New_York", invented=True, parts=(
                                HeapPart(material="leaves", mass_kg=900.0, moisture_pct=38.0, carbon_pct=48.6,
                                         nitrogen_pct=0.9, feedstock="leaves", lot="row 3"),))),
    event("h2", HeatRead(slot="hr", heap="h4", probe=1, at=AT, by="rs", temperature_c=60.0, air_c=12.5, typed="140 F")),
    event("h3", HeatLogged(slot="hf", heap="h4", probe=2, file="heap.csv", mark="0" * 64, start=AT, by="rs",
                           after_s=(0, 3600), temperature_c=(57.25, 58.5))),
    event("h4", ProbeChecked(slot="hc", heap="h4", probes=(1, 2), at=AT, by="rs")),
    event("h5", HeapTurned(slot="ht", heap="h4", at=AT, by="rs")),
    event("h6", HeapMeasured(slot="hm", heap="h4", quantity="lead", value=41.5, unit="mg/kg dry", method="total metal",
                             lab="a laboratory", day=date(2016, 6, 1), by="rs")),
    event("h7", BeansReadOff(slot="hb", heap="h4", day=date(2016, 6, 20), seeds_a_pot=1, height_mm=(90.0, 95.5, 0.0),
                             control_mm=(100.0, 98.0, 104.0), twisted=1, control_twisted=0, by="rs")),
    event("h8", HeapHeld(slot="hh", heap="h4", reason="hay of unknown field", at=AT, by="rs")),
    event("h9", HeapFreed(slot="hg", heap="h4", reason="second test sound", at=AT, by="rs")),
    event("h10", HeatTakenBack(slot="hr", supersedes="h2", heap="h4", reason="other heap", by="rs")),
]
SLIDES = [
    event("s1", SlideCounted(slot="s", slide="s", method="smear", source="batch", source_id="b", counted="bacteria",
                             day=date(2016, 5, 3), by="rs", constant="fry_1990", rows=(
                                 SlideRow(label="", counts=(9, 12, 7), figures=(Figure("inner_mm", 0.0),
                                                                               Figure("outer_mm", 3.0))),),
                             figures=(Figure("dilution", 100.0), Figure("cell_um3", 0.2)))),
    event("s2", PhotoMeasured(slot="sp", slide="s", photo="0" * 64, um_per_px=0.5, area_mm2=0.12, length_mm=1.2,
                              low_mm=1.1, high_mm=1.4, by="rs", day=date(2016, 5, 3), mended_mm=1.25,
                              deleted_um="12.5 40; 7 9.25", drawn="10 12, 40 60")),
    event("s3", SlideTakenBack(slot="s", supersedes="s1", slide="s", reason="another drop", by="rs")),
]
