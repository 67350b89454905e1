"""What the client, the use of the ground and the trade forbid."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.needs import LITTLE
from rootcase.casework.prescribe.remedies import Remedy
from rootcase.casework.prescribe.states import Worked
from rootcase.records.observe import PropertyRecord
from rootcase.tables.load import table

ASKED = ("wish_lawn", "wish_bed_line", "wish_chips", "wish_holes", "wish_products", "budget_year", "closed_days")
NOT_ASKED = "not_asked"


@dataclass(frozen=True, slots=True)
class Wishes:
    """The client's answers at one place; NOT_ASKED where there is none."""

    place_kind: str
    lawn: str
    bed_line: str
    chips: str
    holes: str
    products: str
    """What the client will not have, in the client's own words; empty where nothing was said."""


def wishes_of(ground: Ground) -> Wishes:
    """What the client answered about the ground of one tree.

    Parameters
    ----------
    ground : what was read at the tree and its place.

    Returns
    -------
    Wishes.

    Raises
    ------
    Nothing.

    Notes
    -----
    The newest answer holds.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> wishes_of(Ground("lawn", {})).lawn
    'not_asked'
    """
    def answer(kind: str) -> str:
        reading = ground.choice(kind)
        return NOT_ASKED if reading is None or reading.choice is None else reading.choice

    products = ground.choice("wish_products")
    return Wishes(ground.place_kind, answer("wish_lawn"), answer("wish_bed_line"), answer("wish_chips"),
                  answer("wish_holes"), "" if products is None else (products.choice or "").lower())


def worked_share(wishes: Wishes) -> Worked:
    """How much of the turf and of the bare ground over the roots the client lets us work.

    Parameters
    ----------
    wishes : the client's answers.

    Returns
    -------
    Worked. [share of each]

    Raises
    ------
    Missing : the table lacks an answer.

    Notes
    -----
    Bare ground may be worked always. Of the lawn's and the bed line's answers the stricter holds; half of the turf
    where a line is still to be drawn.

    References
    ----------
    Table prescribe/wishes: JUDGEMENT.

    Examples
    --------
    >>> worked_share(Wishes("lawn", "stays", "free", "yes", "yes", ""))
    Worked(turf=0.0, bare=1.0)
    """
    rows = table("prescribe/wishes")
    return Worked(turf=min(float(rows.row(wish="wish_lawn", choice=wishes.lawn)["turf_share"]),
                           float(rows.row(wish="wish_bed_line", choice=wishes.bed_line)["turf_share"])))


def barred_by(remedy: Remedy, wishes: Wishes, worked: Worked, turf: float, bare: float) -> str:
    """Why this remedy may not be used on this ground.

    Parameters
    ----------
    remedy : the remedy.
    wishes : the client's answers.
    worked : what of turf and bare ground may be worked.
    turf, bare : their shares of the ground over the roots.

    Returns
    -------
    Key of the words under prescribe.reason; empty where nothing bars it.

    Raises
    ------
    Nothing.

    Notes
    -----
    On play ground chips lie only where the client has asked for them, and no hole stays open overnight whatever is
    answered, which is said before any wish. Products are the client's own words, matched with the words each remedy is
    called by, as words of theirs begin: "iron" is not in "environment". Turf stays where what else may be worked is
    too little to count.

    References
    ----------
    Constraints of site and client: common practice, no source.

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    >>> keep = Wishes("lawn", "stays", "not_asked", "yes", "yes", "")
    >>> barred_by(mulch, keep, worked_share(keep), 1.0, 0.0), barred_by(mulch, keep, worked_share(keep), 0.5, 0.5)
    ('lawn_stays', '')
    """
    digs, unasked = remedy.breaks_surface and remedy.in_model, remedy.chips and wishes.chips not in ("yes", "no")
    if wishes.place_kind == "pitch" and (digs or unasked):
        return "play_ground"
    if any(re.search(rf"\b{word}", wishes.products) for word in remedy.product_words):
        return "product_barred"
    if remedy.chips and wishes.chips == "no":
        return "no_chips"
    if remedy.breaks_surface and wishes.holes == "no":
        return "no_holes"
    reach = {"open": turf * worked.turf + bare * worked.bare, "turf": turf * worked.turf}.get(remedy.ground)
    if reach is not None and reach < LITTLE and turf > 0.0 and worked.turf <= 0.0:
        return "lawn_stays" if wishes.lawn == "stays" else "bed_line_fixed"
    return ""


def ceiling_of(record: PropertyRecord, kind: str) -> float | None:
    """The client's ceiling for this year, None where nobody asked.

    Parameters
    ----------
    record : the property.
    kind : of the reading: budget_year, crew_hours_year or machine_hours_year.

    Returns
    -------
    Money in the property's currency, or hours.

    Raises
    ------
    Nothing.

    Notes
    -----
    One ceiling a property and year; the newest answer holds.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> ceiling_of(PropertyRecord(owner, (), (), (), (), (), (), (), {}), "budget_year") is None
    True
    """
    asked = [r for r in record.readings if r.kind == kind and r.nothing is None and r.value is not None]
    return max(asked, key=lambda r: (r.day, r.id)).value if asked else None


def told_and_not(record: PropertyRecord) -> tuple[tuple[tuple[str, str, str], ...], tuple[str, ...]]:
    """Wishes that bound the plan, and wishes nobody asked about.

    Parameters
    ----------
    record : the property.

    Returns
    -------
    (told, not_asked) : (place id, kind, answer) by kind, then in the order of the places; kinds without an answer
        anywhere.

    Raises
    ------
    Nothing.

    Notes
    -----
    Money is told as the plan's budget and not repeated here. The newest answer of a place holds.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> told_and_not(PropertyRecord(owner, (), (), (), (), (), (), (), {}))[1][0]
    'wish_lawn'
    """
    answers = sorted((r for r in record.readings if r.kind in ASKED and r.nothing is None),
                     key=lambda r: (r.day, r.id))
    newest = {(r.of, r.kind): r.choice for r in answers}
    told = tuple((place.id, kind, choice) for kind in ASKED for place in record.places
                 if (choice := newest.get((place.id, kind))) and choice != NOT_ASKED)
    answered = {r.kind for r in answers if r.choice != NOT_ASKED}
    return told, tuple(kind for kind in ASKED if kind not in answered)
