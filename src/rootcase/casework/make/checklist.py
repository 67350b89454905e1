"""The checklist of a batch: each step opens the next."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

from rootcase.casework.make.limits import of_the_liquid
from rootcase.casework.make.near_end import read_near_the_end
from rootcase.casework.make.water_tests import water_tests
from rootcase.records.make.batch import Batch, Step
from rootcase.records.make.checklist import CheckedStep, NeutraliserDose, StepState
from rootcase.science.tank.water import neutraliser_g, told_dose_mg_mg
from rootcase.tables.load import table

STEPS: tuple[Step, ...] = get_args(Step)
OPTIONAL: tuple[Step, ...] = ("additive", "slide", "smell", "lab", "gallons")
"""Nothing waits for these."""
_AGAINST = {"vat": "vat", "water": "water", "chlorine": "chlorine", "neutraliser": "chlorine", "additive": "additive"}
"""Under which name `against_by_step` speaks of a step."""


def checklist(batch: Batch, against: Mapping[str, tuple[str, ...]], *, read_again: bool) -> tuple[CheckedStep, ...]:
    """Where does each step of a batch stand?

    Parameters
    ----------
    batch : as it stands.
    against : lines by vat, water, chlorine and additive, see `against_by_step`.
    read_again : whether the newest reading of oxygen cannot be.

    Returns
    -------
    CheckedStep each, in the order of the work; at most one is `now`.

    Raises
    ------
    Nothing.

    Notes
    -----
    A step that stands against the batch stays `now` until it is told anew, or the batch is judged. A neutraliser is
    not needed where total chlorine is low enough without. What a tank gives is told once it is loaded.

    References
    ----------
    None: arrangement only.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> batch = Batch(id="b", number=32, heap_id="h", started_at=datetime(2016, 5, 3, 9, 5, tzinfo=UTC), by="rs",
    ...               steps=(), judgement=None, loads=())
    >>> [each.state for each in checklist(batch, {"vat": ("dirty",)}, read_again=False)][:3]
    ['now', 'later', 'later']
    """
    found, open_now = [], batch.judgement is None
    for step in STEPS:
        told = batch.told(step)
        done = _done(batch, step, against, read_again)
        state: StepState = "not_told"
        if batch.judgement is not None:
            state = "done" if told else "not_told"
        elif done:
            state = "done" if told else "not_needed"
        elif step in OPTIONAL:
            may = step != "gallons" and (open_now or (step == "lab" and batch.newest("end")))
            state = "may" if may else "later"
        else:
            state = "now" if open_now else "later"
            open_now = False
        found.append(CheckedStep(step=step, state=state, told=told, against=_lines(batch, step, against)))
    return tuple(found)


def neutraliser_doses(volume_l: float | None, total_chlorine_mg_l: float | None) -> tuple[NeutraliserDose, ...]:
    """How much neutraliser does the water in a vat take, by chemical and by whose advice?

    Parameters
    ----------
    volume_l : of water; None: not told. [L]
    total_chlorine_mg_l : by a total-chlorine test; None: not told. [mg/L]

    Returns
    -------
    One a row of the table, in grams; empty where too little is told or there is nothing to neutralise.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Advices differ, so each is a row of its own. Stir, wait, test again.

    References
    ----------
    `neutraliser_g`; table tank/neutralisers.

    Examples
    --------
    >>> first = neutraliser_doses(1135.6, 0.4)[0]
    >>> first.chemical, round(first.mass_g, 1)
    ('ascorbic_acid', 1.1)
    """
    if not volume_l or not total_chlorine_mg_l:
        return ()
    return tuple(NeutraliserDose(
        chemical=row["chemical"], rule=row["rule"], source=row["source"], mass_g=float(neutraliser_g(
            volume_l, total_chlorine_mg_l, told_dose_mg_mg(row["chemical"], row["rule"]), "total")))
        for row in table("tank/neutralisers").rows)


def _done(batch: Batch, step: Step, against: Mapping[str, tuple[str, ...]], read_again: bool) -> bool:
    told = batch.newest(step)
    if step == "chlorine":
        return _tested(batch)
    if step == "neutraliser":
        return _tested(batch) and not against.get("chlorine")
    if step == "oxygen":
        return bool(of_the_liquid(batch)) and read_near_the_end(batch) and not read_again
    return told is not None and not against.get(step)


def _tested(batch: Batch) -> bool:
    """Whether total chlorine of the water in the vat is known."""
    return any(told.step == "chlorine" and told.words.get("strip") == "total"
               and told.figure("total_chlorine_mg_l") is not None for told in water_tests(batch))


def _lines(batch: Batch, step: Step, against: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """What stands against a step that was told; of one that was not, that says the checklist itself."""
    if step in ("chlorine", "neutraliser") and _tested(batch) == (step == "chlorine"):
        return ()
    return against.get(_AGAINST.get(step, ""), ()) if batch.newest(step) else ()
