"""What the whole app shares: which fieldbook it shows, the clock, where results are kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from threading import Lock

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.at_hand import SessionsAtHand
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.services import demo
from rootcase.services.case import CaseFile, CaseFiles
from rootcase.services.kept import Kept, Shelf
from rootcase.services.practice_day import practice_day
from rootcase.services.run import Run
from rootcase.services.standing import Standing, Standings
from rootcase.web import work
from rootcase.web.elsewhere import Elsewhere
from rootcase.web.jobs import Job, Jobs
from rootcase.web.refusals import NotThere

OWN = "own"
"""The practice of a fieldbook that one practice has to itself."""


@dataclass(slots=True)
class Desk:
    """One fieldbook's file and how it is worked on; every practice in it is reached by its id alone."""

    path: Path
    now: Callable[[], datetime]
    results: Path
    """The folder where results are kept."""
    demo: bool = False
    """Whether this is the invented fieldbook, which anyone at this machine may look at."""
    own_path: Path | None = None
    """Of the demo: where the practice's own fieldbook is made by the first-run page."""
    first_run_key: str = ""
    """What the terminal printed, and the first-run page asks for."""
    public_url: str = ""
    """The address that clients see; empty: the one a page was asked by."""
    draws: int = 1000
    """Of every computation."""
    jobs: Jobs = field(init=False)
    sessions: SessionsAtHand = field(default_factory=SessionsAtHand)
    _shelf: Shelf = field(default_factory=Shelf)
    _standings: Standings = field(default_factory=Standings)
    _files: CaseFiles = field(default_factory=CaseFiles)
    _grounds: dict[str, tuple[object, dict[str, Property]]] = field(default_factory=dict)
    _books: dict[str, Fieldbook] = field(default_factory=dict)
    _turn: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        self.jobs = Jobs(self.now)

    def book(self, practice_id: str) -> Fieldbook:
        """The open fieldbook of a practice."""
        with self._turn:
            if practice_id not in self._books:
                self._books[practice_id] = open_fieldbook(self.path, practice_id=practice_id, now=self.now)
            return self._books[practice_id]

    def elsewhere(self, practice_id: str) -> Elsewhere:
        """The same for work in another process."""
        return Elsewhere(self.path, practice_id, self.now())

    def tenant(self, practice_id: str) -> str:
        """What tells this practice's work from that of any other, in this fieldbook or another."""
        return self.book(practice_id).arrivals.where

    def grounds(self, practice_id: str) -> dict[str, Property]:
        """The properties of a practice by id, in the order of their names; read anew only where something was written.
        """
        book = self.book(practice_id)
        stamp = (self.tenant(practice_id), book.arrivals.commits())
        known = self._grounds.get(practice_id)
        if known is None or known[0] != stamp:
            known = stamp, {each.id: each for each in book.properties()}
            self._grounds[practice_id] = known
        return known[1]

    def ground(self, practice_id: str, property_id: str) -> Property:
        """A property of this practice; any other is not there."""
        found = self.grounds(practice_id).get(property_id)
        if found is None:
            raise NotThere(say("web.no_property"), value=property_id, right=say("web.see_trees"))
        return found

    def kept(self, practice_id: str, ground: Property) -> Kept:
        """The newest casework of a property, at hand; nothing is computed."""
        return self._shelf.casework(self.book(practice_id), ground, self.run(practice_id))

    def kept_at_hand(self, practice_id: str, property_id: str) -> Kept | None:
        """The same, as far as it is known without reading the file; None says nothing."""
        book = self._books.get(practice_id)
        return self._shelf.at_hand(book, property_id, self.today(practice_id)) if book else None

    def file(self, practice_id: str, ground: Property) -> CaseFile:
        """All that is written down of a property as it stands now, at hand."""
        return self._files.file(self.book(practice_id), ground)

    def standing(self, practice_id: str, ground: Property) -> Standing:
        """What is signed, offered, agreed and due at a property, at hand."""
        return self._standings.of(self.book(practice_id), ground, self.run(practice_id))

    def compute(self, practice_id: str, ground: Property, onward: str = "") -> Job:
        """Have a property thought through in a process of its own. onward: the page of the property it was for."""
        return self.jobs.start(self.tenant(practice_id), "casework", work.casework, self.elsewhere(practice_id),
                               ground.id, self.run(practice_id), property_id=ground.id,
                               leads_to=f"/properties/{ground.id}{onward}")

    def begin(self) -> None:
        """What the invented fieldbook has computed as soon as it is opened, so that its pages fill by themselves."""
        if self.demo:
            for ground in self.grounds(OWN).values():
                if self.kept(OWN, ground).casework is None:
                    self.compute(OWN, ground)

    def today(self, practice_id: str) -> date:
        """The day it is for the practice; the invented properties have their own."""
        return demo.DAY if self.demo else practice_day(self.grounds(practice_id).values(), self.now())

    def run(self, practice_id: str) -> Run:
        """How this desk has its computing done."""
        return Run(self.today(practice_id), self.draws, seed=demo.SEED if self.demo else 1, results=self.results)

    @contextmanager
    def own_book(self, *, make: bool = False) -> Iterator[Fieldbook]:
        """The practice's own fieldbook, to which the invented one gives way; only its first owner makes it."""
        if not self.demo or self.own_path is None:
            yield self.book(OWN)
            return
        if not make and not self.has_own():
            raise NotThere(say("people.no_own"))
        with open_fieldbook(self.own_path, practice_id=OWN, now=self.now) as book:
            yield book

    def has_own(self) -> bool:
        """Whether the practice's own fieldbook is there already."""
        return not self.demo or self.own_path is None or self.own_path.exists()

    def become_own(self) -> None:
        """Show the practice's own fieldbook from now on."""
        with self._turn:
            self._close_books()
            self.path, self.demo, self.first_run_key = self.own_path or self.path, False, ""

    def close(self) -> None:
        self.jobs.close()
        with self._turn:
            self._close_books()

    def _close_books(self) -> None:
        for book in self._books.values():
            book.close()
        self._books.clear()
