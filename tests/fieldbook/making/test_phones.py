"""No phone sends what is told of batches; what it logs may name a load, which is kept as told."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from rootcase.fieldbook.applied.log import LitresTold
from rootcase.fieldbook.events import Event, body_text
from rootcase.fieldbook.made.batches import BATCH_EVENTS
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.put_on_log import put_on_of
from rootcase.fieldbook.sound import sound_event
from rootcase.fieldbook.store.sent import Sent
from rootcase.ground.errors import ImpossibleValue, UnreadableValue
from tests.fieldbook.made_examples import BATCHES
from tests.fieldbook.sheets import event

ARRIVED = datetime(2016, 5, 3, 12, tzinfo=UTC)
AN_ID = "0154751e-c4f8-7db8-8e7b-bfc29f1ed6ba"


def sent(one: Event) -> Sent:
    event = replace(one, id=AN_ID)
    return Sent(AN_ID, event.property_id, event.body.KIND, "2016-05-03T11:00:00.000Z", "phone 1",
                body_text(event.body), event.hash)


@pytest.mark.parametrize("one", BATCHES, ids=lambda one: one.body.KIND)
def test_a_phone_cannot_send_what_is_told_of_a_batch(one: Event) -> None:
    with pytest.raises(ImpossibleValue, match="put_on_logged"):
        sound_event("own", sent(one), ARRIVED)


def test_every_kind_of_a_batch_is_tried() -> None:
    assert {one.body.KIND for one in BATCHES} == {kind.KIND for kind in BATCH_EVENTS}


@pytest.mark.parametrize("told", [
    {"started": "x"}, {"ended": "2016-05-03T09:00:00"}, {"volume_l": -50.0}, {"mass_kg": -0.1}, {"area_m2": -1.0},
    {"day": date(2016, 5, 5)}])
def test_what_was_put_on_is_kept_aside_where_it_cannot_be(told: dict[str, Any]) -> None:
    said: dict[str, Any] = {"slot": "s", "tree": "t1", "remedy": "extract", "day": date(2016, 5, 4), "by": "rs"}
    hours = {"started": "2016-05-03T09:00:00.000Z", "volume_l": 0.0, "time_zone": "Etc/Unknown"}
    assert sound_event("own", sent(event("1", PutOnLogged(**said | hours))), ARRIVED)
    with pytest.raises((ImpossibleValue, UnreadableValue), match=r"time is not written|less than none|dated ahead"):
        sound_event("own", sent(event("1", PutOnLogged(**said | hours | told))), ARRIVED)


@pytest.mark.parametrize("told", [{"at": "noon"}, {"volume_l": -1.0}])
def test_where_litres_went_is_kept_aside_where_it_cannot_be(told: dict[str, Any]) -> None:
    said: dict[str, Any] = {"slot": "s", "batch": "b", "what": "left", "volume_l": 1.0, "by": "rs",
                            "at": "2016-05-03T09:00:00.000Z"}
    sound_event("own", sent(event("1", LitresTold(**said))), ARRIVED)
    with pytest.raises((ImpossibleValue, UnreadableValue), match=r"time is not written|less than none"):
        sound_event("own", sent(event("1", LitresTold(**said | told))), ARRIVED)


def test_what_was_put_on_names_its_load_whether_it_is_known_or_not() -> None:
    put = event("1", PutOnLogged(slot="s", tree="t1", remedy="extract", day=ARRIVED.date(), by="rs", load="no load"))
    found = sound_event("own", sent(put), ARRIVED)
    assert put_on_of([found])[0].load_id == "no load"
