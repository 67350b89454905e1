"""The pages of a batch: each step opens the next, a refusal is a page, and no load goes past the gate."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import jsonschema_rs
import pytest
from fastapi.testclient import TestClient

from rootcase.casework.make.heap import judged
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.ground.errors import RootcaseError
from rootcase.report.casework_json import stage_json
from rootcase.services.heap import heaps
from rootcase.services.heap_figures import free, hold
from rootcase.services.make_batch import batch_named, batches, end_batch
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.people.chance import chance
from tests.web.batches import BACK, FIT, OPEN, REFUSED, Clock, yard
from tests.web.conftest import NOW

BASE = "/make/batches"
clock = Clock(NOW)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("yard") / "own.sqlite"
    yard(made, NOW)
    return made


@pytest.fixture(scope="module")
def app(path: Path) -> Iterator[TestClient]:
    """The owner's own browser."""
    with open_fieldbook(path, now=clock) as book:
        add_person(book.store, "rs", "Rowan Doe", "rowan", "owner", may_sign=True)
        token = open_session(book.store, ("own", "rs"), "browser", "", NOW, chance(1))
    with TestClient(create_app(Desk(path, clock, path.parent / "results")), base_url="http://127.0.0.1",
                    headers={"origin": "http://127.0.0.1"}, cookies={"rootcase": token}) as client:
        yield client


@pytest.fixture(autouse=True)
def _at_noon() -> None:
    clock.at = NOW


def tell(app: TestClient, number: str, step: str, **typed: str) -> str:
    return app.post(f"{BASE}/{number}/steps/{step}", data=typed).text


def begun_batch(app: TestClient) -> str:
    """A batch up to where compost may go in, 0.4 mg/L of chlorine in 300 gal of water."""
    number = app.post(BASE, data={"heap": "h4"}).url.path.rpartition("/")[2]
    tell(app, number, "vat", cleaned="yes")
    tell(app, number, "water", origin="mains", volume_l="300 gal")
    tell(app, number, "chlorine", strip="total", total_chlorine_mg_l="0.4")
    return number


def loads(path: Path, number: str) -> int:
    with open_fieldbook(path, now=clock) as book:
        return len(batch_named(book, number).loads)


def test_only_a_heap_that_may_be_used_can_be_chosen(app: TestClient) -> None:
    page = app.get(f"{BASE}/new").text
    assert 'value="h4" checked' in page
    assert 'value="h5" disabled' in page
    assert "may not be used" in page
    for heap, why in (("h5", "heap 7 may not be used"), ("", "choose a heap"), ("none", "choose a heap")):
        refused = app.post(BASE, data={"heap": heap})
        assert refused.status_code == 422
        assert why in refused.text


def test_each_step_opens_the_next_to_a_fit_batch_and_its_load(app: TestClient, path: Path) -> None:
    started = app.post(BASE, data={"heap": "h4"})
    number = started.url.path.rpartition("/")[2]
    assert f"Batch {number}: next is clean vat" in started.text
    assert "next is water source" in tell(app, number, "vat", cleaned="yes")
    assert "next is total chlorine" in tell(app, number, "water", origin="mains", volume_l="300 gal")
    assert "This strip misses chloramine" in tell(app, number, "chlorine", strip="free", total_chlorine_mg_l="0")
    opened = tell(app, number, "chlorine", strip="total", total_chlorine_mg_l="0.4")
    assert "next is neutralizer" in opened
    assert "ascorbic acid: 1.1 g for 300 gal, stir 10 minutes, test again." in opened
    again = tell(app, number, "neutraliser", chemical="ascorbic_acid", rule="field_guide", mass_g="1.1", strip="total",
                 total_chlorine_mg_l="0.05")
    assert "next is compost by scale" in again
    assert "next is start of extraction" in tell(app, number, "compost", mass_kg="250 lb")
    assert "next is oxygen" in tell(app, number, "start")
    odd = tell(app, number, "oxygen", oxygen_mg_l="11.9", temperature_c="68", air="on")
    assert "Oxygen 11.9 mg/L is above what water holds here" in odd
    assert "next is oxygen" in odd
    assert "next is end and screen" in tell(app, number, "oxygen", oxygen_mg_l="8.4", temperature_c="68", air="on")
    ready = tell(app, number, "end", volume_l="290", screen_um="40 mesh")
    assert f"Batch {number} is ready to be judged" in ready
    assert f'href="/make/slides/new?source=batch&amp;source_id={number}"' in ready
    assert f"Batch {number} is fit until 05:00" in app.post(f"{BASE}/{number}/judge").text
    typed = {"volume": "290", "tank": "truck 2", "gap": "6 in"}
    assert "truck 2" in app.post(f"{BASE}/{number}/loads", data=typed).text
    assert loads(path, number) == 1


def test_what_is_refused_in_a_form_comes_back_as_typed(app: TestClient) -> None:
    page = app.post(f"{BASE}/{OPEN}/steps/water", data={"origin": "mains", "volume_l": "3 psi", "note": "<b>tap</b>",
                                                       "at": "25:00"})
    assert page.status_code == 422
    assert 'value="3 psi"' in page.text
    assert 'value="&lt;b&gt;tap&lt;/b&gt;"' in page.text
    assert 'id="volume_l-fault"' in page.text
    assert "this is no time of day" in page.text
    assert "next is neutralizer" in app.get(f"{BASE}/{OPEN}").text
    clock.at = datetime(2015, 11, 1, 12, tzinfo=UTC)
    asked = app.post(f"{BASE}/{OPEN}/steps/neutraliser", data={"mass_g": "1.4", "at": "1:30"})
    assert 'id="which-fault"' in asked.text
    assert 'value="second"' in asked.text


def test_a_laboratory_may_say_below_and_a_slip_of_the_thumb_starts_no_hour(app: TestClient) -> None:
    number = begun_batch(app)
    tell(app, number, "neutraliser", chemical="ascorbic_acid", rule="field_guide", mass_g="1.1", strip="total",
         total_chlorine_mg_l="0.05")
    tell(app, number, "compost", mass_kg="250 lb")
    tell(app, number, "start")
    tell(app, number, "oxygen", oxygen_mg_l="8.4", temperature_c="68", air="on")
    assert 'id="volume_l-fault"' in tell(app, number, "end")
    assert "next is end and screen" in app.get(f"{BASE}/{number}").text
    tell(app, number, "end", volume_l="290")
    assert "this has to be told: E. coli per 100 mL or" in tell(app, number, "lab")
    told = tell(app, number, "lab", e_coli_per_100_ml="<1", sampled="3 May 2016")
    assert "E. coli per 100 mL &lt;1" in told
    odd = app.post(f"{BASE}/{number}/steps/lab", data={"e_coli_per_100_ml": "9 psi", "sampled": "1.000,5"})
    assert 'id="e_coli_per_100_ml-fault"' in odd.text
    assert 'id="sampled-fault"' in app.post(f"{BASE}/{number}/steps/lab", data={"e_coli_per_100_ml": "9",
                                                                               "sampled": "1.000,5"}).text


def test_what_cannot_be_believed_is_kept_with_its_doubt_beside(app: TestClient) -> None:
    number = begun_batch(app)
    heavy = tell(app, number, "neutraliser", chemical="ascorbic_acid", rule="field_guide", mass_g="2600", strip="total",
                 total_chlorine_mg_l="0.05")
    assert "2,600 g" in heavy or "2600 g" in heavy
    assert "Doubtful: the advice that was chosen comes to 1.1 g." in heavy
    assert "Not believed: water holds" in tell(app, number, "oxygen", oxygen_mg_l="39", temperature_c="68", air="on")


def test_a_key_pressed_twice_starts_one_batch(app: TestClient) -> None:
    mark = re.search(r'name="mark" value="([^"]+)"', app.get(f"{BASE}/new").text)
    assert mark is not None
    once, twice = (app.post(BASE, data={"heap": "h4", "mark": mark[1]}).url for _ in range(2))
    assert once == twice
    assert app.post(BASE, data={"heap": "h4"}).url != once


def test_a_paper_is_written_in_afterwards_from_the_time_it_began(app: TestClient) -> None:
    wrong = app.post(BASE, data={"heap": "h4", "at": "25:00"})
    assert wrong.status_code == 422
    assert 'value="25:00"' in wrong.text
    assert 'id="at-fault"' in wrong.text
    number = app.post(BASE, data={"heap": "h4", "at": "1:30"}).url.path.rpartition("/")[2]
    tell(app, number, "vat", cleaned="yes", at="1:35")
    early = app.post(f"{BASE}/{number}/steps/water", data={"origin": "mains", "volume_l": "300 gal", "at": "1:20 am"})
    assert 'id="at-fault"' in early.text
    assert "01:20 PST); " in early.text
    assert "01:30 PST or later" in early.text
    assert 'value="1:20 am"' in early.text
    assert "next is total chlorine" in tell(app, number, "water", origin="mains", volume_l="300 gal", at="1:40 am")


def test_pond_water_stands_against_it_and_no_compost_goes_in(app: TestClient) -> None:
    number = app.post(BASE, data={"heap": "h4"}).url.path.rpartition("/")[2]
    tell(app, number, "vat", cleaned="yes")
    assert "Pond water does not go into a batch." in tell(app, number, "water", origin="pond", volume_l="300")
    blocked = app.post(f"{BASE}/{number}/steps/compost", data={"mass_kg": "250 lb"})
    assert blocked.status_code == 422
    assert "compost by scale may not be told yet" in blocked.text
    assert "is refused." in app.post(f"{BASE}/{number}/judge", data={"sure": "1"}).text


def test_a_refusal_is_a_page_with_its_reason_and_two_ways_out(app: TestClient) -> None:
    page = app.get(f"{BASE}/{REFUSED}").text
    assert "<h1 class=\"finding\">Batch 2 is refused.</h1>" in page
    assert "Oxygen 4.1 mg/L at" in page
    assert "floor 6.0" in page
    assert "Smell sour." in page
    assert "Use as compost water on own open soil" in page
    assert "Pour out" in page
    assert "/loads" not in page
    assert "override" not in page.lower()
    empty = app.post(f"{BASE}/{REFUSED}/end", data={"how": "poured_out", "where": " "})
    assert empty.status_code == 422
    assert 'id="where-fault"' in empty.text
    done = app.post(f"{BASE}/{REFUSED}/end", data={"how": "poured_out", "where": "gravel by the yard"})
    assert "Poured out: gravel by the yard." in done.text


def test_no_load_without_an_air_gap(app: TestClient, path: Path) -> None:
    before = loads(path, FIT)
    page = app.post(f"{BASE}/{FIT}/loads", data={"volume": "300", "tank": "truck 1"})
    assert page.status_code == 422
    assert "Air gap not recorded. Load is not released." in page.text
    assert 'value="truck 1"' in page.text
    page = app.post(f"{BASE}/{FIT}/loads", data={"volume": "300", "gap": "0.5 in", "tank": "truck 1"})
    assert page.status_code == 422
    assert "the air gap is too small" in page.text
    assert 'id="gap-fault"' in page.text
    assert loads(path, FIT) == before


def test_the_weight_is_told_first_and_an_overload_is_warned_of(app: TestClient, path: Path) -> None:
    typed = {"volume": "300 gal", "gap": "6 in", "left": "2550 lb"}
    weighing = app.post(f"{BASE}/{FIT}/loads", data={**typed, "weigh": "1"})
    assert weighing.status_code == 200
    weighed = weighing.text
    assert "300 gal is 2,502 lb; payload left 2,550 lb. 48 lb to spare: no second passenger." in weighed
    before = loads(path, FIT)
    heavy = app.post(f"{BASE}/{FIT}/loads", data={**typed, "left": "2000 lb"})
    assert heavy.status_code == 422
    assert "502 lb too much: load 239 gal at most." in heavy.text
    assert loads(path, FIT) == before
    mark = re.search(r'name="weighed" value="([^"]*)"', heavy.text)[1]  # type: ignore[index]
    for other in ({"volume": "500 gal"}, {"left": "1000 lb"}, {"weighed": "1"}):
        assert app.post(f"{BASE}/{FIT}/loads", data={**typed, "left": "2000 lb", "weighed": mark, **other}
                        ).status_code == 422
    assert loads(path, FIT) == before
    app.post(f"{BASE}/{FIT}/loads", data={**typed, "left": "2000 lb", "weighed": mark})
    assert loads(path, FIT) == before + 1
    assert "Loads are 309 gal more than it made." in app.get(f"{BASE}/{FIT}").text


@pytest.mark.parametrize(("number", "minutes", "why"), [
    (REFUSED, 0, "it is refused, so no load may be filled from it"), (OPEN, 0, "it is not judged"),
    (FIT, 55, "no load may be filled from it at that time")])
def test_no_page_loads_what_may_not_be_loaded(app: TestClient, path: Path, number: str, minutes: float,
                                              why: str) -> None:
    before = loads(path, number)
    clock.at = NOW + timedelta(minutes=minutes)
    page = app.post(f"{BASE}/{number}/loads", data={"volume": "300", "gap": "6 in", "left": "", "weighed": "1"})
    assert page.status_code == 422
    assert why in page.text
    assert loads(path, number) == before


def test_its_hour_runs_down_and_then_there_is_no_load_form(app: TestClient) -> None:
    assert "minutes left at 04:00" in app.get(f"{BASE}/{FIT}").text
    clock.at = NOW + timedelta(minutes=55)
    late = app.get(f"{BASE}/{FIT}").text
    assert "was fit until 04:50" in late
    assert "no load any more" in late
    assert f"{BASE}/{FIT}/loads" not in late
    assert f'action="{BASE}/{FIT}/end"' in late
    clock.at = NOW + timedelta(hours=24)
    assert "was fit until 15 January 2016, 04:50" in app.get(f"{BASE}/{FIT}").text


def test_make_lists_every_batch_with_its_state(app: TestClient) -> None:
    page = app.get("/make").text
    assert "Batch 2 is refused" in page
    assert "Batch 1, open" in page
    assert "Batch 4 is fit until 04:50" in page
    clock.at = NOW + timedelta(minutes=55)
    assert "Batch 4 is over age: no load any more" in app.get("/make").text


def test_a_fit_batch_of_a_held_heap_is_shown_as_held_and_has_no_load_form(app: TestClient, path: Path) -> None:
    assert f"{BASE}/{FIT}/loads" in app.get(f"{BASE}/{FIT}").text
    with open_fieldbook(path, now=clock) as book:
        heap = next(each for each in heaps(book) if each.name == "6")
        hold(book, heap, "bad smell", by="rs", now=NOW)
        try:
            page = app.get(f"{BASE}/{FIT}").text
            assert "Batch 4 is not loaded: its heap is held" in page
            assert "Held: bad smell." in page
            assert f"{BASE}/{FIT}/loads" not in page
            assert "Batch 4 is not loaded: its heap is held" in app.get("/make").text
        finally:
            free(book, next(each for each in heaps(book) if each.name == "6"), "nothing found", by="rs", now=NOW)


def test_what_does_not_exist_is_not_there(app: TestClient) -> None:
    assert app.get(f"{BASE}/999").status_code == 404
    assert app.get(f"{BASE}/{OPEN}?step=dance").status_code == 422
    assert app.post(f"{BASE}/999/judge").status_code == 404


def test_sheet_and_label_come_as_papers(app: TestClient) -> None:
    for name in ("sheet", "label"):
        answer = app.get(f"{BASE}/{FIT}/{name}.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF")
    assert app.get(f"{BASE}/{FIT}/other.pdf").status_code == 422
    assert app.get(f"{BASE}/999/sheet.pdf").status_code == 404


def test_a_recall_lists_whom_to_ring_and_keeps_each_call(app: TestClient) -> None:
    page = app.get(f"{BASE}/{BACK}/recall").text
    assert "E. coli 2,400 per 100 mL; limit 126" in page
    assert "Alder Bank" in page
    assert "oak 1" in page
    assert "ask the health authority" in page
    assert "Hold heap 6" in page
    logged = app.post(f"{BASE}/{BACK}/rings", data={"property_id": "p1", "note": "told <the> owner"})
    assert "told &lt;the&gt; owner" in logged.text
    odd = app.post(f"{BASE}/{BACK}/rings", data={"property_id": "p9", "note": ""})
    assert odd.status_code == 422
    long = app.post(f"{BASE}/{BACK}/rings", data={"property_id": "p1", "note": "x" * 500})
    assert long.status_code == 422
    assert "x" * 500 in long.text


def test_a_batch_is_called_back_with_a_reason_and_loads_no_more(app: TestClient, path: Path) -> None:
    empty = app.post(f"{BASE}/{FIT}/call-back", data={"why": " "})
    assert empty.status_code == 422
    assert 'id="why-fault"' in empty.text
    before = loads(path, FIT)
    assert "smelled sour" in app.post(f"{BASE}/{FIT}/call-back", data={"why": "smelled sour in the tank"}).text
    page = app.get(f"{BASE}/{FIT}").text
    assert f"Batch {FIT} is called back." in page
    assert f"{BASE}/{FIT}/loads" not in page
    late = app.post(f"{BASE}/{FIT}/loads", data={"volume": "100", "gap": "6 in"})
    assert "it was called back, so no load may be filled from it" in late.text
    assert loads(path, FIT) == before


def test_programs_see_the_same_batches_and_change_none(app: TestClient, path: Path) -> None:
    made = app.get("/api/make").json()
    assert [heap["name"] for heap in made["heaps"]] == ["6", "7"]
    assert [each["may_be_used"] for each in made["judged"]] == [True, False]
    with open_fieldbook(path, now=clock) as book:
        assert made == json.loads(stage_json({"heaps": heaps(book), "judged": tuple(map(judged, heaps(book))),
                                              "batches": batches(book)}))
    one = app.get(f"/api/make/batches/{REFUSED}").json()
    assert one["batch"]["judgement"]["verdict"] == "refused"
    assert app.get(f"/api/make/batches/{BACK}/recall").json()["properties"][0]["name"] == "Alder Bank"
    assert app.get("/api/make/batches/999").status_code == 404
    described = app.get("/api/openapi.json").json()
    one_batch = "/api/make/batches/{batch_id}"
    for path, number in (("/api/make", ""), (one_batch, OPEN), (one_batch, FIT), (f"{one_batch}/recall", BACK)):
        told = described["paths"][path]["get"]["responses"]["200"]["content"]["application/json"]["schema"]
        answer = app.get(path.format(batch_id=number)).json()
        validator = jsonschema_rs.validator_for(told | {"components": described["components"]})
        assert [str(each) for each in validator.iter_errors(answer)] == []
    for verb in ("post", "put", "delete", "patch"):
        assert getattr(app, verb)(f"/api/make/batches/{FIT}").status_code == 405


def test_the_practice_sets_its_own_floor_and_height(app: TestClient) -> None:
    assert 'value="6"' in app.get(f"{BASE}/rules").text
    wrong = app.post(f"{BASE}/rules", data={"floor": "99", "holding": "", "elevation": "5,280 ft"})
    assert wrong.status_code == 422
    assert 'id="floor-fault"' in wrong.text
    assert 'value="5,280 ft"' in wrong.text
    kept = app.post(f"{BASE}/rules", data={"floor": "6.5", "holding": "2", "elevation": "5,280 ft"}).text
    assert 'value="6.5"' in kept
    assert 'value="2"' in kept
    assert 'value="5280"' in kept


def test_what_was_typed_of_a_call_back_or_a_call_is_never_lost(app: TestClient, path: Path) -> None:
    again = app.post(f"{BASE}/{BACK}/call-back", data={"why": "smelled sour"})
    assert again.status_code == 422
    assert "it was called back" in again.text
    assert "smelled sour" in again.text
    elsewhere = app.post(f"{BASE}/{BACK}/rings", data={"property_id": "none", "note": "told the gardener"})
    assert "choose the property that was rung" in elsewhere.text
    assert "told the gardener" in elsewhere.text
    with open_fieldbook(path, now=clock) as book, pytest.raises(RootcaseError, match="400"):
        end_batch(book, batch_named(book, REFUSED).id, "poured_out", "x" * 401, "rs")
