// The end of the day: of each load what went to trees, what is left or was lost, and what nobody has told yet.

import { newId, numberText } from "./canonical.js";
import { announce, el, put } from "./dom.js";
import { halfOf } from "./half_typed.js";
import { boxOf, figure } from "./meter.js";
import { sentOnce } from "./once.js";
import { momentNow, roundsHere, stopsOf } from "./round.js";
import { sumOf, tankAccounts } from "./tank_account.js";
import { Refused } from "./typed.js";
import { convert, number, unitLabel, withUnit } from "./units.js";
import { dayTold, say } from "./words.js";

const LONGEST = 400; // as ground/length.py, of a line
const KINDS = ["left", "lost"];
const OF_PRACTICE = ""; // liters of a batch belong to no property

export async function show(main, [day], field) {
  const here = await roundsHere(field), rounds = here.rounds.filter((each) => each.day === day);
  field.head(say("field.tank.title"), dayTold(day));
  const loads = await accountsOf(field, here, rounds);
  put(main, el("h1", { class: "finding" }, say("field.tank.finding")),
    loads.length ? await Promise.all(loads.map((load) => account(field, day, here, load)))
      : el("p", { class: "notice" }, say("field.tank.none")));
}

async function accountsOf(field, here, rounds) {
  const batches = new Set(rounds.flatMap(({ steps }) => steps).map((each) => each.extract?.batch_id));
  const properties = [...new Set(rounds.flatMap(stopsOf).map((each) => each.property_id))];
  const grounds = await Promise.all(properties.map((id) => field.book.ofProperty(id)));
  const loads = new Map(grounds.flatMap((each) => each.extract?.loads ?? []).map((each) => [each.id, each]));
  const entries = (await Promise.all([...properties, OF_PRACTICE].map((id) => field.book.events(id)))).flat();
  return tankAccounts([...loads.values()], here.litres ?? [], entries, batches);
}

async function account(field, day, here, load) {
  const system = field.system(), unit = boxOf("volume", system), name = halfOf(field, day, "tank", load.batch);
  const half = await field.half.get(name) ?? {};
  const shown = (litres) => withUnit(number(convert(litres, "L", unit), 3), unit);
  const state = el("p", { role: "status" }), said = el("p", { class: "said doubt", role: "status" });
  const box = (each, words, more = {}) => el("label", { class: "names" }, words,
    el("input", { name: each, maxlength: LONGEST, autocomplete: "off", value: half[each] ?? "", ...more }));
  const form = el("form", { class: "visit log", novalidate: true }, load.told.map((each) => el("h2", {}, each)),
    el("p", {}, say("field.tank.loaded", { loaded: shown(load.loaded), out: shown(load.applied) })),
    load.left || load.lost
      ? el("p", {}, say("field.tank.told", { left: shown(load.left), lost: shown(load.lost) })) : null,
    KINDS.map((each) => box(each, `${say(`field.tank.${each}`)}, ${unitLabel(unit)}`, { inputmode: "decimal" })),
    box("where", say("field.tank.where")), state, said,
    el("div", { class: "keys" }, el("button", { class: "weld" }, say("field.tank.keep"))));
  const typed = () => Object.fromEntries([...KINDS, "where"].map((each) => [each, form.elements[each].value]));
  const balance = () => {
    const amounts = KINDS.map((each) => quietly(typed()[each], system));
    const missing = load.loaded - load.applied - load.left - load.lost - sumOf(amounts, (litres) => litres);
    const key = Math.abs(missing) < here.whole_l ? "whole" : missing > 0 ? "missing" : "beyond";
    put(state, say(`field.tank.${key}`, { missing: shown(Math.abs(missing)) }));
  };
  form.addEventListener("input", () => {
    field.half.put(name, typed());
    balance();
  });
  form.addEventListener("submit", sentOnce(() => keep(field, { load, day, name, said, system }, typed()), said));
  balance();
  return form;
}

function quietly(text, system) {
  try {
    return figure("volume", text, system)?.value ?? 0;
  } catch {
    return 0; // it is told beside the key when it is kept
  }
}

async function keep(field, { load, day, name, said, system }, typed) {
  const events = [], by = field.start.who?.code ?? "", at = momentNow(field).toISOString();
  for (const what of KINDS) {
    try {
      const found = figure("volume", typed[what], system);
      const volume_l = found && numberText(found.value), where = typed.where.trim();
      if (found?.value) events.push({ slot: newId(), batch: load.batch, what, volume_l, at, by, where });
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      put(said, say("field.log.not_a_number", { typed: typed[what] }));
      return false;
    }
  }
  if (!events.length || events.some(({ where }) => !where)) {
    put(said, say("field.tank.no_where"));
    return false;
  }
  await field.book.keep({
    property: OF_PRACTICE, half: name, events: events.map((body) => ({ kind: "litres_told", body })),
  });
  announce(say("field.tank.kept"));
  field.go("round", day);
  return true;
}
