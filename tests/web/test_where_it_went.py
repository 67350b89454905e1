"""From a heap to a batch, to its loads, to a record, and back: each page leads on, and says what was not fit."""

from __future__ import annotations

import re

from fastapi.testclient import TestClient

LATE = "It went out after its batch was good for: late."


def test_a_heap_leads_to_its_batches_and_a_batch_to_its_heap_and_records(desk_app: TestClient) -> None:
    batch = desk_app.get("/make/batches/2").text
    heap = re.search(r'href="(/make/heaps/[^"]+)">of heap 1<', batch)
    assert heap
    assert 'href="/make/batches/2">Batch 2: 1 load, 2 trees' in desk_app.get(heap[1]).text
    assert 'href="/record/1">oak 1, Quarry Green: 14 January 2016, 65 gal</a></li>' in batch
    assert f'href="/record/2">maple 1, Tanner Row: 14 January 2016, 24 gal</a><br><span class="fault">{LATE}' in batch
    assert "Where it went" not in desk_app.get("/make/batches/1").text


def test_a_record_tells_its_load_by_the_clock_of_the_place_and_leads_to_its_batch(desk_app: TestClient) -> None:
    page = desk_app.get("/record/1").text
    assert '<a class="target" href="/make/batches/2#loads">Batch 2, truck 1, filled 14 January 2016, 14:25</a>' in page
    assert "load" not in desk_app.get("/record/3").text.split("<dl")[1].split("</dl>")[0]


def test_a_list_to_ring_leads_to_its_records_and_says_what_was_late(desk_app: TestClient) -> None:
    page = desk_app.get("/make/batches/2/recall").text
    assert 'href="/record/2">maple 1: compost extract, 14 January 2016, 24 gal</a>' in page
    assert f"Record 2: {LATE}" in page
    assert page.count("Record 1:") == 0
