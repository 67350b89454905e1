"""Events: every kind survives being written and read, and its hash covers all it says."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from hashlib import sha256

import pytest

from rootcase.fieldbook.applied.log import ClientCopyGiven, LitresTold
from rootcase.fieldbook.canonical import canonical
from rootcase.fieldbook.drawn import AerialLaid, DrawingTakenBack, KeepOffDrawn, LineDrawn
from rootcase.fieldbook.events import (
    KINDS,
    Event,
    ImportUndone,
    OfferAnswered,
    OfferMade,
    PlanSigned,
    PlanWithdrawn,
    PracticeTold,
    Priced,
    ProgrammeRenewed,
    ProgrammeStarted,
    ProgrammeStopped,
    QuestionReplied,
    ReadingCorrected,
    ReadingTakenBack,
    RuleTold,
    SheetImported,
    VisitSkipped,
    body_text,
    read_body,
)
from rootcase.fieldbook.plain import plain_body
from rootcase.fieldbook.proved import EffectSigned
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.wanted import ReadingNotWanted, ReadingWanted
from rootcase.ground.errors import StoreError
from tests.fieldbook.applied_examples import GROUND
from tests.fieldbook.fleet_examples import FLEET
from tests.fieldbook.made_examples import BATCHES, HEAPS, SLIDES
from tests.fieldbook.photo_examples import PHOTOS
from tests.fieldbook.sheets import FACTS, event, reading, whole_property

MORE = [event("50", ReadingCorrected(slot="c", supersedes="40", kind="dbh", of="t1", visit="v1", typed="1",
                                     reason="slip")),
        event("51", ReadingTakenBack(slot="b", supersedes="42", reason="wrong tree")),
        event("52", Priced(slot="p", item="mulch", unit="per_m2", amount=9.5, currency="USD")),
        event("57", RuleTold(slot="r", topic="notice", law="A state", value=2.0, unit="day", applies_to=("extract",),
                             source="a code", checked_on=date(2015, 11, 4))),
        event("53", SheetImported(slot="i", file="trees.xlsx", events=("40", "41"))),
        event("54", ImportUndone(slot="i", supersedes="53", reason="wrong file")),
        event("55", PlanSigned(slot="signed plan", signed="{}", mark="44136f", by="rs", day=date(2016, 1, 20))),
        event("56", PlanWithdrawn(slot="signed plan", supersedes="55", by="rs", day=date(2016, 2, 1), reason="sold")),
        event("58", PracticeTold(slot="t", key="tax_rate", rate_pct=8.5)),
        event("59", PracticeTold(slot="l", key="licence", text="applicator", ends=date(2016, 6, 30))),
        event("60", OfferMade(slot="o", offered="{}", mark="44136f", day=date(2016, 1, 21))),
        event("61", OfferAnswered(slot="a", offer="60", mark="44136f", answer="yes", option=1, day=date(2016, 1, 22),
                                  contact="c1")),
        event("72", QuestionReplied(slot="q", answer="61", by="rs", day=date(2016, 1, 23), words="It does not.")),
        event("62", ProgrammeStarted(slot="s", offer_mark="44136f", option=1, visits_a_year=2,
                                     price_until=date(2017, 1, 31), day=date(2016, 2, 1))),
        event("63", VisitSkipped(slot="v", programme="62", due=date(2016, 8, 1), reason="drought")),
        event("64", ProgrammeRenewed(slot="n", programme="62", visits_a_year=1, price_until=date(2018, 1, 31),
                                     day=date(2017, 2, 1))),
        event("65", ProgrammeStopped(slot="e", programme="62", day=date(2017, 5, 1), reason="sold")),
        event("66", LineDrawn(slot="g", line="g", name="gas to the house", line_kind="gas",
                              points_m=((0.0, 1.5), (9.0, 1.5)))),
        event("67", KeepOffDrawn(slot="k", area="k", name="well", reason="drinking water",
                                 outline_m=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), distance_m=30.0)),
        event("68", AerialLaid(slot="f", photo="0" * 64, width_px=1200, height_px=900, scale_m_px=0.05, turned_deg=-3.5,
                               east_m=-2.0, north_m=40.0)),
        event("69", DrawingTakenBack(slot="k", supersedes="67", reason="capped")),
        event("70", ReadingWanted(slot="w", tree="t1", kind="probe_depth", by="rs", day=date(2016, 1, 22))),
        event("71", ReadingNotWanted(slot="w", supersedes="70", by="rs", day=date(2016, 1, 23))),
        event("73", PutOnLogged(slot="d", tree="t1", remedy="mulch", day=date(2016, 4, 2), by="rs", plan="44136f",
                                amount="3.8 m3", area="50 m2", note="by hand at the walk")),
        event("74", PutOnLogged(slot="d", supersedes="73", tree="t1", remedy="extract", day=date(2016, 4, 2), by="rs",
                                load="l1", started="2016-04-02T09:00:00.000Z", ended="2016-04-02T09:30:00.000Z",
                                time_zone="America/Los_Angeles", licence="CA 1234", helpers=("jm",), jobs=("j1",),
                                volume_l=208.2, mass_kg=0.5, area_m2=92.9, site="ornamental trees", product="Example",
                                registration="1234-56", restricted=True, method="drench", weather="calm, 60 F",
                                soil="moist", reason="hours were missing")),
        event("75", ClientCopyGiven(slot="cc", record="d", day=date(2016, 4, 9), by="rs", note="by mail")),
        event("76", LitresTold(slot="lt", batch="b", what="left", volume_l=87.0, at="2016-04-02T17:00:00.000Z", by="rs",
                               where="own beds")),
        event("77", EffectSigned(slot="effect extract", remedy="extract", signed="{}", mark="44136f", by="rs",
                                 day=date(2017, 11, 4))),
        *GROUND, *BATCHES, *HEAPS, *SLIDES, *FLEET, *PHOTOS]


@pytest.mark.property
@pytest.mark.parametrize("each", [*whole_property(), *MORE], ids=lambda e: f"{e.id} {e.body.KIND}")
def test_a_body_reads_back_as_it_was_written(each: Event) -> None:
    assert read_body(each.body.KIND, body_text(each.body)) == each.body


def test_every_kind_of_event_is_tried_above() -> None:
    assert {each.body.KIND for each in [*whole_property(), *MORE]} == set(KINDS)


@pytest.mark.property
@pytest.mark.parametrize("each", [*whole_property(), *MORE], ids=lambda e: f"{e.id} {e.body.KIND}")
def test_the_hash_is_that_of_the_whole_in_canonical_form(each: Event) -> None:
    whole = {"body": plain_body(each.body), "id": each.id, "kind": each.body.KIND, "practice": each.practice_id,
             "property": each.property_id}
    assert each.hash == sha256(canonical(whole)).hexdigest()


def test_the_hash_covers_the_content_and_not_the_envelope() -> None:
    one = event("1", reading("dbh", 300.0))
    assert replace(one, made_at="2017-01-01T00:00:00.000Z", device="phone").hash == one.hash
    for other in (replace(one, id="2"), replace(one, practice_id="b"), replace(one, property_id="q"),
                  replace(one, body=reading("dbh", 300.5)), replace(one, body=reading("dbh", 300.0, "0"))):
        assert other.hash != one.hash


def test_a_whole_number_hashes_like_the_same_number_with_a_point() -> None:
    assert event("1", replace(FACTS, elevation_m=131)).hash == event("1", replace(FACTS, elevation_m=131.0)).hash


@pytest.mark.pinned
def test_a_stored_body_keeps_its_form() -> None:
    assert body_text(reading("dbh", 368.3)) == (
        '{"kind":"dbh","of":"t1","slot":"dbh","typed":"368.3 mm","value":"368.3","visit":"v1"}')


def test_an_event_of_a_newer_program_is_named() -> None:
    with pytest.raises(StoreError, match="does not know"):
        read_body("tree_felled", "{}")
