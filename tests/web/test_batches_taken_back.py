"""What was told of a batch: how it was read, what is taken back, what a load is for."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

from fastapi.testclient import TestClient

from rootcase.fieldbook.applying.fleet_log import planned_batches_of
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.records.apply.rounds import GivenRound, GivenStep
from rootcase.services.fleet import take
from rootcase.services.make_batch import batch_named
from rootcase.services.week import give_round
from tests.fieldbook.people.chance import chance
from tests.web.batches import BACK, FIT, REFUSED
from tests.web.conftest import NOW
from tests.web.test_batches import BASE, app, begun_batch, clock, path, tell

__all__ = ["app", "path"]  # fixtures, told to pytest by being named here


def test_a_mistyped_reading_is_taken_back_with_a_reason_and_stays_on_the_page(app: TestClient, path: Path) -> None:
    number = begun_batch(app)
    tell(app, number, "neutraliser", chemical="ascorbic_acid", rule="field_guide", mass_g="1.1", strip="total",
         total_chlorine_mg_l="0.05")
    tell(app, number, "compost", mass_kg="250 lb")
    tell(app, number, "start")
    page = tell(app, number, "oxygen", oxygen_mg_l="0.84", temperature_c="68", air="on")
    place = re.search(rf'action="({BASE}/{number}/told/[^"]+/take-back)"', page)
    assert place is not None
    refused = app.post(place[1], data={"reason": ""})
    assert refused.status_code == 422
    assert "it is not said what was wrong with it" in refused.text
    done = app.post(place[1], data={"reason": "typed <.84> for 8.4"}).text
    assert re.search(r"Oxygen: oxygen 0.84 mg/L.*Taken back .* by rs: typed &lt;.84&gt; for 8.4", done)
    assert place[1] not in done
    assert app.post(place[1], data={"reason": "again"}).status_code == 404


def test_who_may_not_free_heaps_takes_no_reading_back(app: TestClient, path: Path) -> None:
    with open_fieldbook(path, now=clock) as book:
        told = batch_named(book, FIT).told("oxygen")[-1].id
        add_person(book.store, "cr", "Hazel Doe", "hazel", "crew", may_sign=False)
        token = open_session(book.store, ("own", "cr"), "browser", "", NOW, chance(7))
    place = f"{BASE}/{FIT}/told/{told}/take-back"
    crew = TestClient(app.app, base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                      cookies={"rootcase": token})
    assert place not in crew.get(f"{BASE}/{FIT}").text
    assert crew.post(place, data={"reason": "mine"}).status_code == 403
    assert place in app.get(f"{BASE}/{FIT}").text


def test_how_a_number_was_read_is_told_on_the_next_page(app: TestClient) -> None:
    read = "8,400 can be 8.4 or 8,400; only 8.4 is possible here and was taken"
    page = app.post(f"{BASE}/{FIT}/steps/oxygen", data={"oxygen_mg_l": "8,400", "temperature_c": "68"})
    assert (page.status_code, read in page.text) == (200, True)
    assert read not in app.post(f"{BASE}/{FIT}/steps/oxygen", data={"oxygen_mg_l": "8.4", "temperature_c": "69"}).text
    filled = app.post(f"{BASE}/{FIT}/loads", data={"volume": "5", "gap": "6 in", "oxygen": "7,900", "tank": "truck 3"})
    assert "7,900 can be 7.9 or 7,900" in filled.text
    odd = app.get(f"{BASE}/{FIT}?read=oxygen&oxygen_mg_l=%3Cb%3E8,400&temperature_c=8,400")
    assert "<b>8,400" not in odd.text
    rules = app.post(f"{BASE}/rules", data={"floor": "6,250", "holding": "", "elevation": "0"})
    assert "6,250 can be 6.25 or 6,250" in rules.text
    app.post(f"{BASE}/rules", data={"floor": "6", "holding": "", "elevation": "0"})


def test_a_load_is_filled_beside_what_todays_rounds_take_of_it(app: TestClient, path: Path) -> None:
    assert "rounds take of it" not in app.get(f"{BASE}/{FIT}").text
    with open_fieldbook(path, now=clock) as book:
        batch, ground = batch_named(book, FIT).id, book.properties()[0].id
        assert not take(book, "fill_point", {"name": "yard", "where": "47.4, -122.3", "fill": "10", "yard": "yes",
                                             "time_zone": "UTC"}, "rs", "us")
        for number in (REFUSED, BACK, FIT):
            ready = f"{batch_named(book, number).told('end')[-1].at:%H:%M}"
            told = {"day": f"{NOW:%Y-%m-%d}", "ready": ready, "volume": "300 gal"}
            assert not take(book, "batch", told, "rs", "us")
        planned = max(planned_batches_of(book.making.events()), key=lambda each: each.ready_min).id
        steps = (GivenStep(kind="fill", starts_min=250, ends_min=260, batch_id=batch, litres=800.0),
                 GivenStep(kind="stop", starts_min=270, ends_min=290, property_id=ground, litres=454.25),
                 GivenStep(kind="rest", starts_min=290, ends_min=300),
                 GivenStep(kind="stop", starts_min=305, ends_min=310, property_id=ground, litres=0.0),
                 GivenStep(kind="stop", starts_min=310, ends_min=330, property_id="gone", litres=227.12),
                 GivenStep(kind="fill", starts_min=340, ends_min=350, litres=500.0),
                 GivenStep(kind="stop", starts_min=360, ends_min=370, property_id=ground, litres=500.0),
                 GivenStep(kind="fill", starts_min=380, ends_min=390, batch_id=planned, litres=100.0),
                 GivenStep(kind="stop", starts_min=400, ends_min=410, property_id=ground, litres=94.635))
        for day in (NOW.date(), NOW.date() + timedelta(days=1)):
            give_round(book, GivenRound(id=f"r{day}", day=day, crew_id="c", steps=steps), "rs")
        give_round(book, GivenRound(id="dry", day=NOW.date(), crew_id="d", steps=(steps[1],)), "rs")
    page = app.get(f"{BASE}/{FIT}").text
    lines = re.findall(r"<li>([^<]*Together[^<]*)</li>", page)
    assert len(lines) == 2
    assert "Alder Bank 25 gal. Together 25 gal." in lines[1], "it was planned before it was made"
    assert re.search(r"Alder Bank 120 gal; .+ 60 gal\. Together 180 gal\.", lines[0])
