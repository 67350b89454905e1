"""A photo of hyphae from the upload to the length that a person mended."""

from __future__ import annotations

import re
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from time import monotonic, sleep

import pytest
from fastapi.testclient import TestClient

from rootcase.records.make.slide import PhotoLength
from rootcase.services.demo import DAY
from rootcase.services.hyphae import HyphaePhoto, OverlayLine, compile_all, hyphae_on
from rootcase.services.run import Progress
from rootcase.services.slide_photos import deleted_lines
from rootcase.web import photo_work
from rootcase.web.desk import OWN, Desk
from tests.web.slides_told import PHOTO, slide_ids

SLIDE = {"method": "photos", "source": "soil", "source_id": "bed by the gate", "counted": "hyphae",
         "spread_mm2": "324", "drop_ul": "20", "do": "keep"}


@pytest.fixture
def slide(app_to_change: TestClient) -> str:
    return app_to_change.post("/make/slides/new", data=SLIDE, follow_redirects=False).headers["location"]


def send(app: TestClient, slide: str, photo: Path = PHOTO, **typed: str) -> tuple[int, str, str]:
    with photo.open("rb") as file:
        answer = app.post(f"{slide}/photos", data=typed, files={"photo": (photo.name, file)}, follow_redirects=False)
    return answer.status_code, answer.headers.get("location", ""), answer.text


def test_a_photo_is_measured_mended_and_the_slide_says_so(app_to_change: TestClient, slide: str) -> None:
    assert "no photo was measured yet" in app_to_change.get(slide).text
    status, address, _ = send(app_to_change, slide, micrometer="400 um", pixels="800")
    assert status == 303
    page = app_to_change.get(address).text
    lines = len(re.findall('name="gone', page))
    length = float(re.search(r"([\d.]+) mm \(", page)[1])  # type: ignore[index]
    assert page.count("<polyline") == 2 * lines > 10
    assert app_to_change.get(re.search(r'image href="([^"]+)"', page)[1]).headers[  # type: ignore[index]
        "content-type"] == "image/jpeg"
    told = app_to_change.get(slide).text
    assert "One photo; its ends know nothing of how photos differ" in told
    assert 'value="0.5"' in told

    app_to_change.post(address, data={f"gone.{at}": "yes" for at in range(lines)} | {"drawn": "0 0, 300 400"})
    mended = app_to_change.get(address).text
    assert f"0.25 mm, corrected by the operator; measured {length:.3g}" in mended
    assert mended.count(" checked") == lines
    assert '<polyline class="hand" points="0,0 300,400"/>' in mended
    told = app_to_change.get(slide).text
    assert "Length corrected by the operator" in told
    assert "corrected by hand and without an interval" in told

    app_to_change.post(address, data={"drawn": ""})
    assert "corrected by the operator" not in app_to_change.get(address).text


def test_a_photo_counts_once_and_can_be_taken_back(app_to_change: TestClient, slide: str) -> None:
    _, address, _ = send(app_to_change, slide, um_per_px="0.5")
    status, _, page = send(app_to_change, slide, um_per_px="0.5")
    assert status == 422
    assert "this photo is on the slide already" in page
    assert "One photo; its ends" in page
    refused = app_to_change.post(f"{address}/take-back", data={"reason": ""})
    assert refused.status_code == 422
    assert 'id="reason-fault"' in refused.text
    gone = app_to_change.post(f"{address}/take-back", data={"reason": "another slide's"}, follow_redirects=False)
    assert gone.headers["location"] == slide
    assert app_to_change.get(address).status_code == 404
    assert "no photo was measured yet" in app_to_change.get(slide).text
    assert send(app_to_change, slide, um_per_px="0.5")[0] == 303


def test_what_was_deleted_stays_deleted_and_nothing_else_where_lines_are_found_in_a_newer_way() -> None:
    lines = tuple(OverlayLine(((x, 0.0), (x, 50.0), (x, 100.0)), 50.0, True) for x in (10.0, 40.0, 90.0))
    found = HyphaePhoto("p", 0.5, 100, 100, 0.12, 150.0, 140.0, 160.0, 0.0, {}, lines, "")
    kept = PhotoLength(id="p", photo="0" * 64, um_per_px=0.5, area_mm2=0.12, length_mm=0.15, low_mm=0.14, high_mm=0.16,
                       deleted_um="5.00 25.00; 45.00 25.00", by="rs", day=DAY)
    assert deleted_lines(kept, found) == ((0, 2), 0)
    new = OverlayLine(((0.0, 7.0), (30.0, 7.0), (60.0, 7.0)), 30.0, True)
    assert deleted_lines(kept, replace(found, lines=(new, lines[2], lines[1], lines[0]))) == ((1, 3), 0)
    assert deleted_lines(kept, replace(found, lines=(new, lines[1], lines[0]))) == ((2,), 1)
    assert deleted_lines(kept, replace(found, lines=())) == ((), 2)


def test_looking_again_does_not_measure_again(app_to_change: TestClient, slide: str,
                                              monkeypatch: pytest.MonkeyPatch) -> None:
    _, address, _ = send(app_to_change, slide, um_per_px="0.45")
    measured: list[object] = []
    jobs = app_to_change.app.state.desk.jobs  # type: ignore[attr-defined]
    call = jobs.call
    monkeypatch.setattr(jobs, "call", lambda *asked: measured.append(asked[-1]) or call(*asked))
    for _ in range(3):
        assert app_to_change.get(address).status_code == 200
    assert measured == [0.45]


def test_what_was_drawn_and_cannot_be_read_stays(app_to_change: TestClient, slide: str) -> None:
    _, address, _ = send(app_to_change, slide, um_per_px="0.5")
    for drawn in ("1 1, <b>", "1 1", "1 1, 9000 9"):
        answer = app_to_change.post(address, data={"drawn": drawn, "gone.0": "yes"})
        assert answer.status_code == 422
        assert 'id="drawn-fault"' in answer.text
        assert drawn.replace("<", "&lt;").replace(">", "&gt;") in answer.text
        assert answer.text.count(" checked") == 1


def test_a_file_that_is_no_photo_and_a_scale_too_coarse_are_refused(app_to_change: TestClient, slide: str,
                                                                   tmp_path: Path) -> None:
    assert send(app_to_change, slide, um_per_px="0.5")[0] == 303
    (tmp_path / "list.jpg").write_text("tag,dbh", encoding="utf-8")
    for photo, typed, field in ((tmp_path / "list.jpg", {"um_per_px": "0.5"}, "photo"),
                                (PHOTO, {"um_per_px": "3"}, "um_per_px"), (PHOTO, {}, "um_per_px"),
                                (PHOTO, {"micrometer": "1 mm", "pixels": "100"}, "micrometer"),
                                (PHOTO, {"um_per_px": "0.25"}, "photo")):
        status, _, page = send(app_to_change, slide, photo, **typed)
        assert status == 422
        assert f'id="{field}-fault"' in page
        assert str(tmp_path.parent) not in page
        assert "rootcase-" not in page
        assert all(f'value="{each}"' in page for each in typed.values())
    assert app_to_change.get(f"{slide}/photos/none").status_code == 404


def being_made_ready(progress: Progress) -> None:
    sleep(1.0)


def test_a_photo_waits_on_a_page_of_its_own_while_its_loops_are_compiled(
        app_to_change: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    desk: Desk = app_to_change.app.state.desk  # type: ignore[attr-defined]
    ids = slide_ids(desk.book(OWN))
    address = f"/make/slides/{ids['photos_id']}/photos/{ids['photo_id']}"
    monkeypatch.setattr(photo_work, "ready_mark", lambda: tmp_path / "mark")
    monkeypatch.setattr(photo_work, "make_ready", being_made_ready)
    monkeypatch.setattr(photo_work, "_PATIENCE_S", 0.0)
    app_to_change.get(f"/make/slides/{ids['photos_id']}")  # begins it
    asked = app_to_change.get(address, follow_redirects=False)
    assert asked.status_code == 303
    place = asked.headers["location"]
    assert "Making ready to measure photos" in app_to_change.get(place).text
    until = monotonic() + 20.0
    while (done := app_to_change.get(place, follow_redirects=False)).status_code == 200 and monotonic() < until:
        sleep(0.05)
    assert done.headers["location"] == address
    assert "<polyline" in app_to_change.get(address).text


def test_what_compiles_everything_leaves_nothing_to_compile() -> None:
    dispatchers = [each for name in ("crossings", "debris", "hyphae", "light", "paths", "ridges", "rings", "sides",
                                     "sorting", "strands", "thinning")
                   for each in vars(import_module(f"rootcase.science.photo.{name}")).values()
                   if hasattr(each, "signatures")]
    compile_all()
    before = [set(each.signatures) for each in dispatchers]
    assert any(before)
    hyphae_on(PHOTO, 0.5)
    assert [set(each.signatures) for each in dispatchers] == before


def test_how_a_scale_and_a_figure_were_read_is_told_on_the_next_page(app_to_change: TestClient) -> None:
    kept = app_to_change.post("/make/slides/new", data={**SLIDE, "drop_ul": "20,125", "source_id": "bed by the pond"})
    assert "20,125 can be 20.125 or 20,125" in kept.text
    _, address, _ = send(app_to_change, kept.url.path, micrometer="100,500", pixels="201")
    assert "100,500 can be 100.5 or 100,500" in app_to_change.get(address).text
