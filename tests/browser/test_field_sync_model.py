"""Sending from a phone, over random schedules: nothing is lost or doubled, and each way to break it is seen."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.field_phone import Breaks, modules_in

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "canonical.json").read_text(encoding="utf-8"))["vectors"]
RUN = "async ([from, to]) => (await import('/model/model.js')).run('/model', from, to)"
QUICK, LONG = 60, 20_000
LATER = {"drops on 409": 60, "never asks what became of it": 60}
"""Schedules that begin further on, for what the first few do not bring about."""
BROKEN: dict[str, Breaks] = {
    "takes out before the answer": {"sync.js": (
        'doings: [{ do: "ask", ...asked }]',
        'doings: [{ do: "mark", sent: asked.entries ?? [], generation: "g0" }, { do: "ask", ...asked }]',
    )},
    "trusts the status alone": {"sync.js": (
        'if (answer.status !== 200 || !sound) return refused(state, answer);',
        """if (answer.status === 200 && asked.what === "events") {
            return rest({ ...state, asked: null }, { do: "mark", sent: asked.entries, generation: "g0" });
        }
        if (answer.status !== 200 || !sound) return refused(state, answer);""",
    )},
    "ignores the hash": {"sync.js": ("if (its === hash && GONE.has(state))", "if (GONE.has(state))")},
    "forgets the generation": {"outbox.js": ("if (!generation) return", "if (true) return")},
    "gives an entry a new id each time": {"outbox.js": (
        "return { id, property_id", "return { id: crypto.randomUUID(), property_id")},
    "drops on 409": {"sync.js": (
        'if (!ours) return later(state, answer, status === 200 ? "portal" : "server");',
        """if (status === 409) {
            return rest({ ...state, asked: null }, { do: "mark", sent: asked.entries ?? [], generation: "g0" });
        }""",
    )},
    "clears when somebody signs out": {"sealed.js": ("if (!unsent.every(", "if (false && !unsent.every(")},
    "sends what is another's": {"outbox.js": (
        "const mine = onlyOf(whose);", 'const mine = IDBKeyRange.bound(["own"], ["own", []]);')},
    "never asks what became of it": {"sync.js": ("if (state.look && owed.open.length)", "if (false)")},
    "reads back from memory": {"keeping.js": (
        "(entries, pictures) {\n  const [events, photos] = await looking(",
        "(entries, pictures) {\n  const [events, photos] = [entries, pictures]; await looking(")},
    "keeps a photo in another stroke": {"keeping.js": (
        "for (const each of pictures) await addOnce(stores.photos, each);",
        """setTimeout(() => inOneTurn(['photos'], async (more) => {
            for (const each of pictures) await addOnce(more.photos, each);
        }));""",
    )},
    "takes the last that came for what stands": {"laying.js": (".sort(later);", ";")},
}


def test_hashes_and_texts_are_those_of_the_fieldbook(browser: Browser) -> None:
    with modules_in(browser) as page:
        found = page.evaluate("""async (vectors) => {
            const { canonical, contentHash } = await import('/real/canonical.js');
            return Promise.all(vectors.map(async ({ json }) => {
                try {
                    const body = JSON.parse(json);
                    return [canonical(body), await contentHash(body)];
                } catch (error) { return null; }
            }));
        }""", VECTORS)
    wanted = [None if each.get("refused") else [each["canonical"], each["sha256"]] for each in VECTORS]
    assert found == wanted


def test_ids_only_grow_also_when_the_clock_steps_back(browser: Browser) -> None:
    with modules_in(browser) as page:
        made = page.evaluate("""async () => {
            const { newId } = await import('/real/canonical.js');
            return [0x017F22E279B0, ...Array(5000).fill(0x017F22E279B0 - 9), 0x017F22E279B0 + 5].map(newId);
        }""")
    assert made == sorted(set(made))
    assert made[0].startswith("017f22e2-79b0-7")


def test_nothing_is_lost_or_doubled(browser: Browser) -> None:
    with modules_in(browser) as page:
        assert page.evaluate(RUN, [0, QUICK]) is None


@pytest.mark.full
def test_nothing_is_lost_or_doubled_in_many(browser: Browser) -> None:
    with modules_in(browser) as page:
        page.set_default_timeout(0)
        assert page.evaluate(RUN, [QUICK, LONG]) is None


@pytest.mark.parametrize("how", BROKEN)
def test_a_broken_phone_is_seen(browser: Browser, how: str) -> None:
    with modules_in(browser, BROKEN[how]) as page:
        first = LATER.get(how, 0)
        found = page.evaluate(RUN, [first, first + QUICK])
    assert found is not None
