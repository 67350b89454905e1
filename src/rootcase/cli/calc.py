"""rootcase calc."""

from __future__ import annotations

import json
from pathlib import Path

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("calc.help.calc"), epilog=say("calc.help.more"))
@click.argument("name", required=False, metavar="[SUM]")
@click.argument("typed", nargs=-1, metavar="[NAME=VALUE]...")
@click.option("--find", "words", help=say("calc.help.find"))
@click.option("--csv", "path", type=click.Path(path_type=Path, exists=True, dir_okay=False), help=say("calc.help.csv"))
@click.option("--units", "system", type=click.Choice(("us", "metric")), default="us", show_default=True,
              help=say("calc.help.units"))
@json_option
@click.pass_context
def calc(context: click.Context, name: str | None, typed: tuple[str, ...], words: str | None, path: Path | None,
         system: System, as_json: bool) -> None:
    from rootcase.services.calculators.sheet import worked_sheet
    from rootcase.services.calculators.shelf import calculator
    from rootcase.services.calculators.told import answer_json, answer_lines, formula_lines, paragraphs, taken_lines
    from rootcase.services.calculators.working import work_out

    if name is None:
        _list(words, as_json)
        return
    sum_ = calculator(name)
    pairs = _pairs(typed)
    if path and as_json:
        raise UnreadableValue(say("calc.csv_or_json"), where="--json", right=say("calc.csv_or_json_right"))
    if path:
        written, wrong = worked_sheet(sum_, path, pairs)
        out(written.removesuffix("\n"))
        context.exit(1 if wrong else 0)
    if sum_.entries and not pairs:
        _explain(name, as_json)
        return
    worked = work_out(sum_, pairs)
    if as_json:
        out(json.dumps(answer_json(sum_, worked), ensure_ascii=False, allow_nan=False))
        return
    tell(sum_.question, *answer_lines(worked, system), *taken_lines(sum_, worked, system), *formula_lines(sum_))
    tell(*paragraphs(sum_.notes),
         *(say("calc.source", source=each) for each in paragraphs(sum_.sources)))


def _pairs(typed: tuple[str, ...]) -> dict[str, str]:
    """What was typed by name; each once."""
    found: dict[str, str] = {}
    for each in typed:
        name, equal, value = each.partition("=")
        if not equal or not name.strip() or name in found:
            raise UnreadableValue(say("calc.twice" if name in found else "calc.no_pair"), value=each,
                                  right=say("calc.pair_right"))
        found[name] = value
    return found


def _list(words: str | None, as_json: bool) -> None:
    from rootcase.services.calculators.shelf import calculators, looked_up
    from rootcase.services.calculators.told import by_subject

    there = calculators()
    names = looked_up(words) if words else tuple(there)
    if as_json:
        out(json.dumps([{"sum": name, "subject": there[name].subject, "question": there[name].question}
                        for name in names], ensure_ascii=False))
        return
    for subject, found in by_subject({name: there[name] for name in names}):
        tell("", say(f"calc.subject.{subject}"))
        tell(*(say("calc.listed", name=name, question=there[name].question) for name in found))
    tell("", say("calc.many", many=len(names)) if names else say("calc.none_found", words=words or ""))


def _explain(name: str, as_json: bool) -> None:
    from rootcase.services.calculators.example import example_pairs
    from rootcase.services.calculators.shelf import calculator
    from rootcase.services.calculators.told import entry_line, formula_lines, paragraphs

    sum_ = calculator(name)
    pairs = example_pairs(sum_)
    if as_json:
        out(json.dumps({"sum": sum_.name, "question": sum_.question, "asks": [
            {"name": each.name, "unit": each.unit, "low": each.low, "high": each.high, "choices": each.choices,
             "needed": each.needed, "about": each.about} for each in sum_.entries], "example": pairs},
            ensure_ascii=False))
        return
    tell(sum_.question)
    tell(say("calc.asks"), *map(entry_line, sum_.entries),
         *[say("calc.any_unit")] * any(each.known_unit for each in sum_.entries))
    tell(say("calc.gives", gives=sum_.gives), *formula_lines(sum_), *paragraphs(sum_.notes),
         *(say("calc.source", source=each) for each in paragraphs(sum_.sources)))
    quoted = " ".join(f'"{each}={value}"' if " " in value or ";" in value else f"{each}={value}"
                      for each, value in pairs.items())
    tell(say("calc.example", command=f"rootcase calc {name} {quoted}"))
