"""The client's wishes as they would be without one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rootcase.casework.prescribe.courses import Course
from rootcase.casework.prescribe.remedies import Remedy, remedies
from rootcase.casework.prescribe.wishes import Wishes, barred_by, worked_share

FREE: Mapping[str, tuple[str, str]] = {
    "wish_lawn": ("lawn", "free"), "wish_bed_line": ("bed_line", "free"), "wish_chips": ("chips", "yes"),
    "wish_holes": ("holes", "yes"), "wish_products": ("products", "")}
"""Field of the wishes and the answer that forbids nothing, by kind of the reading."""
WISH_BEHIND: Mapping[str, str] = {
    "lawn_stays": "wish_lawn", "bed_line_fixed": "wish_bed_line", "no_chips": "wish_chips", "no_holes": "wish_holes",
    "product_barred": "wish_products"}
"""Kind of the wish by the reason it gives."""
ON_TURF = ("open", "turf")


def lifted(wishes: Wishes, kind: str) -> Wishes:
    """The wishes without one of them.

    Parameters
    ----------
    wishes : the client's answers.
    kind : of the reading that holds the wish.

    Returns
    -------
    Wishes whose answer of that kind forbids nothing.

    Raises
    ------
    KeyError : a kind that is no such wish.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> lifted(Wishes("lawn", "stays", "fixed", "no", "yes", ""), "wish_lawn").lawn
    'free'
    """
    name, answer = FREE[kind]
    return replace(wishes, **{name: answer})


def course_barred(parts: Sequence[Remedy], wishes: Wishes, turf: float, bare: float) -> str:
    """Why the client's wishes or the use of the ground forbid a course.

    Parameters
    ----------
    parts : its remedies.
    wishes : the client's answers.
    turf, bare : shares of the ground over the roots. [-]

    Returns
    -------
    Key of the words under prescribe.reason; empty where nothing bars it.

    Raises
    ------
    Missing : the table lacks an answer.

    Notes
    -----
    The first part that is barred says why.

    References
    ----------
    `wishes.barred_by`.

    Examples
    --------
    >>> mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    >>> course_barred([mulch], Wishes("lawn", "free", "free", "no", "yes", ""), 1.0, 0.0)
    'no_chips'
    """
    worked = worked_share(wishes)
    return next((reason for part in parts if (reason := barred_by(part, wishes, worked, turf, bare))), "")


def turf_worked(parts: Sequence[Remedy], wishes: Wishes, turf: float, bare: float) -> float:
    """How much of the turf a course works.

    Parameters
    ----------
    parts : its remedies.
    wishes : the client's answers.
    turf, bare : shares of the ground over the roots. [-]

    Returns
    -------
    Share of the turf; 1 for a course that leaves it be.

    Raises
    ------
    Missing : the table lacks an answer.

    Notes
    -----
    A barred course is reckoned as if the client let go the wishes that bar it, and no other: what it would gain is what
    they cost, and who insists on it gives up no more than them. What the use of the ground bars is reckoned whole.

    References
    ----------
    Table prescribe/wishes: JUDGEMENT.

    Examples
    --------
    >>> mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    >>> keep = Wishes("lawn", "part", "free", "yes", "yes", "")
    >>> turf_worked([mulch], keep, 0.9, 0.1), turf_worked([mulch], lifted(keep, "wish_lawn"), 0.9, 0.1)
    (0.5, 1.0)
    """
    if not any(part.ground in ON_TURF for part in parts):
        return 1.0
    while reason := course_barred(parts, wishes, turf, bare):
        if reason not in WISH_BEHIND:
            return 1.0
        wishes = lifted(wishes, WISH_BEHIND[reason])
    return worked_share(wishes).turf


def remedies_of(course: Course) -> tuple[Remedy, ...]:
    """The remedies of a course, in the order of work.

    Parameters
    ----------
    course : its parts.

    Returns
    -------
    tuple of Remedy.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/remedies.

    Examples
    --------
    >>> from rootcase.casework.prescribe.courses import Part
    >>> [r.code for r in remedies_of(Course("water+mulch", (Part("water", 1, 5), Part("mulch", 1, 5))))]
    ['water', 'mulch']
    """
    return tuple(next(r for r in remedies() if r.code == part.remedy) for part in course.parts)
