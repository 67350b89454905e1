"""First-answer sheets, made in another process."""

from __future__ import annotations

import os
from dataclasses import replace

from rootcase.services.first_answer import make_sheets
from rootcase.services.run import Progress, Run
from rootcase.web.elsewhere import Elsewhere


def first_answers(progress: Progress, at: Elsewhere, run: Run) -> None:
    """Make the sheets a practice's phones lack; whoever asks for one finds it kept.

    It takes long, and nobody waits for it: all else comes first.
    """
    if hasattr(os, "nice"):  # not on Windows
        os.nice(19)
    with at.opened() as fieldbook:
        make_sheets(fieldbook, replace(run, progress=progress))
