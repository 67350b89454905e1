"""The record of what was put on, in words: records, what law still asks, where liters went, how the chain stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from rootcase.ground.clock import day_there, show_time, zone
from rootcase.ground.dates import count_days, show_date
from rootcase.ground.quantity import System, show
from rootcase.ground.words import say
from rootcase.records.apply.done import Account, Application, ChainHead, Duty, Flag
from rootcase.report.text.naming import remedy_name

SHORT = 16
"""Signs of a mark that are printed: 64 bits, which nobody meets by trying."""


def record_line(one: Application, tree: str, ground: str) -> str:
    """What, where, when, by whom."""
    done = say("log.not_done_line", why=one.not_done) if one.not_done else one.amount or say("log.no_amount")
    return say("log.line", number=one.number, day=show_date(one.day), remedy=remedy_name(one.remedy), tree=tree,
               ground=ground, done=done, by=one.applicator)


def flag_lines(one: Application, twice: Sequence[int] = ()) -> tuple[str, ...]:
    """What stands against it, a line each. twice: numbers of other records of the same job."""
    told = flags_told(one.flags)
    return (*told, say("log.twice", numbers=", ".join(map(str, twice)))) if twice else told


def flags_told(flags: Iterable[Flag]) -> tuple[str, ...]:
    """What stands against a piece of work, a sentence each."""
    return tuple(say(f"log.flag.{flag}") for flag in flags)


def duty_lines(duty: Duty, given: date | None, today: date) -> Iterator[str]:
    """What law still asks of one record, and its days."""
    if duty.due is not None and duty.missing:
        lacks = ", ".join(dict.fromkeys(say(f"log.field.{lack.field}") for lack in duty.missing))
        late, due = "over" if duty.due < today else "open", show_date(duty.due)
        rule = (say("log.duty.federal", due=due) if duty.own_days is None
                else say("log.duty.own", due=due, days=count_days(int(duty.own_days))))
        yield say(f"log.duty.{late}", lacks=lacks, rule=rule)
    if duty.copy_due is not None:
        yield say("log.duty.copy", due=show_date(duty.copy_due))
    elif given is not None:
        yield say("log.duty.copied", day=show_date(given))
    if duty.keep_until is not None:
        yield say("log.duty.keep", until=show_date(duty.keep_until))


def hours(one: Application) -> str:
    """From when to when, by the clock of the place, with its day where it ended past midnight; empty where nobody said.
    """
    if one.started is None or one.ended is None:
        return ""
    place = zone(one.time_zone or "UTC")
    last = day_there(one.ended, place)
    over = "" if last == day_there(one.started, place) else f", {show_date(last)}"
    return f"{show_time(one.started, place)} – {show_time(one.ended, place)}{over}"


def account_line(number: int, found: Account, system: System) -> str:
    """Where the liters of a batch went."""
    told = {name: show(getattr(found, f"{name}_l"), "L", system, ("gal", "L"))
            for name in ("made", "applied", "left", "lost", "rinse")}
    line = say("log.account", number=number, **told)
    missing = show(abs(found.unaccounted_l), "L", system, ("gal", "L"))
    if found.unaccounted_l > 0:
        return f"{line} {say('log.unaccounted', missing=missing)}"
    return f"{line} {say('log.beyond', missing=missing)}" if found.unaccounted_l < 0 else line


def meter_asked(meter: str, planned_l: float, meant_l: float, system: System) -> str:
    """A bare figure of a meter that fits the plan in the other unit, with both answers as they are typed."""
    other, own = ("L", "gal") if system == "us" else ("gal", "L")
    told = say("log.page.meant", planned=show(planned_l, "L", system, ("gal", "L")), meter=meter, other=other,
               told=show(meant_l, "L", system, ("gal", "L")))
    return f"{told} {say('log.meter_answers', meter=meter, other=other, own=own)}"


def head_line(head: ChainHead, day: date) -> str:
    """The head as it is printed; empty where there is no record yet."""
    return say("log.chain.head", count=f"{head.count:,}", mark=head.mark[:SHORT],
               day=show_date(day)) if head.count else ""
