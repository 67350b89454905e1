"""Looking every autumn, and still being wrong no oftener than was said."""

from __future__ import annotations

from rootcase.ground.errors import require_range


def level_of_look(level: float, look: int) -> float:
    """Level that the interval of a look must have, so that all looks together hold the level that was said.

    Parameters
    ----------
    level : that all intervals of a trial shall hold together, however many there will be; between 0 and 1. [-]
    look : 1 for the first, 2 for the second and so on. [-]

    Returns
    -------
    Level of this look's interval, above the level asked for. [-]

    Raises
    ------
    OutOfRange : an argument outside its range.

    Notes
    -----
    The risk is shared out as 1/2, 1/6, 1/12, ... of it, which sum to 1 (1 / (k (k + 1))), so nobody has to know how
    many looks there will be, and it holds whatever one look's data share with another's. The price: the fourth
    autumn's 90 % is a 99.5 % interval of its own.

    References
    ----------
    Bonferroni's inequality; the shares are JUDGEMENT: any that sum to 1 would hold.

    Examples
    --------
    >>> [round(level_of_look(0.9, look), 4) for look in (1, 2, 3, 4)]
    [0.95, 0.9833, 0.9917, 0.995]
    """
    require_range("level of the interval", level, 1e-6, 1.0 - 1e-6, "")
    require_range("look", look, 1, 1e6, "")
    return 1.0 - (1.0 - level) / (look * (look + 1))
