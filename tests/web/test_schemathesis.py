"""Whatever is sent to whichever address by whomever: the app answers, and the API as it is described.

Cases are made from the description of every address, the pages' forms among them, half of them as described and half
not; ids of what is there take the place of made-up ones in every other case.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from math import ceil
from typing import Any

import pytest
import schemathesis
from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import Case, GenerationMode
from schemathesis.checks import CHECKS, load_all_checks
from schemathesis.schemas import APIOperation

from rootcase.web.api import API, PREFIX
from rootcase.web.jobs import Jobs
from rootcase.web.pages import PAGES
from tests.fieldbook.people.quick import quick_passwords  # noqa: F401
from tests.web.conftest import DRAWS, NOW, at_once, think
from tests.web.test_rights import House, desk_of, make_house

load_all_checks()
ALIVE = [CHECKS.get_one("not_a_server_error")]
AS_DESCRIBED = [CHECKS.get_one(name) for name in ("status_code_conformance", "content_type_conformance",
                                                  "response_schema_conformance")]
QUICK, LONG = 300, 5000
MORE = 1.25
"""Some can have no wrong case, and some few cases at all; that enough were made is asserted."""
ENDLESS = {"/practice/export/{name}", "/practice/backup"}
"""A case of these writes the whole fieldbook: they are asked for once each."""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory, desk_folder: Any, desk_results: Any) -> Iterator[House]:
    made = make_house(tmp_path_factory.mktemp("anything"), desk_folder)
    desk = desk_of(made)
    desk.results, desk.draws = desk_results, DRAWS
    desk.jobs = Jobs(lambda: NOW, workers=0)  # long work waits for ever; short calls are done
    desk.jobs.call = at_once  # type: ignore[method-assign]
    think(desk.path, desk_results)
    yield made
    desk.close()


def whole_description(app: FastAPI) -> dict[str, Any]:
    """Of every address; what the API says of itself stands in place of what is found out about it."""
    bare = FastAPI()
    for router in PAGES:
        bare.include_router(router)
    for router in API:
        bare.include_router(router, prefix=PREFIX)
    found = get_openapi(title="all", version="0", routes=bare.routes)
    own = app.openapi()
    found["paths"] |= own["paths"]
    found["components"]["schemas"] |= own["components"]["schemas"]
    return found


def with_real_ids(case: Case, ids: dict[str, str]) -> None:
    case.path_parameters = {name: ids.get(name, value) for name, value in (case.path_parameters or {}).items()}


def about_people(operation: APIOperation) -> bool:
    """They come last: what they do ends the sessions that the others are asked with."""
    return any(word in operation.path for word in ("/account", "/people", "/sign-", "/session", "/first-run"))


def wanted(operation: APIOperation, each_of: int) -> list[tuple[GenerationMode, int]]:
    """How many cases of which kind; a form's fields and an address are text, and any text is as described."""
    if operation.path in ENDLESS:
        return [(GenerationMode.POSITIVE, 1)]
    wrong = each_of // 2 if operation.path.startswith(PREFIX) and (operation.query or operation.body) else 0
    return [(GenerationMode.POSITIVE, each_of - wrong), *[(GenerationMode.NEGATIVE, wrong)] * bool(wrong)]


def test_nothing_that_is_sent_breaks_the_app(house: House, long: bool) -> None:
    app: FastAPI = house.client.app  # type: ignore[assignment]
    description = whole_description(app)
    app.openapi = lambda: description  # type: ignore[method-assign]
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", app, headers={"host": "127.0.0.1"})
    everybody = [*house.tokens.values(), house.stranger, ""]
    answered_to = set[str]()
    operations = sorted((each.ok() for each in schema.get_all_operations()), key=about_people)
    each_of = ceil((LONG if long else QUICK) * MORE / (len(operations) - len(ENDLESS)))
    asked = 0
    for operation in operations:
        for mode, few in wanted(operation, each_of):
            @settings(max_examples=few, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
            @given(operation.as_strategy(generation_mode=mode))
            def ask(case: Case) -> None:
                nonlocal asked
                asked += 1
                answered_to.add(token := everybody[asked % len(everybody)])
                if asked % 2:
                    with_real_ids(case, house.ids)
                answer = case.call(app=app, base_url="http://127.0.0.1",
                                   headers={"origin": "http://127.0.0.1", "cookie": f"rootcase={token}"})
                of_api = case.path.startswith(PREFIX) and case.path != "/api/"
                case.validate_response(answer, checks=ALIVE + AS_DESCRIBED * of_api)

            with suppress(Unsatisfiable):  # nothing can be wrong where nothing is asked
                ask()
    assert asked >= (LONG if long else QUICK)
    assert answered_to == set(everybody), "every role, a stranger and nobody ask"
