"""Which tests of a vat's water still stand: water that was let in since has to be tested anew."""

from __future__ import annotations

from rootcase.records.make.batch import Batch, ToldStep


def water_tests(batch: Batch) -> tuple[ToldStep, ...]:
    """Which tests of total chlorine stand for the water in a vat?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    The test and the neutraliser with its own, in order of time, the one that decides last; only the test, where it came
    later; none from before the water.

    Raises
    ------
    Nothing.

    Notes
    -----
    In order of when each was done; two of one moment as they were told.

    References
    ----------
    None: a rule of this house.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> at = datetime(2016, 5, 3, 9, 5, tzinfo=UTC)
    >>> tested = ToldStep(id="1", step="chlorine", at=at, by="rs", words={"strip": "total"})
    >>> water = ToldStep(id="2", step="water", at=at, by="rs", words={"origin": "mains"})
    >>> [len(water_tests(Batch(id="b", number=1, heap_id="h", started_at=at, by="rs", steps=steps, judgement=None,
    ...                        loads=()))) for steps in ((water, tested), (tested, water))]
    [1, 0]
    """
    done = sorted((told for told in batch.steps if told.step in ("water", "chlorine", "neutraliser")),
                  key=lambda told: told.at)
    since = next((place for place, told in enumerate(done) if told.step == "water"), -1)
    tests = tuple(done[since + 1:])
    return tests[-1:] if tests and tests[-1].step == "chlorine" else tests


def chlorine_before_dose(batch: Batch) -> float | None:
    """How much total chlorine did the water have that the neutralizer was dosed for?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    By the last total-chlorine test of that water up to the neutralizer, also where a newer test took its place. [mg/L]
    None where neither is told.

    Raises
    ------
    Nothing.

    Notes
    -----
    A test after the neutralizer shows what it left, and makes no dose doubtful.

    References
    ----------
    None: a rule of this house.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> chlorine_before_dose(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                            steps=(), judgement=None, loads=()))
    """
    water, dosed = batch.newest("water"), batch.newest("neutraliser")
    before = sorted((told for told in batch.ever("chlorine") if told.words.get("strip") == "total"
                     and (water is None or told.at >= water.at) and (dosed is None or told.at <= dosed.at)),
                    key=lambda told: told.at)
    return before[-1].figure("total_chlorine_mg_l") if dosed is not None and before else None
