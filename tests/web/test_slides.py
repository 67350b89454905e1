"""The pages of slides: counted, worked out, kept, put right, taken back; what was typed is never lost."""

from __future__ import annotations

from fastapi.testclient import TestClient

from rootcase.services.slide_form import METHODS

CHAMBER = {"method": "chamber", "source": "soil", "source_id": "bed by the gate", "counted": "bacteria",
           "counts": "9 7 12 8 6 10", "square_mm2": "0.0025", "depth_mm": "20 um", "dilution": "100"}


def kept(app: TestClient, **other: str) -> str:
    answer = app.post("/make/slides/new", data={**CHAMBER, **other, "do": "keep"}, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def test_every_method_has_its_form_in_the_order_of_the_bench(desk_app: TestClient) -> None:
    listed = desk_app.get("/make/slides").text
    places = [listed.index(f"/make/slides/new?method={method}") for method in METHODS]
    assert places == sorted(places)
    for method in METHODS:
        form = desk_app.get(f"/make/slides/new?method={method}").text
        assert "Not shown by this count:" in form
        assert ('name="counts' in form) == (method != "photos")
        assert ("tally.js" in form) == ("data-tally" in form) == (method not in ("photos", "tubes"))


def test_working_it_out_tells_the_fields_still_needed_first_and_keeps_nothing(app_to_change: TestClient) -> None:
    page = app_to_change.post("/make/slides/new", data={**CHAMBER, "do": "try"}).text
    assert page.index("6 more fields for ±20 %") < page.index("17.3 billion per mL")
    assert "9 7 12 8 6 10</textarea>" in page
    assert "bed by the gate" not in app_to_change.get("/make/slides").text


def test_a_slide_is_kept_once_and_its_geometry_is_remembered_and_said(app_to_change: TestClient) -> None:
    address = kept(app_to_change, mark="0123456789ab")
    assert kept(app_to_change, mark="0123456789ab") == address
    assert "6 more fields" in app_to_change.get(address).text
    assert app_to_change.get("/make/slides").text.count(f'"{address}"') == 1
    form = app_to_change.get("/make/slides/new?method=chamber").text
    assert "As on your last slide by this method" in form
    assert 'value="0.02 mm"' in form
    assert "bed by the gate" not in form


def test_a_form_that_was_changed_and_sent_again_is_another_slide_and_loses_nothing(app_to_change: TestClient) -> None:
    first = kept(app_to_change, mark="c0ffee123456", source_id="the first bed")
    second = kept(app_to_change, mark="c0ffee123456", source_id="the second bed")
    assert second != first
    assert kept(app_to_change, mark="c0ffee123456", source_id="the second bed") == second
    assert kept(app_to_change, mark="c0ffee123456", source_id="the first bed") == first
    assert "the first bed" in app_to_change.get(first).text
    assert "the second bed" in app_to_change.get(second).text


def test_what_is_refused_stays_typed(app_to_change: TestClient) -> None:
    answer = app_to_change.post("/make/slides/new", data={**CHAMBER, "counts": "9 <b> 7", "depth_mm": "deep"})
    assert answer.status_code == 422
    assert "9 &lt;b&gt; 7</textarea>" in answer.text
    assert 'value="deep"' in answer.text
    assert 'id="counts-fault"' in answer.text
    assert 'id="depth_mm-fault"' in answer.text


def test_a_count_with_a_comma_in_it_is_asked_about(app_to_change: TestClient) -> None:
    for method, counts in (("chamber", "9 1,200 7"), ("chamber", "12,345,678"), ("tubes", "0.1 1,200 3")):
        page = app_to_change.post("/make/slides/new", data={**CHAMBER, "method": method, "counts": counts})
        assert page.status_code == 422
        assert "one count or several" in page.text
        assert f"{counts}</textarea>" in page.text
    assert "counts-fault" in app_to_change.post("/make/slides/new", data={
        **CHAMBER, "method": "tubes", "counts": "0.1 5,5 3"}).text
    page = app_to_change.post("/make/slides/new", data={**CHAMBER, "counts": "9,7,12, 120", "do": "try"})
    assert page.status_code == 200


def test_a_slide_is_put_right_and_taken_back_with_a_reason(app_to_change: TestClient) -> None:
    address = kept(app_to_change, source_id="to be corrected")
    form = app_to_change.get(f"{address}/correct").text
    assert "9 7 12 8 6 10</textarea>" in form
    app_to_change.post(f"{address}/correct", data={**CHAMBER, "source_id": "the other bed"})
    assert "the other bed" in app_to_change.get(address).text
    assert app_to_change.post(f"{address}/take-back", data={"reason": " "}).status_code == 422
    app_to_change.post(f"{address}/take-back", data={"reason": "another drop"})
    assert app_to_change.get(address).status_code == 404


def test_a_slide_lies_beside_its_like_or_it_is_said_why_not(app_to_change: TestClient) -> None:
    for source_id, counted in (("oak wood", "bacteria"), ("beech wood", "amoebae")):
        kept(app_to_change, source="yardstick", source_id=source_id, counted=counted)
    page = app_to_change.get(kept(app_to_change, source_id="no such bed")).text
    assert "Beside it: bacteria, yardstick soil oak wood" in page
    assert "Not beside it, something else was counted: amoebae" in page


def test_a_slide_is_of_a_batch_or_heap_that_there_is_or_of_any_soil(app_to_change: TestClient) -> None:
    for source, name in (("batch", "999"), ("batch", "<b>"), ("heap", "none such"), ("soil", "x" * 121)):
        answer = app_to_change.post("/make/slides/new", data={**CHAMBER, "source": source, "source_id": name,
                                                              "do": "keep"})
        assert answer.status_code == 422
        assert 'id="source_id-fault"' in answer.text
        assert f'value="{name.replace("<", "&lt;").replace(">", "&gt;")}"' in answer.text
def test_a_blind_repeat_names_its_slide_and_tells_the_observers_error(app_to_change: TestClient) -> None:
    first = kept(app_to_change, method="chamber", counts="14 22 9 30 17").rpartition("/")[2]
    again = kept(app_to_change, counts="16 19 11 27 18", repeat_of=first[-8:])
    assert "fields counted twice, blind: error of one count 9 %" in app_to_change.get(again).text
    assert f"repeat_of={first}" in app_to_change.get(f"/make/slides/{first}").text
    for odd in ("none such", first):
        wrong = {**CHAMBER, "repeat_of": odd, "mark": first, "do": "keep"}
        answer = app_to_change.post("/make/slides/new", data=wrong)
        assert answer.status_code == 422
        assert 'id="repeat_of-fault"' in answer.text
