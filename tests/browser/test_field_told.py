"""What a phone says of what was read: notes, signs, units, samples, marks, what stood before, what waits."""

from __future__ import annotations

from playwright.sync_api import Browser, Route, expect

from tests.browser.pages import Known
from tests.browser.test_field_walk import LATER, picture
from tests.browser.walking import Walk


def test_what_another_phone_told_before_stays_in_sight(walk: Walk) -> None:
    oak, page = walk.tree("oak 7"), walk.page
    there = next(each for each in walk.ground()["readings"] if each["kind"] == "dbh" and each["of"] == oak)
    before = [{"id": f"before {typed}", "typed": typed, "made_at": f"2015-01-0{at}T09:00:00.000Z", "device": "phone B",
               "reason": "slip" if at > 1 else ""} for at, typed in ((1, "14 cm"), (2, "15 cm"))]
    told = [{**each, "before": before} for each in walk.ground()["readings"] if each["id"] == there["id"]]
    page.evaluate(LATER, [walk.property, {"readings": told}])
    walk.go("reading", str(there["id"]))
    expect(page.locator("del")).to_have_text(["14 cm", "15 cm"])
    walk.go("reading", "before 14 cm")
    expect(page.locator("main h1")).to_have_text("14 cm")
    expect(page.get_by_role("link", name="Corrected: it is")).to_contain_text(there["typed"])
    expect(page.locator(".list b")).to_have_text(there["typed"])


def test_a_screen_opened_before_its_property_came_is_shown_anew(browser: Browser, demo: Known) -> None:
    context = browser.new_context(service_workers="block")
    page, held = context.new_page(), list[Route]()

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/api/field/properties/*", hold)
    page.goto(f"{demo.address}/field#/tree/{demo.ids['property_id']}/{demo.ids['tree_id']}")
    expect(page.locator("main")).to_contain_text("could not be shown")
    held.pop().continue_()
    expect(page.locator("#of")).to_contain_text("oak")
    expect(page.get_by_role("link", name="First look")).to_be_visible()
    context.close()


def test_what_can_lie_under_zero_has_a_minus(walk: Walk) -> None:
    tree = walk.tree("oak 3")
    walk.go("form", tree, "visit", "air_temperature")
    walk.type("4")
    walk.tap("minus")
    walk.save("Save \u22124 °F")
    kept = [each for each in walk.ground()["readings"] if each["own"] and each["kind"] == "air_temperature"]
    assert [(each["typed"], each["value"]) for each in kept] == [("\u22124 °F", -20)]
    walk.go("form", tree, "crown", "crown_density")
    expect(walk.page.get_by_role("button", name="minus")).to_have_count(0)
    expect(walk.page.locator(".pad").get_by_role("button", name="½")).to_have_count(1)


def test_what_is_of_a_visit_is_not_moved_to_another_tree(walk: Walk) -> None:
    walk.go("form", walk.tree("oak 3"), "visit", "air_temperature")
    walk.type("5")
    walk.save("Save 5 °F")
    kept = next(each for each in walk.ground()["readings"] if each["own"] and each["kind"] == "air_temperature")
    walk.go("reading", str(kept["id"]))
    expect(walk.page.get_by_role("link", name="Correct")).to_be_visible()
    expect(walk.page.get_by_role("link", name="Wrong tree")).to_have_count(0)


def test_what_the_method_sends_to_the_note_has_one(walk: Walk) -> None:
    tree = walk.tree("oak 3")
    walk.go("form", tree, "counts", "borer_hole_count")
    expect(walk.page.locator(".question")).to_contain_text("Looked at: on the lowest 6.6 ft (2 m)")
    walk.page.get_by_label("Note").fill("4 mm wide")
    walk.page.locator(".tally").click()
    walk.save("Save 1")
    assert walk.read(tree, "borer_hole_count")[0]["attributes"] == {"note": "4 mm wide"}


def test_our_own_lengths_are_told_for_the_tape(walk: Walk) -> None:
    cases = [["us", "on 10 twigs of 10 cm"], ["us", "Soil temperature at 10 cm (4 in)"],
             ["us", "10 shoots of 30 cm (1 ft)"], ["us", "the lowest 2 m, and"],
             ["us", "under 10 ft (3 m)"], ["metric", "at 10 cm (4 in)"]]
    told = walk.page.evaluate("""async cases => { const { wordsFor } = await import('/static/field/units.js');
      return cases.map(([system, text]) => wordsFor(system, text)); }""", cases)
    assert told == ["on 10 twigs of 3.9 in (10 cm)", "Soil temperature at 4 in (10 cm)", "10 shoots of 1 ft (30 cm)",
                    "the lowest 6.6 ft (2 m), and", "under 10 ft (3 m)", "at 10 cm (4 in)"]


def test_a_visit_keeps_its_unit_and_the_other_one_stands_beside(walk: Walk) -> None:
    tree, page = walk.tree("oak 1"), walk.page
    walk.go("settings")
    page.get_by_label("Centimetres").check()
    walk.go("form", tree, "tree", "dbh_height")
    expect(page.locator(".unit")).to_have_text("ft")
    walk.type("4½")
    walk.save("Save 4 ½ ft")
    walk.go("settings")
    expect(page.locator("main")).to_contain_text("A visit that is open keeps the unit it began with")
    page.get_by_label("Inches").check()
    beside = """async typed => { const { besideTyped } = await import('/static/field/units.js');
      const { catalogue } = await import('/static/field/catalogue.js');
      return ['us', 'metric'].map(system =>
        besideTyped(catalogue.kinds.shoot_length_last, { typed, value: 76.2 }, system)); }"""
    assert page.evaluate(beside, "3 in") == ["7.6 cm", "7.6 cm"]
    assert page.evaluate(beside, "7.62 cm") == ["3 in", "3 in"]


def test_a_new_sample_is_opened_by_what_goes_into_the_bag(walk: Walk) -> None:
    tree, page = walk.tree("oak 3"), walk.page
    walk.go("form", tree, "sample")
    walk.asked("Which sample, or a new one?")
    walk.choose("leaves")
    expect(page.locator("#of")).to_contain_text("Sample for the laboratory, question")
    walk.go("form", tree, "sample")
    expect(page.get_by_role("link", name="oak 3 sample 1")).to_be_visible()
    ground = walk.ground()
    sample = next(each for each in ground["samples"] if each["label"] == "oak 3 sample 1")
    assert [each["choice"] for each in ground["readings"] if each["of"] == sample["id"]] == ["leaf"]


def test_a_photo_of_no_mark_is_asked_for_one(walk: Walk) -> None:
    tree, page = walk.tree("oak 8"), walk.page
    walk.go("look", tree, "flare")
    page.set_input_files("input[type=file]", picture(10))
    page.get_by_role("link", name="Photo: from where?").click()
    page.get_by_label("Where one stands").fill("at the bench")
    walk.save("Save")
    assert [each["attributes"]["mark"] for each in walk.read(tree, "tree_photo")] == ["at the bench"]


def test_what_waits_can_be_looked_through_and_signing_out_asks(walk: Walk) -> None:
    page = walk.page
    walk.go("waiting")
    walk.tap("Look through them")
    expect(page.get_by_role("link", name="Borer exit holes 1")).to_be_visible()
    expect(page.locator("li", has_text="Borer exit holes 1")).to_contain_text("oak 3")
    with page.expect_download():
        walk.tap("Save them as a file")
    expect(page.locator("main")).to_contain_text("is in this phone's downloads")
    walk.go("phone")
    walk.tap("Sign out of this phone")
    expect(page.locator("main")).to_contain_text("are not sent. Signed out now they are locked here")
    expect(page.get_by_role("button", name="Sign out and lock them")).to_be_visible()


def test_a_wrong_tree_where_there_is_one_alone_is_answered(walk: Walk) -> None:
    told = walk.page.evaluate("""async () => { const { moveKeys } = await import('/static/field/move.js');
      const reading = { id: 'r', of: 't', stands: true, visit_id: 'v', property: 'p' };
      const host = moveKeys({ field: {}, reading,
        ground: { trees: [{ id: 't', label: 'oak' }], pits: [], readings: [reading] } });
      return [host.textContent, host.querySelector('a').hash]; }""")
    assert "No other tree is known at this property." in told[0]
    assert told[1] == "#/trees/p/new"
