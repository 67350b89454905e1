"""The pages, a file a room; each has a `router`."""

from fastapi import APIRouter

from rootcase.web.pages import (
    account,
    api,
    backup,
    bring,
    case,
    client,
    contacts,
    due,
    export,
    field,
    field_sheet,
    field_worker,
    first_run,
    ground,
    heaps,
    jobs,
    kept_aside,
    make,
    offers,
    particulars,
    people,
    phones,
    plan,
    plans,
    practice,
    prices,
    proof,
    rates,
    read,
    readings,
    reports,
    sign,
    sign_in,
    tables,
    theme,
    today,
    trace,
    trees,
    undo,
    what_if,
)

_ROOMS = (
    account, api, backup, bring, case, client, contacts, due, export, field, field_sheet, field_worker,
    first_run, ground, heaps, jobs, kept_aside, make, offers, particulars, people, phones, plan, plans, practice,
    prices, proof, rates, read, readings, reports, sign, sign_in, tables, theme, today, trace, trees, undo, what_if,
)
PAGES: tuple[APIRouter, ...] = tuple(room.router for room in _ROOMS)
