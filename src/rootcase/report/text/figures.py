"""Numbers as the page and the terminal print them: as many figures as their intervals bear, the sign on all three."""

from __future__ import annotations

from rootcase.ground.quantity import System, number, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import catalogue, say
from rootcase.records.estimate import Estimate

MINUS = "−"


def volume_alone(volume_l: float, system: System, figures: int | None = None) -> str:
    """A volume in the reader's own system, where the other would stand too often.

    >>> volume_alone(1135.6, "us"), volume_alone(1135.6, "metric", 4)
    ('300 gal', '1136 L')
    """
    unit = "gal" if system == "us" else "L"
    return with_unit(number(convert(volume_l, "L", unit), figures), unit)


def signed(value: float) -> str:
    """Return a change in whole points with its sign; nothing has none.

    >>> signed(-33.4), signed(19.2), signed(-0.3)
    ('−33', '+19', '0')
    """
    whole = round(value)
    return f"+{whole:,}" if whole > 0 else f"{MINUS}{-whole:,}" if whole < 0 else "0"


def change(points: Estimate) -> tuple[str, str]:
    """Return a gain and its interval, smaller end first.

    >>> change(Estimate(19, 18, 3, 40, 10, 27))
    ('+19', '+3 to +40')
    """
    return signed(points.mean), say("report.to", low=signed(points.low), high=signed(points.high))


def loss(points: Estimate) -> tuple[str, str]:
    """Return a loss, kept as positive points, as the negative change it is.

    >>> loss(Estimate(33, 32, 13, 55, 22, 44))
    ('−33', '−55 to −13')
    """
    return signed(-points.mean), say("report.to", low=signed(-points.high), high=signed(-points.low))


def difference(shares: Estimate) -> str:
    """Return how far apart two shares are: points, since a percentage of percentages says something else.

    >>> difference(Estimate(0.2, 0.2, 0.08, 0.33, 0.15, 0.26)), difference(Estimate(-0.2, -0.2, -0.3, 0.1, -0.2, 0.0))
    ('20 points more (8 to 33)', '20 points less (30 less to 10 more)')
    """
    form, sign = ("more", 1) if shares.mean >= 0 else ("less", -1)
    near, far = sorted((round(100 * sign * shares.low), round(100 * sign * shares.high)))
    if near < 0:
        less, more = round(-100 * shares.low), round(100 * shares.high)
        interval = say("report.to", low=say("report.points.less", points=less),
                       high=say("report.points.more", points=more))
    else:
        interval = say("report.to", low=near, high=far)
    return say(f"terminal.measure.{form}", points=round(100 * sign * shares.mean), interval=interval)


def percent(share: Estimate) -> tuple[str, str]:
    """Return a share and its interval.

    >>> percent(Estimate(0.14, 0.14, 0.10, 0.19, 0.12, 0.16))
    ('14 %', '10 to 19')
    """
    low, high = ends(share.low, share.high)
    return f"{_hundredths(share.mean, share.high)} %", say("report.to", low=low, high=high)


def in_hundredths(share: Estimate) -> Estimate:
    """Return a fraction in hundredths: percent of a share, points of a difference.

    >>> in_hundredths(Estimate(0.5, 0.5, 0.25, 0.75, 0.5, 0.5)).low
    25.0
    """
    return Estimate(*(100 * value for value in (share.mean, share.median, share.low, share.high, share.inner_low,
                                                share.inner_high)))


def ends(low: float, high: float) -> tuple[str, str]:
    """Return the two ends of an interval of shares, in hundredths; a decimal only where all is tiny.

    >>> ends(0.102, 0.19), ends(0.003, 0.011)
    (('10', '19'), ('0.3', '1.1'))
    """
    return _hundredths(low, high), _hundredths(high, high)


def money(amount: float | None, currency: str = "") -> str:
    """Return a sum in whole units, its currency behind it unless that stands elsewhere.

    >>> money(1260.4, "USD"), money(1260.4), money(None)
    ('1,260 USD', '1,260', 'not priced')
    """
    return say("report.not_priced") if amount is None else f"{amount:,.0f} {currency}".rstrip()


def _hundredths(share: float, high: float) -> str:
    return f"{100 * share:,.{0 if high >= 0.05 else 1}f}".replace("-", MINUS)


def counted(number: int) -> str:
    """Return a small count in words, a larger one in figures.

    >>> counted(6), counted(60)
    ('six', '60')
    """
    names = say("report.counts").split()
    return names[number] if number < len(names) else f"{number:,}"


def listed(names: list[str]) -> str:
    """Return names as a sentence lists them.

    >>> listed(["oak 1", "oak 2", "oak 3"])
    'oak 1, oak 2 and oak 3'
    >>> listed(["water, then chips", "more soil", "rest"])
    'water, then chips; more soil; and rest'
    """
    if len(names) < 2:
        return "".join(names)
    apart, last = ("; ", ";") if any(", " in name for name in names) else (", ", "")
    return say("report.list", most=apart.join(names[:-1]) + last, last=names[-1])


def sentence(text: str) -> str:
    """Return the text with its first letter raised, the rest untouched; a letter that opens a sign stays as typed.

    >>> sentence("oak 1 grows"), sentence("p1 grows"), sentence("pH of the soil")
    ('Oak 1 grows', 'p1 grows', 'pH of the soil')
    """
    return text if text[1:2].isdigit() or text[1:2].isupper() else text[:1].upper() + text[1:]


def known(key: str) -> bool:
    """Whether the catalogue holds words under this key.

    >>> known("report.to")
    True
    """
    return key in catalogue("en")
