"""Take docs/screens/*.png, the app's pages as they are seen: python docs/make_screens.py [name ...]

The pages are those that tests/browser looks at, and what they turn into when somebody does something on them.
"""

from __future__ import annotations

import os
import shutil
import sys
import zlib
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import httpx2 as httpx
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

CHECKOUT = Path(__file__).parents[1]
sys.path[:0] = [str(CHECKOUT), str(CHECKOUT / "src")]

from docs.screen_colors import shrunk  # noqa: E402
from rootcase.cli.main import compiled_folder  # noqa: E402
from rootcase.fieldbook.applying.fleet_log import fleet_of, rounds_of  # noqa: E402
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook  # noqa: E402
from rootcase.fieldbook.people.assigned import assign  # noqa: E402
from rootcase.fieldbook.people.keys import accept, invitation_of, invite  # noqa: E402
from rootcase.fieldbook.people.register import add_person  # noqa: E402
from rootcase.fieldbook.people.sessions import open_session  # noqa: E402
from rootcase.fieldbook.people.totp import code_of, step_at  # noqa: E402
from rootcase.services.demo import DAY, import_demo  # noqa: E402
from rootcase.services.demo_trials import GROUNDS as TRIAL_GROUNDS  # noqa: E402
from rootcase.services.demo_trials import make_trials  # noqa: E402
from rootcase.services.demo_yard import make_yard  # noqa: E402
from rootcase.services.kept import make_casework  # noqa: E402
from rootcase.services.offer import make_offer  # noqa: E402
from rootcase.services.people import DEMO_CODE  # noqa: E402
from rootcase.services.run import silent  # noqa: E402
from rootcase.services.sign import Wanted, sign_property  # noqa: E402
from rootcase.web.desk import Desk  # noqa: E402
from rootcase.web.photo_work import make_ready, ready_mark  # noqa: E402
from tests.browser.conftest import QUIET, answering, ids_of, shown_to_client, under_way  # noqa: E402
from tests.browser.pages import SEEN, Known, Seen  # noqa: E402
from tests.fieldbook.people.chance import chance  # noqa: E402
from tests.web.batches import yard  # noqa: E402
from tests.web.conftest import NOW  # noqa: E402

SCREENS = CHECKOUT / "docs" / "screens"
RESULTS = CHECKOUT / ".pytest_cache" / "d" / "screens-results"
WIDTHS = {360: 1.0, 1280: 0.5, 1680: 0.5}
"""Of the window, and how much of it the kept picture has."""
LONGEST_PX = {360: 7000, 1280: 4800, 1680: 4800}
"""Where a very long page is cut."""
DARK = ("today", "case", "map", "plan", "client", "import-faults", "figure", "proof")
"""What is taken dark too, at one width in turn."""
SCREEN_PX = 800
PHOTOS = ("tree-photos", "tree-photo", "crown-photo", "soil-photo", "slide-photo")
"""What shows photos, which keep their own colours."""

NAMES = {
    "/": "today", "/trees": "trees", "/make": "make", "/proof": "proof", "/proof/air_tillage": "effect",
    "/make/recipe?work=1&way=mix&goal_moisture=60&goal_cn=30&bucket=5+gal&1.feedstock=straw_general&1.amount=100+kg"
    "&2.feedstock=table_food_waste": "recipe",
    "/make/rates": "rates", "/make/heaps/new": "heap-new", "/make/heaps/{heap_id}": "heap",
    "/make/heaps/{heap_id}/entries/{entry_id}": "heap-entry", "/make/heaps/{heap_id}/particulars": "heap-particulars",
    "/make/slides": "slides", "/make/slides/new?method=sieve": "slide-new", "/make/slides/{slide_id}": "slide",
    "/make/slides/{slide_id}/correct": "slide-correct",
    "/make/slides/{photos_id}/photos/{photo_id}": "slide-photo",
    "/make/rates/injection?area=1000+ft2&rate=100&spacing=2.5+ft&grid=square&flow=5": "rate",
    "/make/batches/new": "batch-new", "/make/batches/rules": "batch-rules", "/make/batches/{batch_id}": "batch",
    "/make/batches/{refused_id}": "batch-refused", "/make/batches/{fit_id}": "batch-fit",
    "/make/batches/{back_id}/recall": "batch-recall",
    "/properties/{property_id}": "property",
    "/properties/{property_id}/trees/{tree_id}/photos": "tree-photos",
    "/properties/{property_id}/trees/{tree_id}/photos/{measured_id}": "tree-photo",
    "/properties/{property_id}/trees/{tree_id}/photos/{crown_id}": "crown-photo",
    "/properties/{property_id}/trees/{tree_id}/photos/{soil_id}": "soil-photo",
    "/properties/{property_id}/trees/{tree_id}": "case",
    "/properties/{property_id}/trees/{healthy_id}": "case-healthy",
    "/properties/{property_id}/trees/{tree_id}/read": "read", "/properties/{property_id}/read": "read-place",
    "/properties/{property_id}/particulars": "particulars", "/properties/{property_id}/field-sheet": "field-sheet",
    "/readings/{reading_id}": "reading", "/properties/{property_id}/figures/property/shares": "figure",
    "/properties/{property_id}/map": "map", "/properties/{property_id}/map/aerial": "map-aerial",
    "/today/week": "week", "/properties/{property_id}/days": "days", "/record": "record", "/record/1": "record-one",
    "/properties/{property_id}/log": "log", "/properties/{worked_id}/notice/2016-01-15": "notice",
    "/plans": "plans", "/due": "due", "/properties/{property_id}/plan": "plan",
    "/properties/{property_id}/sign": "sign", "/properties/{property_id}/signed": "signed-none",
    "/properties/{property_id}/what-if": "what-if", "/properties/{property_id}/offers": "offers",
    "/properties/{property_id}/offers/{mark}": "offer", "/properties/{property_id}/report": "report",
    "/import": "import", "/import/{brought_id}": "import-faults", "/jobs/{job_id}": "job",
    "/properties/{property_id}/undo": "undo", "/properties/{property_id}/contacts": "contacts",
    "/practice": "practice", "/practice/own": "own-values", "/practice/sums?find=chlorine": "sums",
    "/practice/sums/neutraliser_g?volume_l=100+gal&chlorine_mg_l=2%2B-0.5&dose_mg_mg=2.5&tested=total": "sum",
    "/practice/rules": "rules", "/practice/units": "units",
    "/today/rounds": "rounds", "/practice/prices": "prices", "/practice/fleet": "fleet", "/practice/tables": "tables",
    "/practice/tables/people/rights": "table",
    "/practice/export": "export", "/practice/phones": "phones", "/practice/kept-aside": "kept-aside",
    "/properties/{property_id}/jobs": "who-goes",
    "/practice/backup": "backup", "/people": "people", "/people/rights": "rights",
    "/people/{code}": "person", "/people/{code}/erase": "erase", "/account": "account", "/first-run": "first-run",
    "/sign-in": "sign-in", "/invite/{invitation}": "invite", "/c/{token}": "client", "/c/none": "client-ended",
    "/nowhere": "not-there",
}


FILES = {"list": "street-and-lawn.csv", "weather": "days.csv"}
WEATHER = CHECKOUT / "tests" / "data" / "weather_seattle.csv"
LIST = """Tag,Species,DBH in,Planted,Height ft,Dieback %,Ground,Notes
61,Quercus rubra,16,1990,52,5,lawn,by the gate
62,Quercus rubra,14.5,1990,48,10,lawn,
63,Quercus pallustris,18,1988,55,10,lawn,
64,Quercus palustris,17,1988,54,5,lawn,
65,Tilia cordata,406,2001,40,15,street,
66,Tilia cordata,381,2001,38,15,street,
67,Tilia cordata,12,2062,36,20,street,
68,Acer rubrum,9,2004,30,10-15,lawn,
69,Acer rubrum,8.5,2004,29,5,lawn,
69,Acer rubrum,10,2004,31,5,lawn,tag read twice
70,Gleditsia triacanthos,11,1999,42,5,street,
"""
"""An invented list with what is usually wrong with one."""


def nothing(page: Page) -> None:
    """The page as it comes."""


@dataclass(frozen=True)
class Screen:
    """What is taken: a page, and what somebody did on it before."""

    name: str
    seen: Seen
    done: Callable[[Page], object] = nothing
    whole: bool = True
    """Or only as much as a window shows of it."""
    widths: tuple[int, ...] = tuple(WIDTHS)
    part: str = ""
    """Or this piece alone, at full size."""


def typed(key: str, /, **fields: str) -> Callable[[Page], None]:
    """Fill these fields of the form that has this key, past what the browser itself would refuse, and press it."""
    def fill_and_press(page: Page) -> None:
        form = page.locator("main form").filter(has=page.get_by_role("button", name=key)).first
        form.evaluate("each => { each.noValidate = true }")
        for name, words in fields.items():
            field = form.locator(f"[name={name}]").first
            if field.evaluate("each => each.tagName") == "SELECT":
                field.select_option(words)
            else:
                field.fill(words)
        form.get_by_role("button", name=key).first.click()
    return fill_and_press


def opened(page: Page) -> None:
    """Every line that opens, open."""
    page.evaluate("() => document.querySelectorAll('details').forEach(each => { each.open = true })")


def asked(page: Page) -> None:
    """The client's question, put once however often the page is taken."""
    if "Will it smell?" not in page.content():
        typed("Ask a question", words="Will it smell?", name="Ash Doe")(page)


def heard(page: Page) -> None:
    """A screen of the phone's page, once it has its name and all that the server tells it."""
    page.reload()  # where only what stands behind # is another, a browser goes nowhere
    page.wait_for_function("() => document.title !== 'In the field · rootcase'")
    page.wait_for_load_state("networkidle")


def measured(page: Page) -> None:
    """A shoot half typed."""
    heard(page)
    for key in ("1", "4"):
        page.get_by_role("button", name=key, exact=True).click()


BEHIND = "/properties/{property_id}/trees/{behind_id}"
PLAN, SIGNED, MAP = (f"/properties/{{property_id}}/{part}" for part in ("plan", "signed", "map?tool=line"))
DONE = (
    Screen("case-behind", Seen("", at=BEHIND)),
    Screen("import-weather", Seen("", at="/import/{weather_id}")),
    Screen("import-weather-read", Seen("", at="/import/{weather_id}"), typed("Look at it", whose="Seattle")),
    Screen("case-open", Seen("", at="/properties/{property_id}/trees/{tree_id}"), opened),
    Screen("plan-open", Seen("", at=PLAN), opened),
    Screen("signed", Seen("", "signed", SIGNED)), Screen("plans-signed", Seen("", "signed", "/plans")),
    Screen("proof-signed", Seen("", "signed", "/proof")),
    Screen("today-own", Seen("", "own", "/")), Screen("practice-own", Seen("", "own", "/practice")),
    *(Screen(f"empty-{name}", Seen("", "empty", at)) for name, at in (
        ("today", "/"), ("trees", "/trees"), ("plans", "/plans"), ("proof", "/proof"), ("due", "/due"),
        ("prices", "/practice/prices"), ("rules", "/practice/rules"), ("practice", "/practice"))),
)
AT = "{property_id}/{tree_id}"
PHONE = (
    *(Screen(f"phone-{name}", Seen("", at=f"/field#/{at}"), heard, whole=False, widths=(360,)) for name, at in (
        ("today", "today"), ("trees", "trees/{property_id}"), ("tree", f"tree/{AT}"), ("walk", f"walk/{AT}"),
        ("form", f"form/{AT}/crown"), ("pit", f"pit/{AT}"), ("missing", f"missing/{AT}"),
        ("yardstick", f"yardstick/{AT}"), ("reading", "reading/{property_id}/{reading_id}"), ("waiting", "waiting"),
        ("itself", "phone"), ("settings", "settings"), ("stop", "stop/{stop}"), ("log", "log/{stop}/{stop_job}"),
        ("wrong", "wrong/{stop}"))),
    Screen("phone-look", Seen("", at=f"/field#/look/{AT}/shoots"), measured, whole=False, widths=(360,)),
    Screen("phone-job", Seen("", "signed", "/field#/job/{property_id}"), heard, whole=False, widths=(360,)),
)
"""The phone's own page, as much of each screen as a phone shows."""
STAGES = tuple(Screen(f"stage-{name}", Seen("", at=at), widths=(1280,), part=part) for name, at, part in (
    ("observe", "/import/{brought_id}", "#needs"),
    ("compare", BEHIND, "#explain figure >> nth=0 >> svg:visible"),
    ("explain", BEHIND, "#explain figure >> nth=1 >> svg:visible"),
    ("prescribe", BEHIND, "#prescribe table.remedies >> nth=0"),
    ("make", "/make/heaps/{heap_id}", "figure svg:visible"), ("apply", "/today/week", "figure svg:visible")))
"""What the pages of the stages show of the app."""
WINDOWS: tuple[tuple[str, Seen, Callable[[Page], object]], ...] = (
    ("map-drawing", Seen("", at=MAP), nothing),
    ("map-refused", Seen("", at=MAP), typed("Save", name="gas main", corners="12, 40")),
    ("plan-tried", Seen("", at=PLAN + "?budget_year=500"), nothing),
    ("plan-signed", Seen("", "signed", PLAN), nothing),
    ("sign-refused", Seen("", at="/properties/{property_id}/sign"), typed("Sign the plan", extract="yes")),
    ("reading-refused", Seen("", at="/readings/{reading_id}"), typed("Correct", typed="seven")),
    ("prices-refused", Seen("", at="/practice/prices?item=water"),
     typed("Save", amount="dear", currency="USD", source="")),
    ("sign-in-refused", Seen("", "nobody", "/sign-in"), typed("Sign in", login="rowan", password="not this one")),
    ("first-run-refused", Seen("", at="/first-run"),
     typed("Next", key="wrong", practice="Elm and Root", name="Rowan Doe", code="rowan d", login="rowan")),
    ("client-refused", Seen("", "own", "/c/{token}"), typed("Yes to this")),
    ("client-answered", Seen("", "signed", "/c/{token}"), asked),
    ("today-signed", Seen("", "signed", "/"), nothing),
)
"""What somebody did, and as much as a window then shows of the page: what is wrong, where something is."""


def screens() -> tuple[Screen, ...]:
    return (*(Screen(NAMES[seen.at or seen.route], seen) for seen in SEEN), *DONE, *PHONE, *STAGES,
            *(Screen(*each, whole=False) for each in WINDOWS))


@contextmanager
def desks(folder: Path) -> Iterator[dict[str, Known]]:
    """The invented desk, a practice's own, the same signed, an empty one, and nobody at the door."""
    RESULTS.mkdir(parents=True, exist_ok=True)
    (folder / "demo").mkdir()
    with open_fieldbook(folder / "demo.sqlite", now=clock) as book:
        import_demo(book, folder / "demo")
    make_yard(folder / "demo.sqlite")
    make_trials(folder / "demo.sqlite")
    os.environ.setdefault("NUMBA_CACHE_DIR", compiled_folder())
    if (mark := ready_mark()) is not None and not mark.exists():
        make_ready(silent)  # else the first photo is a page that waits
    with ExitStack() as held:
        demo = Desk(folder / "demo.sqlite", clock, RESULTS, demo=True, own_path=folder / "first.sqlite",
                    first_run_key="first")
        address = held.enter_context(answering(demo))
        with open_fieldbook(folder / "demo.sqlite", now=clock) as book:
            for ground in book.properties():
                if ground.name.lower().replace(" ", "-") not in TRIAL_GROUNDS:
                    make_casework(book, ground, demo.run("demo"))
            offered, _ = make_offer(book, book.properties()[0], demo.run("demo"))
            known = {"demo": Known(address, ids_of(book) | {
                "mark": offered.made.mark, "job_id": under_way(demo), "brought_id": brought(address, "list", LIST),
                "weather_id": brought(address, "weather", WEATHER.read_text(encoding="utf-8")),
                **stop_of(book), "behind_id": next(tree.id for tree in book.record(offered.made.offer.property_id).trees
                                  if tree.label == "oak 4")})}
        known["own"] = held.enter_context(practice(folder / "own.sqlite", folder / "demo.sqlite"))
        known["signed"] = held.enter_context(practice(folder / "signed.sqlite", folder / "demo.sqlite", signed=True))
        known["empty"] = held.enter_context(practice(folder / "empty.sqlite"))
        known["nobody"] = Known(known["own"].address, known["own"].ids)
        yield known


@contextmanager
def practice(path: Path, like: Path | None = None, *, signed: bool = False) -> Iterator[Known]:
    """A practice's own desk and its owner, with what another fieldbook holds or with nothing."""
    if like:
        shutil.copy(like, path)
    desk = Desk(path, clock, RESULTS)
    with open_fieldbook(path, now=clock) as book:
        add_person(book.store, "owner1", "Rowan Doe", "rowan", "owner", may_sign=True)
        add_person(book.store, "crew1", "Ash Doe", "ash", "crew", may_sign=False)
        come_in(book)
        cookie = open_session(book.store, ("own", "owner1"), "browser", "a laptop", NOW, chance(1))
        ids = {"code": "crew1", "invitation": invite(book.store, "crew1", NOW, chance(4))}
        if like:
            make_casework(book, book.properties()[0], desk.run("own"))
            ids |= yard(path, NOW) | ids_of(book) | {"token": shown_to_client(book, desk.run("own"))}
            ids["mark"] = book.offers(book.properties()[0].id)[0].mark
        if signed:
            sign_property(book, book.properties()[0], desk.run("own"), Wanted(by="owner1"))
            assign(book.store, book.properties()[0].id, "owner1", None, by="owner1", now=NOW)
    with answering(desk) as address:
        yield Known(address, ids, cookie)


def stop_of(book: Fieldbook) -> dict[str, str]:
    """The last stop of the invented day, as the phone's address names it, and its first job."""
    events = book.applying.practice_events()
    theirs = {crew.id for crew in fleet_of(events).crews if DEMO_CODE in crew.people}
    given = next(each for each in rounds_of(events) if each.day == DAY and each.crew_id in theirs)
    jobs = [step.job_ids for step in given.steps if step.job_ids][-1]
    return {"stop": f"{DAY.isoformat()}/{jobs[0]}", "stop_job": jobs[0]}


def clock() -> datetime:
    return NOW


def come_in(book: Fieldbook) -> None:
    """The owner has taken up an invitation."""
    token = invite(book.store, "owner1", NOW, chance(3))
    found = invitation_of(book.store, token, NOW)
    assert found
    accept(book.store, token, "roots under the lawn", code_of(found.totp_secret, step_at(NOW)), NOW)


def brought(address: str, what: str, file: str) -> str:
    """A file that was brought, and nothing said of it yet."""
    answer = httpx.post(f"{address}/import", headers={"origin": address}, data={"what": what},
                        files={"file": (FILES[what], file)}, timeout=600)
    return answer.headers["location"].rpartition("/")[2]


def context_of(browser: Browser, known: Known) -> BrowserContext:
    """A browser of whoever is signed in at a desk."""
    context = browser.new_context()
    if known.cookie:
        context.add_cookies([{"name": "rootcase", "value": known.cookie, "url": known.address}])
    return context


def take(page: Page, screen: Screen, known: Known, width: int, theme: str) -> bytes:
    page.emulate_media(color_scheme="dark" if theme == "dark" else "light")
    page.set_viewport_size({"width": width, "height": SCREEN_PX})
    page.goto(screen.seen.on(known))
    screen.done(page)
    page.wait_for_load_state()
    page.evaluate("document.fonts.ready.then(() => null)")
    if not screen.whole:
        page.evaluate("document.querySelector('.fault')?.scrollIntoView({ block: 'center' })")
    else:
        high = page.evaluate("document.documentElement.scrollHeight")
        page.set_viewport_size({"width": width, "height": max(high, SCREEN_PX)})  # what stands at the foot stays there
    if screen.part:
        return page.locator(screen.part).first.screenshot()
    high = page.evaluate("innerHeight")
    return page.screenshot(clip={"x": 0, "y": 0, "width": width, "height": min(high, LONGEST_PX[width])})


def wanted(screen: Screen) -> Iterator[tuple[int, str]]:
    for width in screen.widths:
        yield width, "light"
    if screen.name in DARK:
        yield list(WIDTHS)[DARK.index(screen.name) % len(WIDTHS)], "dark"


def main(names: list[str]) -> None:
    SCREENS.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder, desks(Path(folder)) as known, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(QUIET))
        contexts = {name: context_of(browser, each) for name, each in known.items()}
        for screen in screens():
            if names and screen.name not in names:
                continue
            page = contexts[screen.seen.desk].new_page()
            for width, theme in wanted(screen):
                png = take(page, screen, known[screen.seen.desk], width, theme)
                name = f"{screen.name}-{width}{'-dark' * (theme == 'dark')}.png"
                kept = shrunk(png, 1.0 if screen.part else WIDTHS[width], theme, screen.name in PHOTOS)
                kept.save(SCREENS / name, optimize=True, compress_type=zlib.Z_FILTERED)
                print(name)
            page.close()
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
