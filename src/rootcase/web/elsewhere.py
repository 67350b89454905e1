"""A practice's fieldbook as another process opens it: by the same file, and by the desk's clock."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What is sent to the process; the same work asked for at another moment is the same work."""

    path: Path
    practice_id: str
    now: datetime = field(compare=False)

    def opened(self) -> Fieldbook:
        return open_fieldbook(self.path, practice_id=self.practice_id, now=lambda: self.now)
