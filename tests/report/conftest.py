"""In every test of the report a label that lies on another or leaves the page is an error."""

import pytest

from rootcase.report.svg import Canvas


@pytest.fixture(autouse=True)
def every_label_fits(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.node.get_closest_marker("crowded"):
        return
    finish = Canvas.finish

    def checked(canvas: Canvas, height: float, title: str, alt: str) -> object:
        picture = finish(canvas, height, title, alt)
        assert picture.faults == ()
        return picture

    monkeypatch.setattr(Canvas, "finish", checked)
