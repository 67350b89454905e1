"""Laboratory counts of what went out, each held against its limit, and those over it that were only taken back."""

from __future__ import annotations

from dataclasses import replace

from rootcase.casework.make.told_anew import not_told_again
from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch, ToldStep
from rootcase.tables.load import table

ORGANISMS = ("e_coli", "enterococci")
_RULE = "additives"


def over_the_limit(told: ToldStep) -> str:
    """Does a laboratory's answer forbid any further load?

    Parameters
    ----------
    told : the laboratory's counts.

    Returns
    -------
    The figures in one line; empty where every count is within its limit, or nothing was counted.

    Raises
    ------
    Missing : the table lacks the limit.

    Notes
    -----
    Of a count below a detection limit that is over the rule's the upper bound counts: it shows nothing of the limit.
    Neither does one that is only known to lie above a figure within it.
    One count is held against the limit of the mean, since it is the only one of this batch. What it means for health is
    for the health authority to say.

    References
    ----------
    Table tank/hygiene_limits, rule additives.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from rootcase.records.make.batch import Figure
    >>> over_the_limit(ToldStep(id="1", step="lab", at=datetime(2016, 5, 9, tzinfo=UTC), by="rs",
    ...                         figures=(Figure("e_coli_per_100_ml", 2400.0),), words={}))
    'E. coli 2,400 per 100 mL; limit 126'
    """
    return "; ".join(line for organism in ORGANISMS if (line := _over(told, organism)))


def not_repeated(batch: Batch) -> tuple[ToldStep, ...]:
    """Which laboratory counts over their limit were taken back, and not told anew of the same organism?

    Parameters
    ----------
    batch : as it stands.

    Returns
    -------
    The laboratory's answers in the order taken back, each with only those counts.

    Raises
    ------
    Missing : the table lacks the limit.

    Notes
    -----
    As many counts of an organism have to be told anew as were over and taken back.

    References
    ----------
    Table tank/hygiene_limits, rule additives.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> not_repeated(Batch(id="b", number=1, heap_id="h", started_at=datetime(2016, 5, 3, tzinfo=UTC), by="rs",
    ...                    steps=(), judgement=None, loads=()))
    ()
    """
    left = {(each.told.id, _count(organism)) for organism in ORGANISMS for each in not_told_again(
        [each for each in batch.taken_back if each.told.step == "lab" and _over(each.told, organism)],
        {told.id for told in batch.told("lab") if told.figure(_count(organism)) is not None})}
    answers = (replace(each.told, figures=tuple(figure for figure in each.told.figures
                                                if (each.told.id, figure.name) in left)) for each in batch.taken_back)
    return tuple(told for told in answers if told.figures)


def _over(told: ToldStep, organism: str) -> str:
    """The figure and its limit; empty where it is within it, or was not counted."""
    count = told.figure(_count(organism))
    limit = table("tank/hygiene_limits").row(organism=organism, rule=_RULE)["most_per_100_ml"]
    sign = told.words.get(f"{organism}_sign", "")
    if count is None or (count <= limit and sign != ">"):
        return ""
    within = "batch.lab_from_below" if count < limit else "batch.lab_over"
    return say("batch.lab_no_limit" if sign == "<" else within, organism=say(f"batch.organism.{organism}"),
               count=f"{sign}{number(count, 6)}", limit=number(limit))


def _count(organism: str) -> str:
    return f"{organism}_per_100_ml"
