"""The job sheet on a phone: extract is logged from one of the day's tanks, and what is missing is told above."""

from __future__ import annotations

from playwright.sync_api import Browser, Route

from tests.browser.pages import Known

WORK = {"tree": "oak 1", "remedy": "extract", "course": "extract", "doses": [], "beside": [], "cautions": [],
        "more_cautions": [], "put_on_as": [["extract", "compost extract"], ["mulch", "wood chips"]]}
EXTRACT = {"loads": [{"id": "load-1", "told": "Batch 4, truck 1, 300 gal"}], "missing": "Batch 5 is refused."}


def test_extract_names_the_tank_it_came_from(browser: Browser, demo: Known) -> None:
    page = browser.new_context(viewport={"width": 360, "height": 780}, service_workers="block").new_page()
    sent: list[str] = []

    def with_extract(route: Route) -> None:
        told = route.fetch().json()
        work = WORK | {"tree_id": demo.ids["tree_id"]}
        sheet = {"mark": "m", "signed": "signed", "work": [work], "alone": "", "trials": []}
        route.fulfill(json=told | {"extract": EXTRACT, "sheet": sheet})

    def hear(route: Route) -> None:
        sent.append(route.request.post_data or "")
        route.abort()

    page.route("**/api/field/properties/*", with_extract)
    page.route("**/api/events", hear)
    page.goto(f"{demo.address}/field#/job/{demo.ids['property_id']}")
    page.get_by_text("Batch 5 is refused.").wait_for()
    page.get_by_role("button", name="Log what was put on").click()
    page.locator("[name=load]").select_option("load-1")
    page.locator("[name=amount]").fill("55 gal")
    with page.expect_request("**/api/events"):
        page.get_by_role("button", name="Save on this phone").click()
    page.get_by_text("55 gal").wait_for()
    said = " ".join(sent).replace("\\", "")
    assert '"load":"load-1"' in said
    assert '"amount":"55 gal"' in said
    page.unroute_all(behavior="wait")  # what is still fetched would end in the next test's hands
    page.context.close()
