"""The pages of heaps: everything typed comes back, the verdict stands above, each entry can be put right."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.casework.make.heaps import LOG_A
from tests.fieldbook.people.chance import chance

NOW = datetime(2015, 12, 1, 12, tzinfo=UTC)
START = {"name": "4", "shape": "windrow", "rule": "cfr_503", "time_zone": "America/New_York", "day": "2015-05-01",
         "time": "08:00"}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    with open_fieldbook(tmp_path / "demo.sqlite") as book:
        add_person(book.store, "demo", "Rowan Doe", "demo", "owner", may_sign=True)
    desk = Desk(tmp_path / "demo.sqlite", lambda: NOW, tmp_path, demo=True)
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        yield client


def started(client: TestClient) -> str:
    answer = client.post("/make/heaps/new", data=START, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def title(text: str) -> str:
    found = re.search(r'<h1 class="finding">(.*?)</h1>', text, re.DOTALL)
    assert found
    return unescape(found[1])


def test_an_empty_place_says_what_it_is_for_and_holds_the_key(client: TestClient) -> None:
    page = client.get("/make").text
    assert title(page) == "No heap yet. Log the day the last material went on; the heat rule counts from then."
    assert 'href="/make/heaps/new"' in page


def test_from_the_first_reading_to_the_verdict(client: TestClient) -> None:
    here = started(client)
    assert title(client.get(here).text).startswith("Not met: no reading")
    days = [(date(2015, 5, 1) + timedelta(days=at)).isoformat() for at in LOG_A]
    client.post(f"{here}/checked", data={"probes": "1 2", "day": days[0], "time": "8:00"})
    for at in (5, 8, 11, 14, 17):
        client.post(f"{here}/turned", data={"day": days[at], "time": "8:00"})
    for at, warm in LOG_A.items():
        for probe in "12":
            kept = client.post(f"{here}/heat", data={"probe": probe, "value": f"{warm} C", "day": days[at],
                                                     "time": "8:00"})
            assert kept.status_code == 200
    page = kept.text
    assert title(page) == "Met: 16 hot days of 15, turned 5 times."
    assert "It may be used." in page
    assert 'class="rule"' in page
    assert "Probe 2: 113 °F (45 °C)" in page
    assert "Heap 4" in client.get("/make").text


def test_what_is_refused_comes_back_as_typed(client: TestClient) -> None:
    here, text = started(client), '<b>"hot"</b>'
    for form, cell, more in (("heat", "value", {"probe": "2"}), ("turned", "day", {}), ("checked", "probes", {}),
                             ("measured", "value", {"quantity": "lead", "lab": "x"}), ("beans", "heights", {})):
        answer = client.post(f"{here}/{form}", data={**more, cell: text})
        assert answer.status_code == 422, form
        assert text not in answer.text
        assert text in unescape(answer.text), form
        assert "Nothing was kept" in answer.text
    again = client.post("/make/heaps/new", data={**START, "rule": text, "name": text})
    assert again.status_code == 422
    assert text in unescape(again.text)


def test_an_invented_heap_says_so_on_its_page_and_in_the_list(client: TestClient) -> None:
    here = started(client)
    for page in (client.get(here).text, client.get("/make").text):
        assert "Invented data." in re.sub(r'<p class="invented">.*?</p>|<figure.*?</figure>', "", page, flags=re.DOTALL)


def test_the_probes_stand_in_a_drawing_of_the_heap_each_with_what_it_read_last(client: TestClient) -> None:
    here = started(client)
    for day, warm in (("2015-05-03", "61 C"), ("2015-05-02", "40 C")):
        client.post(f"{here}/heat", data={"probe": "2", "value": warm, "day": day, "time": "8:00"})
    drawn = re.search(r'<div class="probes windrow">(.*?)</div>', client.get(here).text, re.DOTALL)
    assert drawn is not None
    assert "<svg" in drawn[1]
    marks = re.findall(r'value="(\d)"[^>]*> <b>\d</b>(?: <small>([^<]*)</small>)?', drawn[1])
    assert marks == [("1", ""), ("2", "142 °F"), ("3", "")]


def test_all_probes_of_the_key_are_those_read_by_hand_and_by_logger(client: TestClient) -> None:
    here = started(client)
    log = b"time,probe 1,probe 2\n2015-05-02 08:00,60,60\n2015-05-02 09:00,60,60\n"
    client.post(f"{here}/file", files={"file": ("log.csv", log)}, data={"unit": "C", "first_probe": "5"})
    key = re.search(r'name="probes" value="([\d ]+)"', client.get(here).text)
    assert key
    assert key[1] == "1 2 3 4 5 6"


def test_an_entry_is_corrected_and_taken_back(client: TestClient) -> None:
    here = started(client)
    page = client.post(f"{here}/heat", data={"probe": "1", "value": "60"}).text
    assert "Kept: Probe 1: 60 °F" in page
    entry = re.search(rf'{here}/entries/[\w-]+', page)
    assert entry
    assert "60" in client.get(entry[0]).text
    wrong = client.post(f"{entry[0]}/correct", data={"probe": "1", "value": "x"})
    assert wrong.status_code == 422
    page = client.post(f"{entry[0]}/correct", data={"probe": "1", "value": "140", "day": "2015-11-30",
                                                    "time": "8:00"}).text
    assert "Probe 1: 140 °F (60 °C)" in page
    assert "Corrected." in page
    assert client.post(f"{entry[0]}/take-back", data={"reason": ""}).status_code == 422
    page = client.post(f"{entry[0]}/take-back", data={"reason": "other heap"}).text
    assert "other heap" in page
    assert client.get(entry[0]).status_code == 404


def test_the_air_beside_a_heap_is_told_shown_and_corrected(client: TestClient) -> None:
    here = started(client)
    page = client.post(f"{here}/heat", data={"probe": "1", "value": "140", "air": "<i>cold</i>"}).text
    assert 'id="air-fault"' in page
    assert "&lt;i&gt;cold&lt;/i&gt;" in page
    page = client.post(f"{here}/heat", data={"probe": "1", "value": "140", "air": "41"}).text
    assert "Air: 41 °F (5 °C)." in page
    entry = re.search(rf'{here}/entries/[\w-]+', page)
    assert entry
    assert 'value="41 F"' in client.get(entry[0]).text
    told = {"probe": "1", "value": "140", "day": "2015-11-30", "time": "8:00"}
    assert "Air: 50 °F (10 °C)." in client.post(f"{entry[0]}/correct", data={**told, "air": "10 C"}).text
    assert "Air:" not in client.post(f"{entry[0]}/correct", data={**told, "air": ""}).text


def test_each_key_of_a_page_bears_a_mark_and_pressed_twice_tells_once(client: TestClient) -> None:
    here = started(client)
    page = client.get(here).text
    forms = re.findall(rf'action="{here}/(\w+)">\s*<input type="hidden" name="mark" value="([^"]+)"', page)
    assert [form for form, _ in forms] == ["heat", "turned", "checked", "measured", "beans", "turned", "checked",
                                         "hold"]
    assert len({mark for _, mark in forms}) == len(forms)
    more = {"heat": {"probe": "1", "value": "140"}, "checked": {"probes": "1 2"},
            "measured": {"quantity": "lead", "value": "41", "lab": "a laboratory"},
            "beans": {"seeds": "1", "heights": "4 4 4", "control": "4 4 4", "twisted": "0", "control_twisted": "0"}}
    for form, mark in forms[:5]:
        for _ in "12":
            page = client.post(f"{here}/{form}", data={**more.get(form, {}), "mark": mark}).text
    for what in ("Probe 1: 140 °F (60 °C)", "Turned", "Read right in ice water: probe 1, 2", "lead: 41 mg/kg dry",
                 "Beans: 0 of 3 twisted, 0 of 3 beside it"):
        assert page.count(f'<td data-th="What">{what}</td>') == 1, what


def test_a_figure_and_beans_told_wrongly_are_taken_back(client: TestClient) -> None:
    here = started(client)
    page = client.post(f"{here}/measured", data={"quantity": "lead", "value": "3000", "lab": "a laboratory"}).text
    assert "Kept: lead: 3000 mg/kg dry, 1 December 2015. By a laboratory." in " ".join(page.split())
    assert "holds lead 3000" in page
    entry = re.search(rf'{here}/entries/[\w-]+', page)
    assert entry
    page = client.post(f"{entry[0]}/take-back", data={"reason": "300.0"}).text
    assert "lead" not in title(page)
    assert "3000" not in page


def test_a_figure_and_beans_are_corrected_in_their_place(client: TestClient) -> None:
    here = started(client)
    told = {"quantity": "lead", "value": "3000", "lab": "a laboratory", "day": "2015-11-30"}
    beans = {"seeds": "1", "heights": "4 4 4.5", "control": "4 4 0", "twisted": "1", "control_twisted": "0"}
    for form, cells, shown, anew, so in (
            ("measured", told, ('value="3000"', "2015-11-30"), {"value": "not detected"}, "lead: none detected"),
            ("beans", beans, ('value="4 4 4.5"', 'value="4 4 0"'), {"twisted": "0"}, "Beans: 0 of 3 twisted")):
        page = client.post(f"{here}/{form}", data=cells).text
        entry = re.search(rf'{here}/entries/[\w-]+', page)
        assert entry
        asked = client.get(entry[0]).text
        assert all(each in asked for each in shown), form
        wrong = client.post(f"{entry[0]}/correct", data={**cells, "day": "<b>never</b>"})
        assert wrong.status_code == 422
        assert "&lt;b&gt;never&lt;/b&gt;" in wrong.text
        page = " ".join(client.post(f"{entry[0]}/correct", data={**cells, **anew}).text.split())
        assert so in page
        assert page.count("Corrected.") == (1 if form == "measured" else 2)
    assert "3000" not in page
    assert "Weedkiller" not in page


def test_what_was_just_told_is_undone_by_one_key_and_later_no_more(tmp_path: Path) -> None:
    moment = [NOW]
    with open_fieldbook(tmp_path / "own.sqlite") as book:
        for code in ("crew1", "crew2"):
            add_person(book.store, code, "Rowan Doe", code, "crew")
        tokens = {code: open_session(book.store, ("own", code), "browser", "", NOW, chance(len(code) + int(code[-1])))
                  for code in ("crew1", "crew2")}
    desk = Desk(tmp_path / "own.sqlite", lambda: moment[0], tmp_path)
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        client.cookies.set("rootcase", tokens["crew1"])
        here = started(client)
        twisted = {"seeds": "1", "heights": "4 4 4", "control": "4 4 4", "twisted": "1", "control_twisted": "0"}
        slots = []
        for form, cells in (("heat", {"probe": "1", "value": "140"}), ("heat", {"probe": "2", "value": "140"}),
                            ("measured", {"quantity": "lead", "value": "30", "lab": "x"}), ("beans", twisted)):
            page = client.post(f"{here}/{form}", data=cells).text
            slot = re.search(r'name="slot" value="([^"]+)"', page)
            assert (slot is None) == (form == "beans")
            slots += [slot[1]] if slot else []
        page = client.post(f"{here}/undo", data={"slot": slots[0]}).text
        assert "Undone. Both stay in the record." in page
        assert "Probe 1: 140" not in page
        assert client.post(f"{here}/undo", data={"slot": slots[0]}).status_code == 422
        client.cookies.clear()
        client.cookies.set("rootcase", tokens["crew2"])
        assert client.post(f"{here}/undo", data={"slot": slots[1]}).status_code == 422
        client.cookies.clear()
        client.cookies.set("rootcase", tokens["crew1"])
        moment[0] += timedelta(seconds=61)
        late = client.post(f"{here}/undo", data={"slot": slots[1]})
        assert late.status_code == 422
        assert "only who has just told something undoes it" in late.text
        assert "Probe 2: 140" in late.text


def test_what_bars_a_heap_is_taken_back_by_who_may_free_heaps(tmp_path: Path) -> None:
    tokens = {}
    with open_fieldbook(tmp_path / "own.sqlite") as book:
        for code, role in (("owner1", "owner"), ("crew1", "crew")):
            add_person(book.store, code, "Rowan Doe", code, role)  # type: ignore[arg-type]
            tokens[code] = open_session(book.store, ("own", code), "browser", "", NOW, chance(len(code)))
    desk = Desk(tmp_path / "own.sqlite", lambda: NOW, tmp_path)
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        client.cookies.set("rootcase", tokens["crew1"])
        here = started(client)
        lead = {"quantity": "lead", "value": "30", "lab": "a laboratory"}
        twisted = {"seeds": "1", "heights": "4 4 4", "control": "4 4 4", "twisted": "1", "control_twisted": "0"}
        entries = [re.search(rf'{here}/entries/[\w-]+', client.post(f"{here}/{form}", data=cells).text)
                   for form, cells in (("measured", lead), ("measured", {**lead, "value": "301"}), ("beans", twisted))]
        sound, over, beans = (each[0] for each in entries if each)
        assert "Who may free heaps corrects it or takes it back." in client.get(beans).text
        answers = [client.post(f"{each}/take-back", data={"reason": "slip"}).status_code
                   for each in (sound, over, beans)]
        assert answers == [200, 403, 403]
        assert [client.post(f"{each}/correct", data=cells).status_code for each, cells in (
            (over, lead), (beans, {**twisted, "twisted": "0"}))] == [403, 403]
        assert "Weedkiller likely" in client.get(here).text
        client.cookies.clear()
        client.cookies.set("rootcase", tokens["owner1"])
        assert "Weedkiller likely" not in client.post(f"{beans}/take-back", data={"reason": "slip"}).text


def test_a_number_in_the_other_degrees_is_kept_and_asked_about(client: TestClient) -> None:
    here = started(client)
    client.post(f"{here}/heat", data={"probe": "1", "value": "140", "day": "2015-11-30", "time": "8:00"})
    page = client.post(f"{here}/heat", data={"probe": "1", "value": "61"}).text
    assert "Kept, but was it 61 °C? This probe read 60 °C before." in page
    page = client.post(f"{here}/heat", data={"probe": "1", "value": "16 C"}).text
    assert page.count("but was it") == 1


def test_a_further_probe_is_offered_and_a_reading_no_heap_gives_is_kept_with_a_doubt(client: TestClient) -> None:
    here = started(client)
    assert '<input type="radio" name="probe" value="4"' in client.get(here).text
    page = client.post(f"{here}/heat", data={"probe": "4", "value": "-40"}).text
    assert "Kept, but hardly what a heap reads." in page
    assert '<input type="radio" name="probe" value="5"' in page


def test_a_file_tells_what_it_brought_and_asks_what_it_does_not_say(client: TestClient) -> None:
    here, log = started(client), b"time,probe\n2015-05-02 08:00,60\n2015-05-02 09:00,60\n"
    asked = client.post(f"{here}/file", files={"file": ("log.csv", log)})
    assert asked.status_code == 422
    assert "degrees F or C" in asked.text
    told = client.post(f"{here}/file", files={"file": ("log.csv", log)}, data={"unit": "C"})
    assert "Probe 1: 2 readings of the column probe." in told.text
    again = client.post(f"{here}/file", files={"file": ("log.csv", log)}, data={"unit": "C"})
    assert "are known; nothing changes." in again.text


def test_the_particulars_are_told_anew_and_readings_stay(client: TestClient) -> None:
    here = started(client)
    client.post(f"{here}/heat", data={"probe": "1", "value": "140"})
    form = client.get(f"{here}/particulars").text
    assert 'value="2015-05-01"' in form
    wrong = client.post(f"{here}/particulars", data={**START, "rule": "bioabfv_60", "name": "<b>"})
    assert wrong.status_code == 422
    assert "&lt;b&gt;" in wrong.text
    page = client.post(f"{here}/particulars", data={**START, "name": "North", "shape": "static", "rule": "nop_other",
                                                    "every_part": "yes"}).text
    assert "Heap North" in page
    assert "the US organic rule for other compost" in page
    assert "Probe 1: 140 °F (60 °C)" in page


def test_twisted_beans_stand_above_everything(client: TestClient) -> None:
    here = started(client)
    page = client.post(f"{here}/beans", data={"seeds": "1", "heights": "4 4 4", "control": "4 4 4", "twisted": "1",
                                              "control_twisted": "0"}).text
    assert "Weedkiller likely in heap 4. Not for trees, beds or extract." in page
    held = client.post(f"{here}/hold", data={"reason": "hay"}).text
    assert "hay." in held
    assert "Free the heap" in held
    unseen = client.post(f"{here}/free", data={"reason": "asked"}).text
    assert "Weedkiller likely in heap 4." in unseen
    lifts = re.search(r'name="lifts" value="([^"]+)"', unseen)
    assert lifts
    freed = client.post(f"{here}/free", data={"reason": "asked again", "lifts": lifts[1]}).text
    assert "Weedkiller likely in heap 4." not in freed
    assert "Hold the heap" in freed
    assert ": hay</li>" in freed
    assert client.get("/make/heaps/none").status_code == 404


def test_materials_beyond_the_second_are_folded_away_until_they_are_told(client: TestClient) -> None:
    empty = client.get("/make/recipe").text
    told = client.get("/make/recipe", params={"5.amount": "3 buckets"}).text
    assert empty.index("2.feedstock") < empty.index("More materials") < empty.index("3.feedstock")
    assert told.index("5.feedstock") < told.index("More materials") < told.index("3.feedstock")


def test_a_recipe_is_worked_out_and_a_heap_started_with_it(client: TestClient) -> None:
    typed = {"work": "1", "1.feedstock": "straw_general", "1.amount": "100 kg", "2.feedstock": "vegetable_wastes",
             "2.moisture": "70", "2.nitrogen": "2.4", "2.cn": "15", "goal_moisture": "60", "goal_cn": "30"}
    page = client.get("/make/recipe", params=typed)
    assert title(page.text) == "Add 629 lb (285 kg) of vegetable wastes and 107 lb (48.7 kg) water."
    assert "On-Farm Composting Handbook" in page.text
    onward = re.search(r'href="(/make/heaps/new\?[^"]*)"', page.text)
    assert onward
    form = client.get(unescape(onward[1])).text
    hidden = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form))
    here = client.post("/make/heaps/new", data={**START, **hidden, "1.bought_from": "A farm", "1.lot": "row 3"})
    assert "Straw: 220 lb (100 kg), 12 % moist. From A farm, row 3. Figures: On-Farm" in here.text
    assert "From A farm, row 3." in here.text
    assert "C:N at the start: 30 (" in here.text


def test_a_recipe_that_is_refused_or_wrong_keeps_what_was_typed(client: TestClient) -> None:
    text = '<b>"much"</b>'
    page = client.get("/make/recipe", params={"work": "1", "1.feedstock": "leaves", "1.amount": text})
    assert page.status_code == 422
    assert text not in page.text
    assert text in unescape(page.text)
    assert client.post("/make/heaps/new", data={**START, "1.feedstock": text}).status_code == 422
    none = client.get("/make/recipe", params={"work": "1", "1.feedstock": "sawdust", "1.amount": "9 kg",
                                              "2.feedstock": "leaves", "goal_cn": "30"})
    assert title(none.text) == "These materials cannot meet the C:N."
    assert client.get("/make/recipe").status_code == 200
