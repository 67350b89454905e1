"""What was tried at the property's trees: who went without and why, and what came of it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prove import Proof
from rootcase.report.pdf.typeset import placed
from rootcase.report.pictures.proof import draw_proof
from rootcase.report.text.tried import tried_lines


def proof_pages(pictures: dict[str, bytes], record: PropertyRecord, proofs: Iterable[Proof]) -> dict[str, Any] | None:
    """Return the part, None where no lot parted trees here. proofs: of this property alone."""
    ground, labels = record.property, {tree.id: tree.label for tree in record.trees}
    trials = []
    for proof in proofs:
        for trial in proof.properties:
            told: dict[str, Any] = {"lines": tried_lines(proof, trial, labels), "picture": None}
            if proof.look:
                drawn = draw_proof(proof, {ground.id: ground.name}, ground.id, ground.system, invented=ground.invented)
                told["picture"] = placed(pictures, f"proof-{proof.remedy}", drawn)
            trials.append(told)
    return {"title": say("tried.head"), "trials": trials} if trials else None
