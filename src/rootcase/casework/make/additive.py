"""An additive asks for clean tests of the same compost, additive and vat."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rootcase.casework.make.laboratory import ORGANISMS, not_repeated
from rootcase.casework.make.steps import NO_ADDITIVE
from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.make.batch import AdditiveTest, Batch, ToldStep
from rootcase.science.tank.hygiene import Pretest, pretest
from rootcase.tables.load import table

_RULE = "additives"


def additive_of(batch: Batch) -> str:
    """Which additive went into a batch?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    Its name in small letters, several in the order told; empty where none was told, or none went in.

    Raises
    ------
    Nothing.

    Notes
    -----
    No additive is the usual case, so it need not be told. The newest word holds until extraction starts; what stood
    then, and what is told of it afterwards, went in whatever is told later.

    References
    ----------
    None.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> additive_of(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", steps=(),
    ...                   judgement=None, loads=()))
    ''
    """
    before: list[str] = []
    since: list[str] = []
    begun = False
    for told in batch.every_step or batch.steps:
        begun = begun or told.step == "start"
        if told.step == "additive":
            (since if begun else before).append(" ".join(told.words.get("additive", "").casefold().split()))
    return ", ".join(dict.fromkeys(name for name in (*before[-1:], *since) if name not in ("", NO_ADDITIVE)))


def tests_on_file(batches: Iterable[Batch]) -> tuple[AdditiveTest, ...]:
    """Which laboratory counts does the practice have of batches that had an additive?

    Parameters
    ----------
    batches : all it made.

    Returns
    -------
    One a batch, its worst counts, in the order of the batches.

    Raises
    ------
    Nothing.

    Notes
    -----
    Only a batch that was made counts: with compost in it, and an end. Several answers of one batch are one test; one
    that says only ">100" is that test's until a higher count of the same batch tells how many. One over its limit that
    was taken back stays that test's until the same organism is told anew.

    References
    ----------
    Table tank/hygiene_limits.

    Examples
    --------
    >>> tests_on_file([])
    ()
    """
    return tuple(AdditiveTest(batch_id=batch.id, heap_id=batch.heap_id, additive=additive_of(batch),
                              vat=vat_of(batch), at=max(told.at for told in answers),
                              e_coli=_worst(answers, "e_coli"), enterococci=_worst(answers, "enterococci"),
                              from_below=tuple(name for name in ORGANISMS if _from_below(answers, name)))
                 for batch in batches if additive_of(batch) and batch.newest("compost") and batch.newest("end")
                 and (answers := (*batch.told("lab"), *not_repeated(batch))))


def additive_faults(batch: Batch, tests: Sequence[AdditiveTest]) -> tuple[str, ...]:
    """May a batch go out with its additive?

    Parameters
    ----------
    batch : as it stands.
    tests : see `tests_on_file`.

    Returns
    -------
    A line for what is wrong, with what would be right; empty where nothing is.

    Raises
    ------
    OutOfRange : a count leaves its range.

    Notes
    -----
    Only tests of other batches of the same heap, additive and vat count. One organism is enough; where both were
    counted both have to be within the rule. A count known only from below shows no
    mean kept. A clean test does not say that a liquid is safe.

    References
    ----------
    Table tank/hygiene_limits, rule additives.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> additive_faults(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                       steps=(), judgement=None, loads=()), ())
    ()
    """
    additive = additive_of(batch)
    if not additive:
        return ()
    needed = table("tank/hygiene_limits").row(organism="e_coli", rule=_RULE)["tests_needed"]
    found = _pretests(batch, tests)
    if bad := next(((name, each) for name, each in found.items() if each.verdict == "not_met"), None):
        return (_over(additive, *bad),)
    if open_ended := _open_ended(batch, tests, found):
        return (say("batch.why.additive_from_below", additive=additive, organism=say(f"batch.organism.{open_ended}"),
                    limit=number(found[open_ended].limit)),)
    if not any(each.verdict == "met" for each in found.values()):
        return (say("batch.why.additive_untested", additive=additive, needed=int(needed),
                    found=max((each.tests for each in found.values()), default=0)),)
    if over := _over_in_few(found):
        return (say("batch.why.additive_over_in_few", additive=additive, organism=say(f"batch.organism.{over}"),
                    count=found[over].tests, needed=int(needed), mean=number(found[over].mean, 4),
                    limit=number(found[over].limit)),)
    return ()


def is_test_batch(batch: Batch, tests: Sequence[AdditiveTest]) -> bool:
    """Is a batch made for the laboratory, since its additive has too few tests yet?

    Parameters
    ----------
    batch : as it stands.
    tests : see `tests_on_file`.

    Returns
    -------
    Whether tests are missing, are over the limit in fewer than the rule asks for, or tell only that a count lies above
    a figure, and none on file are over the rule.

    Raises
    ------
    OutOfRange : a count leaves its range.

    Notes
    -----
    It goes through all its steps, is judged refused and never loaded; its laboratory result counts for later ones.

    References
    ----------
    Table tank/hygiene_limits, rule additives.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> is_test_batch(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                     steps=(), judgement=None, loads=()), ())
    False
    """
    if not additive_of(batch):
        return False
    found = _pretests(batch, tests)
    verdicts = {each.verdict for each in found.values()}
    return "not_met" not in verdicts and ("met" not in verdicts or bool(_open_ended(batch, tests, found))
                                          or bool(_over_in_few(found)))


def vat_of(batch: Batch) -> str:
    """In which vat was a batch made?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    Its name in small letters; empty where it has none.

    Raises
    ------
    Nothing.

    Notes
    -----
    A practice with one vat need not name it.

    References
    ----------
    None.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> vat_of(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs", steps=(),
    ...              judgement=None, loads=()))
    ''
    """
    told = batch.newest("vat")
    return " ".join(told.words.get("vat", "").casefold().split()) if told else ""


def _pretests(batch: Batch, tests: Sequence[AdditiveTest]) -> dict[str, Pretest]:
    """By organism, of other batches of the same heap, additive and vat."""
    own = _of_the_make(batch, tests)
    return {name: pretest(counts, name, _RULE, from_below=any(name in test.from_below for test in own))
            for name in ORGANISMS
            if (counts := [count for test in own if (count := getattr(test, name)) is not None])}


def _of_the_make(batch: Batch, tests: Sequence[AdditiveTest]) -> list[AdditiveTest]:
    make = (batch.heap_id, additive_of(batch), vat_of(batch))
    return [test for test in tests if test.batch_id != batch.id and (test.heap_id, test.additive, test.vat) == make]


def _open_ended(batch: Batch, tests: Sequence[AdditiveTest], found: Mapping[str, Pretest]) -> str:
    """The organism of which a test says only that its count lies above a figure; empty: there is none."""
    own = _of_the_make(batch, tests)
    return next((name for name in found if any(name in test.from_below for test in own)), "")


def _over_in_few(found: Mapping[str, Pretest]) -> str:
    """The organism that lies over its limit in fewer tests than the rule asks for; empty: there is none."""
    return next((name for name, each in found.items() if each.verdict == "not_shown" and each.mean > each.limit), "")


def _from_below(answers: Sequence[ToldStep], organism: str) -> bool:
    """Whether the worst count is only known to lie above its figure; a higher one of the same batch tells more."""
    name, worst = f"{organism}_per_100_ml", _worst(answers, organism)
    return any(told.figure(name) == worst and told.words.get(f"{organism}_sign") == ">" for told in answers
               if worst is not None)


def _worst(answers: Sequence[ToldStep], organism: str) -> float | None:
    counts = (told.figure(f"{organism}_per_100_ml") for told in answers)
    return max((count for count in counts if count is not None), default=None)


def _over(additive: str, organism: str, found: Pretest) -> str:
    return say("batch.why.additive_dirty", additive=additive, organism=say(f"batch.organism.{organism}"),
               mean=number(found.mean, 4), limit=number(found.limit), count=found.tests)
