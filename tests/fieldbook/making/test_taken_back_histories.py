"""Whatever is told, taken back and told anew, of whichever batch, no batch is fit by taking bad news back.

Random histories of two batches for the laboratory and one that is judged; a reckoner of its own says by counting what
has to come out: behind each thing taken back stand as many told anew as were taken back from there on.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, timedelta
from random import Random

from rootcase.casework.make.additive import tests_on_file as on_file
from rootcase.casework.make.batch import judge
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.made.batches import BatchStarted, BatchStepTakenBack, BatchStepTold
from rootcase.fieldbook.making.batch_log import batches_of
from rootcase.fieldbook.people.tokens import written
from rootcase.records.make.batch import BatchRules, Figure, Step
from tests.fieldbook.making.batch_world import HEAP, START, STEPS
from tests.fieldbook.sheets import event

HISTORIES, LONG = 300, 20_000
TESTS, JUDGED = ("t1", "t2"), "judged"
ORGANISMS = ("e_coli_per_100_ml", "enterococci_per_100_ml")
CLEAN, DIRTY = 10.0, 2400.0
"""So far apart that one dirty test is over the mean of all."""
WATER, SOAKING, LIQUID = 1, 27, 36
"""Minutes at which oxygen is read: before compost is in, between compost and start, and between start and end."""
AT = START + timedelta(minutes=50)
"""When it is judged."""
FINE, LOW, IMPOSSIBLE = 8.4, 3.1, 19.0


@dataclass
class Told:
    """One thing told, in which turn, and in which it was taken back."""

    an_id: str
    batch: str
    turn: int
    figures: dict[str, float]
    minute: int = LIQUID
    back: int = 0

    @property
    def is_bad(self) -> bool:
        """Low: of the liquid, and once taken back also where compost had soaked without a start."""
        return self.figures["oxygen_mg_l"] == LOW and (
            self.minute == LIQUID or (self.minute == SOAKING and bool(self.back)))

    @property
    def believed(self) -> bool:
        return self.minute == LIQUID and self.figures["oxygen_mg_l"] != IMPOSSIBLE


@dataclass
class History:
    """What was told, as bodies and as a plain list."""

    chance: Random
    bodies: list[tuple[str, Body]] = field(default_factory=list)
    told: list[Told] = field(default_factory=list)

    def make(self, batch: str, number: int) -> None:
        self.bodies.append((batch, BatchStarted(slot=batch, batch=batch, number=number, heap="h4", at=written(START),
                                                by="rs")))
        for place, (step, figures, words) in enumerate((STEPS[0], ("additive", {}, {"additive": "kelp"}), *STEPS[1:])):
            if step == "oxygen":
                self.tell(batch, step, figures)
            else:
                self.put(batch, step, figures, words, 5 * place)

    def put(self, batch: str, step: Step, figures: dict[str, float], words: dict[str, str], minute: int) -> str:
        an_id = f"e{len(self.bodies)}"
        self.bodies.append((an_id, BatchStepTold(
            slot=an_id, batch=batch, step=step, at=written(START + timedelta(minutes=minute)), by="rs", words=words,
            figures=tuple(Figure(*each) for each in figures.items()))))
        return an_id

    def tell(self, batch: str, step: Step, figures: dict[str, float], minute: int = LIQUID) -> None:
        an_id = self.put(batch, step, figures, {}, minute)
        self.told.append(Told(an_id, batch, len(self.bodies), figures, minute))

    def lab(self) -> None:
        counted = self.chance.choice((ORGANISMS, ORGANISMS[:1], ORGANISMS[:1], ORGANISMS[1:]))
        self.tell(self.chance.choice((TESTS[0], TESTS[0], JUDGED)), "lab",
                  {name: self.chance.choice((CLEAN, CLEAN, DIRTY)) for name in counted})

    def oxygen(self) -> None:
        self.tell(JUDGED, "oxygen", {"oxygen_mg_l": self.chance.choice((FINE, FINE, LOW, IMPOSSIBLE)),
                                     "temperature_c": 18.0}, self.chance.choice((LIQUID, LIQUID, SOAKING, WATER)))

    def take_back(self) -> None:
        """Bad news mostly."""
        there = [each for each in self.told if not each.back]
        bad = [each for each in there if {LOW, DIRTY} & set(each.figures.values())]
        if chosen := bad if bad and self.chance.random() < 0.8 else there:
            each = self.chance.choice(chosen)
            self.bodies.append((f"e{len(self.bodies)}", BatchStepTakenBack(
                slot=each.an_id, supersedes=each.an_id, batch=each.batch, at=written(START), by="jk", reason="slip")))
            each.back = len(self.bodies)

    def of(self, batch: str, name: str) -> list[Told]:
        return [each for each in self.told if each.batch == batch and name in each.figures]


def short(bad: Sequence[Told], fitting: Sequence[Told]) -> bool:
    """Whether from some taking back on more was taken back than was told anew and stands."""
    return any(sum(other.back >= each.back for other in bad) >
               sum(other.turn > each.back for other in fitting if not other.back) for each in bad)


def dirty(history: History, batch: str, name: str) -> bool:
    """Whether a dirty count stands, or was taken back and not told anew."""
    told = history.of(batch, name)
    bad = [each for each in told if each.figures[name] == DIRTY]
    return any(not each.back for each in bad) or short([each for each in bad if each.back], told)


def against(history: History) -> Iterator[str]:
    """All that refuses the batch that is judged."""
    tested = {name: [batch for batch in TESTS if dirty(history, batch, name)
                     or any(not each.back for each in history.of(batch, name))] for name in ORGANISMS}
    enough = [name for name, batches in tested.items() if len(batches) == len(TESTS)]
    # One over the limit speaks against an additive, however few tests counted it.
    if any(dirty(history, batch, name) for name in ORGANISMS for batch in TESTS):
        yield "dirty test"
    if not enough:
        yield "too few tests"
    if any(dirty(history, JUDGED, name) for name in ORGANISMS):
        yield "own laboratory"
    believed = [each for each in history.of(JUDGED, "oxygen_mg_l") if each.believed]
    low = [each for each in history.of(JUDGED, "oxygen_mg_l") if each.is_bad]
    if not [each for each in believed if not each.back]:
        yield "no oxygen"
    if any(not each.back for each in low):
        yield "low oxygen"
    if short([each for each in low if each.back], believed):
        yield "low oxygen taken back"


def lived(seed: int) -> History:
    history = History(Random(seed))
    for number, batch in enumerate((*TESTS, JUDGED), 1):
        history.make(batch, number)
    for batch in TESTS:
        history.tell(batch, "lab", {ORGANISMS[0]: CLEAN})
    back = history.take_back
    # Mostly of one thing alone, so that what hangs on it alone is seen.
    often: tuple[Callable[[], None], ...] = history.chance.choice((
        (history.lab, back), (history.oxygen, back), (history.lab, history.oxygen, back, back)))
    for _ in range(history.chance.randrange(12)):
        history.chance.choice(often)()
    return history


def test_no_batch_is_fit_by_taking_bad_news_back(long: bool) -> None:
    came: Counter[str] = Counter()
    for seed in range(LONG if long else HISTORIES):
        history = lived(seed)
        every = batches_of([event(an_id, body) for an_id, body in history.bodies])
        batch = next(each for each in every if each.id == JUDGED)
        found = judge(batch, HEAP, BatchRules(oxygen_floor_mg_l=6.0), on_file(every), AT, UTC)
        why = list(against(history))
        assert (found.verdict == "refused") == bool(why), (seed, why, found.why)
        taken = any(each.back and {LOW, DIRTY} & set(each.figures.values()) for each in history.told)
        came.update(why or ["fit, and bad news taken back" if taken else "fit"])
    # Else the histories would be empty, and the test with them.
    assert all(came[name] for name in ("fit", "fit, and bad news taken back", "dirty test", "too few tests",
                                       "own laboratory", "low oxygen", "low oxygen taken back")), came
