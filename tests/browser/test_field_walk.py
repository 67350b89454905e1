"""The full reading on a phone out of reach: forms, pits, counts, photos, correcting, two people, the yardstick."""

from __future__ import annotations

import json
import random
import shutil
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import FilePayload, expect

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.store.sent import Sent
from rootcase.ground.dates import last_finished_season
from rootcase.records.people import UNBOUND, Bounds
from tests.browser.looking import RULES
from tests.browser.walking import BOOK, HALF_TYPED, HALVES, Walk

MOVED = '"reason":"belongs to '
LATER_ON = datetime(2099, 1, 1, tzinfo=UTC)
LATER = f"""([id, more]) => {BOOK}.then(async book => {{
  const ground = (await book.grounds()).find(each => each.id === id);
  await book.takeGround(id, {{ ...ground, ...more, readings: [...ground.readings, ...(more.readings ?? [])] }}); }})"""


def test_a_form_asks_one_thing_after_the_other_and_keeps_each(walk: Walk) -> None:
    tree = walk.tree("oak 3")
    walk.go("walk", tree)
    walk.asked("minutes of reading are left here")
    walk.page.get_by_role("link", name="The tree", exact=True).click()
    walk.asked("Anything that could fail")
    walk.choose("none seen")
    walk.asked("Stage of the season")
    walk.choose("dormant")
    walk.asked("Photo of the whole tree")
    walk.save("Not read could not be")
    walk.asked("Cultivar")
    walk.tap("Next")
    walk.asked("Tag or number")
    walk.page.fill("main input", "B 12")
    walk.save("Save")
    walk.asked("Trunk diameter")
    walk.type("15½")
    walk.save("Save 15 ½ in")
    walk.asked("Height at which")
    assert [each["typed"] for each in walk.read(tree, "dbh")] == ["15 ½ in"]
    assert walk.read(tree, "dbh")[0]["value"] == pytest.approx(15.5 * 25.4)
    assert walk.read(tree, "tree_photo")[0]["nothing"] == "not read"
    assert walk.page.evaluate(HALVES) == []


def test_season_and_tools_decide_what_is_asked_and_nothing_is_barred(walk: Walk) -> None:
    tree = walk.tree("oak 4")
    walk.go("form", tree, "crown", "crown_dieback")
    expect(walk.page.locator("main")).to_contain_text("Out of season: shown, not compared.")
    walk.go("walk", tree)
    walk.page.locator("summary").click()
    expect(walk.page.locator("details li", has_text="Crown dieback")).to_contain_text("leaves are not full")
    list_of = walk.page.locator("main > .list li", has_text="The tree").locator(".beside").first.inner_text()
    walk.page.get_by_role("link", name="Crown density").click()
    expect(walk.page.locator("#of")).to_contain_text("Crown, not for today")
    walk.type("20")
    walk.save("Save 20 %")
    walk.tap("Next")
    expect(walk.page.locator("main h1")).not_to_contain_text("Crown density")
    expect(walk.page.locator("#of")).to_contain_text("Crown, not for today")
    walk.go("form", tree, "tree")
    expect(walk.page.locator("#of")).to_contain_text(f"question 1 of {list_of.split()[2]}")
    walk.go("tools", tree)
    walk.page.get_by_label("penetrometer").uncheck()
    walk.go("walk", tree)
    walk.page.locator("summary").click()
    expect(walk.page.locator("details")).to_contain_text("no penetrometer on the truck")


def test_no_number_no_digging_and_fuel_stops_it(walk: Walk) -> None:
    tree, page = walk.tree("oak 5"), walk.page
    walk.go("form", tree, "depth")
    expect(page.locator("#of")).to_have_text("Pits")
    expect(page.locator(".compass")).to_have_count(0)
    page.get_by_label("Utility locate number").fill("N 4711")
    page.get_by_label("Locate marks good until").fill("2016-01-14")
    walk.tap("Save number")
    expect(page.locator(".count")).to_contain_text("good until 14 January 2016, and that has passed")
    page.get_by_label("Utility locate number").fill("")
    walk.tap("Save number")
    expect(page.locator(".count")).to_contain_text("Give the number of the ticket.")
    page.get_by_label("Utility locate number").fill("N 4711")
    page.get_by_label("Locate marks good until").fill("2016-01-20")
    walk.tap("Save number")
    expect(page.locator("main")).to_contain_text("number N 4711, marks good until 20 January 2016")
    walk.save("south-east")
    walk.asked("what next?")
    page.get_by_role("link", name="Soil at 3 to 6 in").click()
    expect(page.locator(".still")).to_contain_text("3 to 6 in")
    walk.asked("Moisture")
    walk.tap("Next")
    pit = walk.read(tree, "pit_bearing")[0]
    assert pit["value"] == 135
    walk.go("form", tree, "depth", "pocket_penetration", str(pit["of"]), "1")
    walk.type("2")
    walk.save("Save 2 ton/ft²")
    expect(page.locator("main")).to_contain_text("until the moisture at 3 to 6 in is in: squeeze a lump now.")
    kept = walk.read(tree, "pocket_penetration")[0]
    assert (kept["depth_from_m"], kept["depth_to_m"]) == (0.0762, 0.1524)
    walk.go("missing", tree)
    expect(page.locator("main")).to_contain_text("will not explain anything until this is in")
    walk.go("form", tree, "depth", "soil_moisture_feel", str(pit["of"]), "1")
    walk.choose("saturated")
    walk.go("missing", tree)
    expect(page.locator(".caution", has_text="until this is in").get_by_role("link", name="Moisture")).to_have_count(0)
    walk.go("form", tree, "tests", "infiltration_time", str(pit["of"]))
    expect(page.locator("main")).to_contain_text("Soil drips.")
    walk.go("form", tree, "depth", "soil_smell", str(pit["of"]), "1")
    walk.choose("chemical")
    expect(page.locator(".stop")).to_contain_text("Stop digging at")
    walk.go("form", tree, "depth", "texture_feel", str(pit["of"]), "1")
    expect(page.locator(".stop")).to_be_visible()
    walk.go("pit", tree)
    walk.save("north")
    walk.asked("spot 2: what next?")
    walk.go("form", tree, "pit", "litter_depth", str(walk.read(tree, "pit_bearing")[-1]["of"]))
    walk.asked("litter")


def test_cover_of_the_pit_before_carries_over(walk: Walk) -> None:
    tree = walk.tree("oak 5")
    first, second = (str(each["of"]) for each in walk.read(tree, "pit_bearing"))
    walk.go("form", tree, "pit", "sheet_under_mulch", second)
    walk.choose("fabric")
    walk.asked("Crust")
    third = walk.read(tree, "sheet_under_mulch")[0]
    walk.go("form", tree, "pit", "sheet_under_mulch", second)
    walk.go("pit", tree)
    walk.save("west")
    walk.asked("spot 3: what next?")
    last = str(walk.read(tree, "pit_bearing")[-1]["of"])
    walk.go("form", tree, "pit", "sheet_under_mulch", last)
    walk.and_on(walk.page.get_by_role("button", name="The same as"))
    assert [each["choice"] for each in walk.read(tree, "sheet_under_mulch")] == [third["choice"]] * 2
    assert first not in (second, last)


def test_a_count_lasts_through_a_kill_and_leaves_nothing_half_typed(walk: Walk) -> None:
    tree, page = walk.tree("oak 6"), walk.page
    walk.go("form", tree, "counts", "helper_count")
    for _ in range(5):
        page.locator(".tally").click()
    walk.tap("One less")
    who = page.evaluate(f"{BOOK}.then(book => book.self()).then(self => `${{self.practice}}/${{self.person}}`)")
    assert page.evaluate(HALF_TYPED, [4])
    assert page.evaluate(HALVES) == [[f"{who}/2016-01-15/tally/{tree}/helper_count", 4]]
    page.reload()
    expect(page.locator(".tally output")).to_have_text("4")
    walk.tap("Save 4")
    expect(page.locator(".count")).to_contain_text("how much you looked at")
    walk.tap("20 leaves")
    walk.save("Save 4")
    walk.asked("left open here")
    kept = walk.read(tree, "helper_count")[0]
    assert (kept["value"], kept["attributes"]) == (4, {"effort": "20_leaves"})
    assert page.evaluate(HALVES) == []


def test_a_shoot_is_read_back_year_by_year(walk: Walk) -> None:
    tree = walk.tree("oak 6")
    walk.go("form", tree, "shoots", "shoot_position")
    walk.choose("upper")
    walk.asked("Shoot length, several years back")
    walk.go("form", tree, "shoots", "shoot_length_by_year")
    for digits, year in (("4", 2015), ("3½", 2014)):
        expect(walk.page.locator(".question")).to_contain_text(f"year {year}")
        walk.type(digits)
        walk.save(f"Save {digits.replace('½', ' ½')} in")
    walk.tap("Next")
    letters = walk.page.evaluate(f"{BOOK}.then(book => book.self()).then(self => self.start.phone.letters)")
    expect(walk.page.locator(".question")).to_contain_text(f"Shoot {letters}2, year 2015")
    read = walk.read(tree, "shoot_length_by_year")
    assert [(each["series"], each["growth_year"], each["attributes"]) for each in read] == [
        (f"{letters}1", 2015, {"position": "upper"}), (f"{letters}1", 2014, {"position": "upper"})]


def test_the_covers_of_a_ring_make_the_whole(walk: Walk) -> None:
    tree = walk.tree("oak 6")
    walk.go("form", tree, "ground", "cover_share_by_ring")
    for _ in range(9):
        walk.tap("more turf")
    walk.tap("Save: within 3.3 ft (1 m) of the trunk")
    expect(walk.page.locator(".count").first).to_contain_text("should make 100 %")
    walk.tap("more bare")
    walk.save("Save: within 3.3 ft (1 m) of the trunk")
    expect(walk.page.locator(".question")).to_contain_text("Ring: to half the crown")
    expect(walk.page.locator(".saved li").last).to_contain_text("10 %, bare, within 3.3 ft (1 m)")
    read = walk.read(tree, "cover_share_by_ring")
    assert [(each["typed"], each["value"], each["attributes"]["cover"]) for each in read] == [
        ("90 %", 0.9, "turf"), ("10 %", 0.1, "bare")]


def picture(shade: int) -> FilePayload:
    drawn = Image.new("RGB", (40, 60), "white")
    drawn.paste((shade, shade, shade), (10, 20, 30, 60))
    held = BytesIO()
    drawn.save(held, "JPEG")
    return {"name": "tree.jpg", "mimeType": "image/jpeg", "buffer": held.getvalue()}


def test_the_picture_from_before_is_outlined_over_the_new_one(walk: Walk) -> None:
    tree, page = walk.tree("oak 7"), walk.page
    walk.go("form", tree, "tree", "tree_photo")
    page.set_input_files("input[type=file]", picture(10))
    page.get_by_label("Where one stands").fill("by the gate")
    walk.save("Save photo")
    walk.asked("Cultivar")
    kept = walk.read(tree, "tree_photo")[0]
    assert kept["attributes"]["mark"] == "by the gate"
    assert page.evaluate(f"mark => {BOOK}.then(book => book.photo(mark)).then(blob => blob.size)",
                         kept["attributes"]["photo"]) == len(picture(10)["buffer"])
    before = {**kept, "id": "before", "slot": "before", "day": "2015-06-01", "own": False}
    page.evaluate(LATER, [walk.property, {"readings": [before]}])
    walk.go("form", tree, "tree", "tree_photo")
    expect(page.locator("main")).to_contain_text("Stand: by the gate. Grey is the outline of 1 June 2015.")
    grey = """() => { const frame = document.querySelector('.frame');
      const { data } = frame.getContext('2d').getImageData(0, 0, frame.width, frame.height);
      let edges = 0;
      for (let at = 0; at < data.length; at += 4) edges += data[at] === 90 && data[at + 3] === 255;
      return edges; }"""
    expect(page.locator(".frame")).to_be_visible()
    assert page.evaluate(grey) > 100


def test_a_slip_is_corrected_and_both_stay(walk: Walk) -> None:
    tree, page = walk.tree("oak 3"), walk.page
    slip = walk.read(tree, "dbh")[0]
    walk.go("reading", str(slip["id"]), "correct")
    walk.type("14")
    walk.tap("Why is it corrected?")
    assert walk.read(tree, "dbh") == [slip]
    walk.tap("Next")
    expect(page.locator(".count")).to_contain_text("14 is not saved.")
    expect(page.get_by_role("button", name="Leave it as it was")).to_be_visible()
    walk.tap("looked again")
    walk.save("Save 14 in")
    expect(page.locator("main")).to_contain_text("Corrected: 14 in, was 15 ½ in. Both stay in the record.")
    expect(page.locator("del")).to_have_text("15 ½ in")
    right = walk.read(tree, "dbh")[0]
    assert (right["typed"], right["reason"], right["supersedes"]) == ("14 in", "looked again", slip["id"])
    walk.go("reading", str(right["id"]), "back")
    walk.tap("Take back")
    expect(page.locator(".count")).to_contain_text("Say why")
    page.get_by_label("Why is it taken back?").fill("tape was broken")
    walk.save("Take back")
    expect(page.locator("main")).to_contain_text("It stays in the record.")
    assert walk.read(tree, "dbh") == []


def test_two_corrections_of_one_reading_are_both_shownand_one_is_chosen(walk: Walk) -> None:
    oak = walk.tree("oak 8")
    there = next(each for each in walk.ground()["readings"] if each["kind"] == "dbh" and each["of"] == oak)
    rival = {"id": "0" * 8, "typed": "14.4 in", "made_at": "2016-01-15T09:00:00.000Z", "device": "phone B"}
    told = [{**each, "rivals": [rival]} for each in walk.ground()["readings"] if each["id"] == there["id"]]
    walk.page.evaluate(LATER, [walk.property, {"readings": told}])
    walk.go("reading", str(there["id"]))
    expect(walk.page.locator("main")).to_contain_text(f"Two corrections of one reading: {there['typed']} and 14.4 in.")
    walk.save("14.4 in is right")
    expect(walk.page.locator("main h1")).to_have_text("14.4 in")
    assert walk.read(str(there["of"]), "dbh")[0]["value"] == pytest.approx(14.4 * 25.4)


def test_a_look_at_the_wrong_tree_moves_as_one(walk: Walk) -> None:
    wrong, right = walk.tree("oak 5"), walk.tree("oak 8")
    before = len([each for each in walk.ground()["readings"] if each["stands"] and each["own"]])
    walk.go("reading", str(walk.read(wrong, "pocket_penetration")[0]["id"]), "move")
    walk.tap("oak 8")
    walk.page.get_by_role("button", name="Move").click()
    expect(walk.page.locator("header")).to_contain_text("oak 8")
    moved = walk.read(right, "pocket_penetration")
    assert [(each["typed"], each["depth_from_m"]) for each in moved] == [("2 ton/ft²", 0.0762)]
    assert walk.read(wrong, "pocket_penetration") == []
    read = [each for each in walk.ground()["readings"] if each["slot"] == moved[0]["slot"]]
    assert {each["visit_id"] for each in read} == {moved[0]["visit_id"]}
    assert [each["stands"] for each in sorted(read, key=lambda each: str(each["id"]))] == [False, True]
    assert before == len([each for each in walk.ground()["readings"] if each["stands"] and each["own"]])


def test_what_the_other_phone_read_stands_on_the_list(walk: Walk) -> None:
    tree, page = walk.tree("oak 4"), walk.page
    mine = {"kind": "crown_dieback", "of": tree, "visit_id": "v", "day": "2016-01-15", "observer": "phone 1",
            "value": 0.2, "typed": "20 %", "attributes": {}, "doubts": [], "made_at": "2016-01-15T09:00:00.000Z",
            "id": "d1", "slot": "d1"}
    other = {**mine, "id": "d2", "slot": "d2", "observer": "phone 2", "value": 0.45, "typed": "45 %"}
    page.evaluate(LATER, [walk.property, {"readings": [mine, other], "heard": "2016-01-15T10:42:00.000Z"}])
    walk.go("walk", tree)
    heard = page.evaluate("new Date('2016-01-15T10:42:00.000Z').toTimeString().slice(0, 5)")
    expect(page.locator("main")).to_contain_text(f"phone 2 read oak 4; heard {heard}.")
    expect(page.locator("main")).to_contain_text("Crown dieback: 20 % and 45 %. Far apart: look together?")
    walk.go("divide", tree)
    walk.tap("I take the crowns, you the pits")
    walk.go("walk", tree)
    expect(page.locator(".list li", has_text="Soil by depth")).to_contain_text("the other's today")


def test_a_yardstick_is_checked_before_it_is_one(walk: Walk) -> None:
    tree, other, page = walk.tree("oak 1"), walk.tree("oak 4"), walk.page
    walk.go("yardstick", tree)
    walk.asked("For which tree is oak 1 a yardstick?")
    walk.go("yardstick", tree, other)
    expect(page.locator("li", has_text="Species")).to_contain_text("fits")
    expect(page.locator("main")).to_contain_text("One tree is an illustration.")
    walk.tap("Use as yardstick for oak 4")
    expect(page.locator(".count")).to_contain_text("fed or watered")
    walk.tap("nobody")
    page.get_by_label("Why is it the reference?").fill("deep litter, never mown")
    walk.save("Use as yardstick for oak 4")
    expect(page.locator("#of")).not_to_have_text("Yardstick")


def test_nothing_that_could_fail_is_read_under(walk: Walk) -> None:
    tree = walk.tree("oak 2")
    walk.go("form", tree, "tree", "structural_concern")
    walk.choose("seen")
    expect(walk.page.locator("main")).to_contain_text("No work under oak 2")
    expect(walk.page.get_by_role("link", name="Soil by depth")).to_have_count(0)
    walk.go("pit", tree)
    expect(walk.page.locator(".compass")).to_have_count(0)


def test_the_fieldbook_takes_in_all_of_it(walk: Walk, desk_folder: Path, tmp_path: Path) -> None:
    sent = walk.page.evaluate(f"""() => {BOOK}.then((book) => book.unsent()).then(({{ events }}) => events.map(
        ({{ practice, person, ...each }}) => each))""")
    shutil.copy(desk_folder / "demo.sqlite", tmp_path / "demo.sqlite")
    with open_fieldbook(tmp_path / "demo.sqlite", now=lambda: LATER_ON) as book:
        # What was moved is sent by somebody who speaks of nobody else's visits.
        taken = [book.taking_in.take([Sent(**each)], LATER_ON, within=Bounds("crew2") if MOVED in each["body"]
                                     else UNBOUND)[0] for each in sent]
        assert [(each.state, each.error) for each in taken if each.state != "new"] == []
        record = book.record(walk.property)
    assert len(sent) > 40
    assert any(MOVED in each["body"] for each in sent)
    named = [json.loads(each["body"]) for each in sent if each["kind"] == "yardstick_named"]
    assert [each["reason"] for each in named] == ["soil: deep litter, never mown; nobody"]
    assert any(walk.tree("oak 1") in each.tree_ids for each in record.yardsticks)


def test_the_years_of_shoots_are_those_of_the_desk(walk: Walk) -> None:
    chance = random.Random(5)
    days = [date(chance.randint(2000, 2030), chance.randint(1, 12), chance.randint(1, 28)).isoformat()
            for _ in range(120)]
    days += [f"2015-{end}" for end in ("06-20", "06-21", "12-20", "12-21", "06-30", "07-01")]
    cases = [(day, latitude) for day in days for latitude in (47.0, -37.8)]
    found = walk.page.evaluate("""async cases => { const { newestYear } = await import('/static/field/forms.js');
      return cases.map(([day, latitude]) => newestYear(day, latitude)); }""", cases)
    assert found == [last_finished_season(date.fromisoformat(day), latitude) for day, latitude in cases]


QUICK = (("walk",), ("form", "ground", "cover_share_by_ring"))
LONG = (("missing",), ("tools",), ("divide",), ("form", "tree", "dbh"), ("form", "tree", "leaf_stage"),
        ("form", "tree", "tree_photo"), ("form", "counts", "helper_count"), ("form", "shoots", "shoot_length_by_year"),
        ("pit",), ("pit", "rod"), ("yardstick",))


@pytest.mark.parametrize("screen", [*QUICK, *(pytest.param(each, marks=pytest.mark.full) for each in LONG)],
                         ids="-".join)
def test_a_screen_fits_a_gloved_thumb_and_a_small_phone(walk: Walk, screen: tuple[str, ...]) -> None:
    name, *parts = screen
    page = walk.page
    page.set_viewport_size({"width": 320, "height": 640})
    walk.go(name, walk.tree("oak 7"), *parts)
    wrong = page.evaluate("[...lostSideways(), ...spilled(), ...smallTargets(), ...faintText()]")
    wrong += [f"axe {each['id']} {each['nodes'][0]['html'][:120]}"
              for each in Axe().run(page, None, RULES).response["violations"]]
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    wrong += page.evaluate("[...lostSideways(), ...spilled()]")
    page.evaluate("document.documentElement.style.fontSize = ''")
    page.set_viewport_size({"width": 360, "height": 800})
    assert wrong == []
