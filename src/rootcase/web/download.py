"""Files made for whoever asks, sent piece by piece, and gone from this machine when they are sent or broken off."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from fastapi.responses import StreamingResponse

from rootcase.fieldbook.photos import pieces


def download(make: Callable[[Path], Path], beside: Path) -> StreamingResponse:
    """Have a file made in a folder of its own, that only this user can open, and send it.

    beside: a file on whose disk there is room; what it is made of is as large.
    """
    folder = TemporaryDirectory(prefix=".rootcase-", dir=beside.parent)
    try:
        made = make(Path(folder.name))
    except BaseException:
        folder.cleanup()
        raise

    def sent() -> Iterator[bytes]:
        with folder, made.open("rb") as file:
            yield from pieces(file)

    return StreamingResponse(sent(), media_type="application/octet-stream", headers={
        "content-length": str(made.stat().st_size), "content-disposition": f'attachment; filename="{made.name}"'})
