"""The invented practice's trials: what is in doubt was drawn by lot four seasons ago, put on, and read again since.

It is told from the practice's own paper, on one day: plans and what was put on bear the days that they are of.
"""

from __future__ import annotations

import csv
from datetime import date
from importlib.resources import as_file
from pathlib import Path
from typing import cast
from zoneinfo import ZoneInfo

from rootcase.casework.prescribe.remedies import remedies
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.observe import Property
from rootcase.records.offer import Arms, Pair, Signing
from rootcase.records.prescribe import Dose, Evidence, Plan, PlanItem, Step, TreePrescription
from rootcase.science.tree.engine import ENGINE
from rootcase.services.demo_files import Clock, moment_of, packaged, require
from rootcase.services.people import DEMO_CODE

GROUNDS = ("mill-meadow", "harrow-street", "orchard-close", "ferry-green", "chapel-walk")
_TOLD_AT = "2016-01-14 17:00"
_PLACE = ZoneInfo("America/Los_Angeles")
_SIGNED_ON = date(2012, 2, 20)
_PUT_ON = date(2012, 4, 24)
_LOOK_AGAIN = date(2016, 10, 15)
_NO_GAIN = Estimate(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
"""Nobody reckoned one: these plans are of the demonstration."""
_DOSE = Dose(40.0)
_AREA = {"amount": "430 ft2", "area": "430 ft2", "area_m2": _DOSE.area_m2}
_LIQUID = _AREA | {"amount": "40 gal", "volume_l": 151.4}
_ON_TOP = "extract"
"""Of the two things in doubt; the other one is part of the plan."""


def make_trials(path: Path) -> None:
    """Tell the invented fieldbook in this file of the practice's trials."""
    clock = Clock(moment_of(_TOLD_AT, _PLACE))
    with open_fieldbook(path, now=clock) as book:
        for name in GROUNDS:
            with as_file(packaged("trials", name)) as folder:
                require(book.import_sheet(folder).faults)
        grounds = {each.name: each for each in book.properties()}
        rows = list(csv.DictReader(packaged("trials", "pairs.csv").read_text(encoding="utf-8").splitlines()))
        for ground in dict.fromkeys(row["ground"] for row in rows):
            _tell(book, grounds[ground], [row for row in rows if row["ground"] == ground])


def _tell(book: Fieldbook, ground: Property, rows: list[dict[str, str]]) -> None:
    """A plan with its pairs, and that what is in doubt was put on at each treated tree."""
    trees = {tree.label: tree.id for tree in book.record(ground.id).trees}
    plan = book.sign(ground.id, _signing(ground, rows, trees), by=DEMO_CODE, day=_SIGNED_ON)
    for row in rows:
        book.recording.tell(ground.id, PutOnLogged(
            slot=book.recording.new_id(), tree=trees[row["treated"]], remedy=row["doubt"], day=_PUT_ON, by=DEMO_CODE,
            plan=plan.mark, time_zone=ground.time_zone, **(_LIQUID if row["doubt"] == _ON_TOP else _AREA),
            note=say("services.demo_from_paper", day=show_date(_PUT_ON))))


def _signing(ground: Property, rows: list[dict[str, str]], trees: dict[str, str]) -> Signing:
    """A plan that was made by hand, with what the lot drew."""
    arms = tuple(_arms(doubt, [row for row in rows if row["doubt"] == doubt], trees)
                 for doubt in dict.fromkeys(row["doubt"] for row in rows))
    work = tuple(tree for each in arms if not each.apart for pair in each.pairs
                 for tree in (pair.treated, pair.untreated))
    items = tuple(PlanItem(tree, each.doubt, _DOSE, 0.0, _NO_GAIN, (Step(1, "spring", each.doubt, _DOSE, None),))
                  for each in arms if not each.apart for tree in work)
    told = tuple(TreePrescription(
        tree, "treat" if tree in work else "leave it alone", "gains_most" if tree in work else "like_its_kind", None,
        (), (), (), (), _DOSE.area_m2, 1.0, _LOOK_AGAIN) for tree in trees.values())
    plan = Plan(ground.id, items, 0.0, 0.0, None, ground.currency, 0.0, 0.0, (), (), True, told, _SIGNED_ON, 0, 0)
    return Signing(plan, (), "", ENGINE, "", 0, None, arms=arms)


def _arms(doubt: str, rows: list[dict[str, str]], trees: dict[str, str]) -> Arms:
    apart = doubt == _ON_TOP
    pairs = tuple(Pair(trees[row["treated"]], trees[row["untreated"]], int(row["seed"]),
                       "nothing" if apart else "mulch") for row in rows)
    evidence = next(remedy.evidence for remedy in remedies() if remedy.code == doubt)
    return Arms(doubt, cast(Evidence, evidence), pairs, (), apart, None, None)
