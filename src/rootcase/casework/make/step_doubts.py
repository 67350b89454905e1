"""What of a batch's steps is kept and doubted."""

from __future__ import annotations

from rootcase.casework.make.limits import cannot_be, saturation_mg_l
from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch, BatchRules

_DOSE_FACTOR = 3.0
"""JUDGEMENT: advices differ by less than this; a dose further off is a slip of the hand or of the scale's unit."""


def step_doubts(batch: Batch, rules: BatchRules, needed_g: float | None) -> dict[str, str]:
    """Which entries of a batch are doubted?

    Parameters
    ----------
    batch : as it stands.
    rules : the yard's height.
    needed_g : of the neutraliser, by the advice that was chosen; None: not known. [g]

    Returns
    -------
    A line by the id of the entry.

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    What is doubted stays as it was told: oxygen above what water holds, a neutraliser's dose more than three times
    what is advised or less than a third of it.

    References
    ----------
    Table observe/agreements, oxygen_saturation; three times: JUDGEMENT.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from rootcase.records.make.batch import Figure, ToldStep
    >>> at = datetime(2016, 5, 3, 9, 5, tzinfo=UTC)
    >>> told = ToldStep(id="1", step="neutraliser", at=at, by="rs", words={}, figures=(Figure("mass_g", 2600.0),))
    >>> batch = Batch(id="b", number=1, heap_id="h", started_at=at, by="rs", steps=(told,), judgement=None, loads=())
    >>> step_doubts(batch, BatchRules(oxygen_floor_mg_l=6.0), 2.6)["1"]
    'Doubtful: the advice that was chosen comes to 2.6 g. Weigh again, or tell what was meant.'
    """
    doubts = {told.id: say("batch.doubt.oxygen", holds=f"{saturation_mg_l(told, rules):.1f}")
              for told in batch.told("oxygen") if cannot_be(told, rules)}
    dose = batch.newest("neutraliser")
    mass_g = dose.figure("mass_g") if dose else None
    if dose is not None and mass_g is not None and needed_g is not None and not (
            needed_g / _DOSE_FACTOR <= mass_g <= needed_g * _DOSE_FACTOR):
        doubts[dose.id] = say("batch.doubt.dose", needed=number(needed_g))
    return doubts
