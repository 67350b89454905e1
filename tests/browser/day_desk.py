"""A practice's own desk on a day with a given round: a stop with extract and chips, one with air, a fit batch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.store import Contact
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import GivenRound, GivenStep
from rootcase.services.fleet import fleet, take, usual_cells
from rootcase.services.jobs import tell_gate
from rootcase.services.make_batch import batches
from rootcase.services.planned_work import jobs_at
from rootcase.services.week import give_round
from rootcase.web.desk import Desk
from tests.browser.conftest import answering
from tests.browser.looking import CHECKS
from tests.fieldbook.people.chance import chance
from tests.services.planned import TODAY, planned
from tests.services.week_told import tell_near
from tests.web.batches import yard

NOW = datetime(2016, 5, 2, 15, 10, tzinfo=UTC)
"""Ten past eight in the yard."""
TOMORROW = date(2016, 5, 3)
BOOK = "import('/static/field/keeping.js')"
ROUNDS = f"async () => ((await (await {BOOK}).self()).rounds?.told.rounds ?? []).map((each) => each.mark).join()"
GROUND = f"async (id) => Boolean((await {BOOK}.then((book) => book.ofProperty(id))).heard)"
UNSENT = f"async () => (await (await {BOOK}).unsent()).events.length"
SEND = 'async () => (await import("/static/field/sending.js")).sendNow()'
READY = "navigator.serviceWorker.ready.then(() => true)"
PATIENCE = 400


@dataclass
class Day:
    """The desk, its fieldbook, and a session of each person."""

    address: str
    book: Fieldbook
    cookies: dict[str, str]
    property_id: str
    jobs: dict[str, Job]
    crew: str
    batch: str

    def give(self, steps: Sequence[GivenStep], day: date = TODAY) -> None:
        give_round(self.book, GivenRound(id="", day=day, crew_id=self.crew, steps=tuple(steps)), "owner1")

    def steps(self) -> list[GivenStep]:
        """Fill, extract and chips, rest, air."""
        return [GivenStep(kind="fill", starts_min=480.0, ends_min=490.0, batch_id=self.batch, litres=220.0,
                          fill_point_id=fleet(self.book).fill_points[0].id),
                self.stop(495.0, 530.0, "extract", "mulch"), GivenStep(kind="rest", starts_min=660.0, ends_min=690.0),
                self.stop(700.0, 760.0, "air_tillage")]

    def stop(self, starts: float, ends: float, *remedies: str) -> GivenStep:
        wet = "extract" in remedies
        return GivenStep(kind="stop", starts_min=starts, ends_min=ends, property_id=self.property_id,
                         job_ids=tuple(self.jobs[each].id for each in remedies), litres=110.0 if wet else 0.0,
                         load_age_minutes=40.0 if wet else None)

    def logged(self) -> list[PutOnLogged]:
        """Of the crew's person, in the order received; what others said stands aside."""
        return [body for body in self.told(PutOnLogged) if body.by == "crew1"]

    def told(self, kind: type[Any]) -> list[Any]:
        with self.book.store.reading() as look:
            return [each.body for each in look.events(self.property_id) if isinstance(each.body, kind)]


@contextmanager
def day_desk(folder: Path) -> Iterator[Day]:
    path = folder / "own.sqlite"
    with open_fieldbook(path, now=lambda: NOW) as book:
        ground = planned(book, folder)
        tell_near(book)
        assert not take(book, "crew", usual_cells("crew", "us") | {"name": "crew 1", "truck": "truck 1",
                                                                   "people": "crew1"}, "rs", "us")
        tell_gate(book, ground, "4417 star")
        with book.store.writing() as turn:
            turn.keep_contacts([Contact("0" * 36, ground.id, "owner", "Hazel Doe", "206 555 0100")])
        for code, role in (("owner1", "owner"), ("crew1", "crew"), ("crew2", "crew")):
            add_person(book.store, code, "Rowan Doe", code, role, may_sign=role == "owner")  # type: ignore[arg-type]
    yard(path, NOW)
    with open_fieldbook(path, now=lambda: NOW) as book, answering(Desk(path, lambda: NOW, folder / "results")) as at:
        cookies = {code: open_session(book.store, ("own", code), "browser", "", NOW, chance(n))
                   for n, code in enumerate(("owner1", "crew1", "crew2"))}
        jobs = {job.remedy: job for job in jobs_at(book, book.record(ground.id), TODAY, TODAY, ())}
        fit = next(batch for batch in batches(book) if batch.loads and batch.judgement
                   and batch.judgement.verdict == "fit" and not batch.refused_since)
        yield Day(at, book, cookies, ground.id, jobs, fleet(book).crews[0].id, fit.id)


@contextmanager
def phone_of(browser: Browser, day: Day, code: str = "crew1") -> Iterator[Page]:
    """A phone of somebody by the yard's clock, which has heard all of its day and opens without a network."""
    context = browser.new_context(viewport={"width": 360, "height": 780}, has_touch=True,
                                  timezone_id="America/Los_Angeles")
    context.clock.install(time=NOW)
    context.add_cookies([{"name": "rootcase", "value": day.cookies[code], "url": day.address}])
    page = context.new_page()
    page.set_default_timeout(8000)
    page.add_init_script(CHECKS)
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto(f"{day.address}/field")
    until(page, READY, True)
    yield page
    page.unroute_all(behavior="wait")
    context.close()
    assert wrong == []


def until(page: Page, look: str, wanted: Any, given: Any = None) -> None:
    for _ in range(PATIENCE):
        if page.evaluate(look, given) == wanted:
            return
        page.wait_for_timeout(25)
    raise AssertionError(page.evaluate(look, given))


def offline(context: BrowserContext, page: Page) -> None:
    context.set_offline(True)
    page.reload()
    page.wait_for_selector("main h1")
