"""Slides under the microscope: kept, put right, taken back, and what they come to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from rootcase.casework.make.slide import AIMED_AT, counted
from rootcase.casework.make.slides_beside import observer_error, slides_beside
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.batches import BatchStepTold
from rootcase.fieldbook.made.slides import SLIDE_EVENTS, SlideCounted, SlideTakenBack
from rootcase.fieldbook.making.batch_log import standing_step
from rootcase.fieldbook.making.slide_log import slides_of
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.view import heads
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.ids import SIGNS
from rootcase.ground.length import MOST_LINE
from rootcase.ground.words import say
from rootcase.records.make.slide import BesideYardstick, Method, ObserverError, Slide, SlideCount, Source
from rootcase.records.observe import System
from rootcase.services.heap import heap_named, heaps, slot_of
from rootcase.services.make_batch import batch_named, batches, tell_step
from rootcase.services.slide_form import figure_cells, typed_slide

_OFFERED = 30
"""Batches among which is chosen: the newest. JUDGEMENT: of a month."""
_NOT_BESIDE = 3
"""Slides that may not be set beside, of which is said why: the newest."""


@dataclass(frozen=True, slots=True)
class SlideTold:
    """What came of a form: the slide and what it comes to, or what is wrong by cell; under no name what is wrong with
    all of it."""

    slide: Slide | None
    count: SlideCount | None
    wrong: Mapping[str, str]
    said: tuple[str, ...] = ()
    """How what could mean two things was read."""


@dataclass(frozen=True, slots=True)
class SlideSeen:
    """A slide as it is looked at."""

    slide: Slide
    count: SlideCount | None
    """None where nothing can be reckoned yet; then `lacking` says why."""
    lacking: str
    beside: tuple[tuple[Slide, SlideCount | None, BesideYardstick], ...]
    observer: ObserverError | None
    batch: int | None
    """Number of the batch whose step it is."""


def slides(book: Fieldbook) -> tuple[Slide, ...]:
    """Every slide of the practice, newest first."""
    return slides_of(book.making.events())


def slide_named(book: Fieldbook, named: str) -> Slide:
    """The slide of this id, or of the end of it."""
    fitting = [each for each in slides(book) if each.id == named or (len(named) >= SIGNS and each.id.endswith(named))]
    if len(fitting) != 1:
        raise Missing(say("slide.several") if fitting else say("slide.none"), value=named[:MOST_LINE],
                      right=say("slide.right_slide"))
    return fitting[0]


def seen(book: Fieldbook, named: str) -> SlideSeen:
    """A slide, what it comes to, and what lies beside it."""
    slide, known = slide_named(book, named), slides(book)
    by_id = {each.id: each for each in known}
    count, lacking = reckoned(slide)
    found = slides_beside(slide, known)
    shown = [*(each for each in found if not each.why_not), *[each for each in found if each.why_not][:_NOT_BESIDE]]
    beside = tuple((by_id[each.slide_id], reckoned(by_id[each.slide_id])[0], each) for each in shown)
    batch = next((each.number for each in batches(book) for step in each.steps
                  if step.words.get("slide") == slide.id), None)
    return SlideSeen(slide, count, lacking, beside, observer_error(known, slide.by, slide.method), batch)


def reckoned(slide: Slide) -> tuple[SlideCount | None, str]:
    """What a slide comes to, or why nothing can be said."""
    try:
        return counted(slide), ""
    except RootcaseError as error:
        return None, str(error)


def try_slide(cells: Mapping[str, str], *, by: str, today: date, system: System, slide_id: str = "",
              aimed_at: float = AIMED_AT) -> SlideTold:
    """What a form comes to, without a fieldbook; nothing is kept."""
    said: list[str] = []
    slide, wrong = typed_slide(slide_id, cells, by=by, today=today, system=system, said=said)
    if slide is None or slide.method == "photos":  # photos come when the slide is there
        return SlideTold(slide, None, wrong, tuple(said))
    try:
        return SlideTold(slide, counted(slide, aimed_at), wrong, tuple(said))
    except RootcaseError as error:
        return SlideTold(None, None, {"": str(error)}, tuple(said))


def keep_slide(book: Fieldbook, cells: Mapping[str, str], *, by: str, today: date, system: System) -> SlideTold:
    """Keep a slide; a form that is sent again tells nothing new, and one that was changed before is another slide."""
    tried = _with_source(book, try_slide(cells, by=by, today=today, system=system, slide_id=slot_of(book, cells)))
    told = _with_repeat(book, cells, tried)
    if told.slide is None:
        return told
    slide = told.slide

    def unless_kept(events: Sequence[Event]) -> list[Body]:
        nonlocal slide
        counted = [event.body for event in events if isinstance(event.body, SlideCounted)]
        if slide.id not in {body.slide for body in counted}:
            return [_body(slide)]
        alike = [body.slide for body in counted if _bare(body) == _bare(_body(slide))]
        slide = replace(slide, id=slide.id if slide.id in alike else alike[-1] if alike else book.making.new_id())
        return [] if alike else [_body(slide)]

    book.making.tell(unless_kept)
    return replace(told, slide=slide, said=(*told.said, *_told_to_batch(book, slide, by)))


def _bare(body: SlideCounted) -> SlideCounted:
    """What was counted, whatever slide it stands for."""
    return replace(body, slot="", slide="", supersedes=None)


def sources_there(book: Fieldbook) -> list[tuple[Source, str]]:
    """The newest batches and every heap, as a slide names them."""
    return [*(("batch", str(each.number)) for each in batches(book)[:_OFFERED]),
            *(("heap", each.name) for each in heaps(book))]


def _with_source(book: Fieldbook, told: SlideTold, before: Slide | None = None) -> SlideTold:
    """A slide of a batch or a heap names one that there is; one that is put right may go on naming what it named."""
    slide = told.slide
    if slide is None or slide.source not in ("batch", "heap"):
        return told
    if before and (before.source, before.source_called) == (slide.source, slide.source_id):
        return replace(told, slide=replace(slide, source_id=before.source_id, source_name=before.source_name))
    try:
        if slide.source == "batch":
            return replace(told, slide=replace(slide, source_id=_batch_number(book, slide)))
        heap = heap_named(book, slide.source_id)
    except RootcaseError as error:
        return SlideTold(None, None, {"source_id": str(error)}, told.said)
    return replace(told, slide=replace(slide, source_id=heap.id, source_name=heap.name))  # it may be renamed


def _batch_number(book: Fieldbook, slide: Slide) -> str:
    try:
        return str(batch_named(book, slide.source_id).number)
    except Missing as error:
        newest = ", ".join(name for source, name in sources_there(book) if source == "batch")
        right = say("slide.right_batch", numbers=newest) if newest else say("slide.no_batch_yet")
        raise Missing(error.what, value=slide.source_id, right=right) from None


def _with_repeat(book: Fieldbook, cells: Mapping[str, str], told: SlideTold) -> SlideTold:
    """The slide that this one repeats, by its id or the end of it, is one by the same method and observer."""
    named = cells.get("repeat_of", "").strip()
    if told.slide is None or not named:
        return told
    try:
        first = slide_named(book, named)
    except RootcaseError as error:
        return SlideTold(None, None, {"repeat_of": str(error)}, told.said)
    if (first.method, first.by) != (told.slide.method, told.slide.by) or first.id == told.slide.id:
        return SlideTold(None, None, {"repeat_of": say("slide.no_repeat")}, told.said)
    return replace(told, slide=replace(told.slide, repeat_of=first.id))


def _told_to_batch(book: Fieldbook, slide: Slide, by: str) -> tuple[str, ...]:
    """A slide of a batch is a step of it; where the batch is not so far the slide stands alone, and why is said."""
    if slide.source != "batch":
        return ()
    try:
        batch = batch_named(book, slide.source_id)
        if slide.id not in {step.words.get("slide") for step in batch.steps}:
            tell_step(book, batch.id, "slide", {}, {"slide": slide.id}, by)
    except RootcaseError as error:
        return (say("slide.alone", why=str(error)),)
    return ()


def _gone_from_batches(book: Fieldbook, slide: Slide, by: str) -> None:
    """Batches whose step a slide was, and that it is not of any more, say where it went."""
    now = slide.source_id if slide.source == "batch" else ""
    for batch in batches(book):
        for step in batch.told("slide") if str(batch.number) != now else ():
            if step.words.get("slide") == slide.id:
                _tell_gone(book, batch.id, step.id, slide, by)


def _tell_gone(book: Fieldbook, batch_id: str, step_id: str, slide: Slide, by: str) -> None:
    note = say("slide.gone", id=slide.id[-SIGNS:], source=say(f"slide.source.{slide.source}", name=slide.source_called))

    def told(events: Sequence[Event]) -> list[Body]:
        slot = next((event.body.slot for event in events if event.id == step_id), "")
        if standing_step(events, slot) != step_id:
            return []
        return [BatchStepTold(slot=slot, supersedes=step_id, batch=batch_id, step="slide", words={"note": note},
                              at=written(book.making.now()), by=by)]

    book.making.tell(told)


def correct_slide(book: Fieldbook, slide: Slide, cells: Mapping[str, str], *, by: str, today: date,
                  system: System) -> SlideTold:
    """Put what is typed in the place of a slide; the old one stays on record. Whose count it was does not change.

    A batch that it is not of any more says where it went, and the one that it is of has it as a step.
    """
    tried = try_slide({**cells, "method": slide.method}, by=slide.by, today=today, system=system, slide_id=slide.id)
    told = _with_repeat(book, cells, _with_source(book, tried, slide))
    if told.slide is not None:
        body = _body(told.slide)
        book.making.tell(lambda events: [replace(body, supersedes=standing(events, slide.id).id)])
        _gone_from_batches(book, told.slide, by)
        told = replace(told, said=(*told.said, *_told_to_batch(book, told.slide, by)))
    return told


def take_slide_back(book: Fieldbook, slide: Slide, reason: str, *, by: str, slot: str = "") -> str:
    """Take a slide back, or of it the photo of this slot; it stays on record with the reason. Returns what is wrong
    with the reason."""
    why, slot = " ".join(reason.split()), slot or slide.id
    if not why or len(why) > MOST_LINE:
        return say("heap.empty") if not why else say("heap.too_long", most=MOST_LINE)
    book.making.tell(lambda events: [SlideTakenBack(slot=slot, supersedes=standing(events, slot).id, slide=slide.id,
                                                    reason=why, by=by)])
    return ""


def remembered(book: Fieldbook, method: Method, by: str) -> tuple[dict[str, str], Slide | None]:
    """The geometry of this operator's last slide by this method, as it would be typed, and which slide that was."""
    last = next((each for each in slides(book) if each.by == by and each.method == method), None)
    if last is None:
        return {}, None
    return {**figure_cells(last), "constant": last.constant, "counted": last.counted}, last


def standing(events: Iterable[Event], slot: str) -> Event:
    """The event that stands for a slide or a photo of one."""
    head = heads(each for each in events if isinstance(each.body, SLIDE_EVENTS)).get(slot)
    if head is None or isinstance(head.event.body, SlideTakenBack):
        raise Missing(say("slide.none"), value=slot[-SIGNS:], right=say("slide.right_slide"))
    return head.event


def _body(slide: Slide) -> SlideCounted:
    return SlideCounted(slot=slide.id, slide=slide.id, method=slide.method, source=slide.source,
                        source_id=slide.source_id, counted=slide.counted, day=slide.day, by=slide.by, rows=slide.rows,
                        figures=slide.figures, constant=slide.constant, repeat_of=slide.repeat_of)
