"""One browser and two desks for all its checks: the invented one, and a practice's own with people in it."""

from __future__ import annotations

import shutil
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from importlib.resources import as_file, files
from pathlib import Path
from threading import Thread
from time import sleep

import httpx2 as httpx
import pytest
import uvicorn
from playwright.sync_api import Browser, sync_playwright

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.keys import invite
from rootcase.fieldbook.people.links import make_link
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.services.demo import DAY, SEED, STATION
from rootcase.services.kept import make_casework
from rootcase.services.offer import Answering, answer_offer, make_offer
from rootcase.services.run import Progress, Run
from rootcase.services.sign import Wanted, sign_property
from rootcase.web.app import create_app
from rootcase.web.desk import OWN, Desk
from rootcase.web.jobs import Job
from rootcase.web.server import open_socket
from tests.browser.hostile import TYPED, bring_hostile
from tests.browser.looking import CHECKS
from tests.browser.pages import Known
from tests.browser.walking import HEARD, Walk
from tests.fieldbook.people.chance import chance
from tests.web.batches import yard
from tests.web.conftest import DRAWS, NOW, at_once, begins, desk_folder, desk_results
from tests.web.heaps_told import heap_ids
from tests.web.photos_told import measured_ids
from tests.web.slides_told import slide_ids

__all__ = ["begins", "desk_folder", "desk_results"]  # fixtures, told to pytest by being named here

LIST = """tag,species,dbh in,planted
1,Quercus palustris,16,1990
1,Quercus pallustris,400,2062
<script>alert(1)</script>,"onmouseover='alert(2)",<b>16</b>,{{7*7}}
"""
HOSTILE_DRAWS = 30
QUIET = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    chromium = shutil.which("chromium")
    if not chromium:
        pytest.skip("no chromium on this machine: `apt-get install chromium`")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium, args=list(QUIET))
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def demo(desk_folder: Path, desk_results: Path) -> Iterator[Known]:
    """The desk of the invented fieldbook."""
    desk = Desk(desk_folder / "demo.sqlite", lambda: NOW, desk_results, demo=True,
                own_path=desk_folder / "first.sqlite", first_run_key="first", draws=DRAWS)
    with open_fieldbook(desk_folder / "demo.sqlite") as book, answering(desk) as address:
        made, _ = make_offer(book, book.properties()[0], desk.run("own"))
        yield Known(address, ids=ids_of(book) | {"brought_id": brought(address), "job_id": under_way(desk),
                                                 "mark": made.made.mark})


@pytest.fixture(scope="session")
def own(desk_folder: Path, desk_results: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Known]:
    """A practice's own desk, seen by its owner."""
    path = tmp_path_factory.mktemp("own") / "own.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    made = yard(path, NOW)
    with open_fieldbook(path) as book:
        for code, role in (("owner1", "owner"), ("crew1", "crew")):
            add_person(book.store, code, "Rowan Doe", code, role, may_sign=role == "owner")
        token = open_session(book.store, ("own", "owner1"), "browser", "", NOW, chance(1))
        run = Run(DAY, DRAWS, SEED, 2, results=desk_results)
        make_casework(book, book.properties()[0], run)
        ids = ids_of(book) | made | {"code": "crew1", "token": shown_to_client(book, run),
                                     "invitation": invite(book.store, "crew1", NOW, chance(4))}
    with answering(Desk(path, lambda: NOW, desk_results, draws=DRAWS)) as address:
        yield Known(address, ids=ids, cookie=token)


@pytest.fixture(scope="session")
def hostile(desk_results: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Known]:
    """A practice's own desk, whose people and lists mean no good."""
    folder = tmp_path_factory.mktemp("hostile")
    sheets = folder / "sheets"
    sheets.mkdir()
    with open_fieldbook(folder / "own.sqlite", now=lambda: NOW - timedelta(days=1)) as book:
        with as_file(files("rootcase.services").joinpath("demo", "files", "seattle.csv")) as weather:
            book.import_weather(weather, STATION, source=TYPED["collar not opened"])
        ground = book.record(bring_hostile(book, sheets)).property
        run = Run(DAY, HOSTILE_DRAWS, SEED, 2, results=desk_results)
        make_casework(book, ground, run)
        made, _ = make_offer(book, ground, run)
        answer_offer(book, ground, Answering("question", TYPED["oak 1"], words=TYPED["reader 2"]), DAY)
        sign_property(book, ground, run, Wanted(by='"><b>x</b>', reason=TYPED["ball season"]))
        add_person(book.store, "owner1", TYPED["reader 1"], "owner1", "owner", may_sign=True)
        add_person(book.store, "crew1", TYPED["reader 2"], "crew1", "crew", may_sign=False)
        token = open_session(book.store, ("own", "owner1"), "browser", TYPED["wood oaks"], NOW, chance(3))
        ids = ids_of(book) | yard(folder / "own.sqlite", NOW) | {
            "code": "crew1", "token": shown_to_client(book, run), "mark": made.made.mark,
                              "invitation": invite(book.store, "crew1", NOW, chance(5))}
    desk = Desk(folder / "own.sqlite", lambda: NOW, desk_results, draws=HOSTILE_DRAWS)
    with answering(desk) as address:
        ids |= {"brought_id": brought(address, token), "job_id": under_way(desk)}
        yield Known(address, ids=ids, cookie=token)


def ids_of(book: Fieldbook) -> dict[str, str]:
    """What stands in addresses and is there."""
    record = book.record(book.properties()[0].id)
    healthy = [tree for yardstick in record.yardsticks for tree in yardstick.tree_ids]
    behind = next(tree.id for tree in record.trees if tree.id not in healthy)
    return {"property_id": record.property.id, "tree_id": behind, "healthy_id": healthy[0],
            "reading_id": record.readings[0].id, "worked_id": _worked(book), **heap_ids(book), **slide_ids(book),
            **measured_ids(book, record.property.id, behind)}


def _worked(book: Fieldbook) -> str:
    """A property with work of a signed plan, as far as there is one."""
    grounds = book.properties()
    return next((each.id for each in grounds if book.signed_plans(each.id)), grounds[0].id)


def shown_to_client(book: Fieldbook, run: Run) -> str:
    """What opens an offer for the client."""
    ground = book.properties()[0]
    made, _ = make_offer(book, ground, run)
    token, _ = make_link(book.store, ground.id, made.made.mark, by="owner1", now=NOW, random_bytes=chance(2))
    return token


def brought(address: str, token: str = "") -> str:
    """A list that was brought and still has faults."""
    answer = httpx.post(f"{address}/import", headers={"origin": address}, data={"what": "list"},
                        files={"file": ("trees.csv", LIST)}, timeout=60, cookies={"rootcase": token})
    return answer.headers["location"].rpartition("/")[2]


def under_way(desk: Desk) -> str:
    """Work that is not done before the tests are."""
    return desk.jobs.start(desk.tenant(OWN), "casework", never_done).id


def never_done(progress: Progress) -> None:
    progress("explain", 3, 7)
    sleep(3600)


def nothing_done(progress: Progress, *told: object) -> None:
    """Work that is done at once."""


@pytest.fixture(scope="session")
def walk(browser: Browser, demo: Known) -> Iterator[Walk]:
    """A phone that was once in reach, and is out of it since."""
    context = browser.new_context(viewport={"width": 360, "height": 800}, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(8000)
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.add_init_script(CHECKS)
    page.goto(f"{demo.address}/field")
    page.evaluate("navigator.serviceWorker.ready")
    page.evaluate(HEARD, demo.ids["property_id"])
    context.set_offline(True)
    page.reload()
    page.wait_for_selector("main h1")
    yield Walk(page, demo)
    context.close()
    assert wrong == []


@contextmanager
def answering(desk: Desk, port: int = 0) -> Iterator[str]:
    """The address of a server that answers until the block ends."""
    desk.jobs.call = at_once  # type: ignore[method-assign]
    start = desk.jobs.start

    def start_no_sheets(tenant: str, what: str, function: Callable[..., object], *told: object, **more: str) -> Job:
        """A phone asks for its first-answer sheets by itself: minutes of work that no page waits for."""
        return start(tenant, what, nothing_done if what == "first_answer" else function, *told, **more)

    desk.jobs.start = start_no_sheets  # type: ignore[method-assign]
    listening: socket.socket = open_socket("127.0.0.1", port)
    server = uvicorn.Server(uvicorn.Config(create_app(desk), log_level="critical"))
    thread = Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    yield "http://{}:{}".format(*listening.getsockname())
    server.should_exit = True
    thread.join(10)
