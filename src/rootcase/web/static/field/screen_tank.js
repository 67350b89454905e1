// The end of the day: of each load what went to trees, what is left or was lost, and what nobody has told yet.

import { newId, numberText } from "./canonical.js";
import { announce, el, put } from "./dom.js";
import { halfOf } from "./half_typed.js";
import { boxOf, figure } from "./meter.js";
import { sentOnce } from "./once.js";
import { momentNow, roundsHere, stopsOf } from "./round.js";
import { Refused } from "./typed.js";
import { convert, number, unitLabel, withUnit } from "./units.js";
import { dayTold, say } from "./words.js";

const LONGEST = 400; // as ground/length.py, of a line
const KINDS = ["left", "lost"];
const OF_PRACTICE = ""; // liters of a batch belong to no property

export async function show(main, [day], field) {
  const here = await roundsHere(field), rounds = here.rounds.filter((each) => each.day === day);
  field.head(say("field.tank.title"), dayTold(day));
  const loads = await loadsOf(field, rounds);
  const ours = await field.book.events(OF_PRACTICE);
  const told = ours.filter(holds).filter(({ kind }) => kind === "litres_told").map((each) => each.body);
  put(main, el("h1", { class: "finding" }, say("field.tank.finding")),
    loads.length ? await Promise.all(loads.map((load) => account(field, day, here, load, told)))
      : el("p", { class: "notice" }, say("field.tank.none")));
}

const holds = ({ settled }) => settled?.how !== "let_go";

// By batch: each load of the rounds' batches or that this phone's logs name, what it held, and what was logged of it;
// of a log that was corrected only what stands.
async function loadsOf(field, rounds) {
  const batches = new Set(rounds.flatMap(({ steps }) => steps).map((each) => each.extract?.batch_id));
  const properties = [...new Set(rounds.flatMap(stopsOf).map((each) => each.property_id))];
  const grounds = await Promise.all(properties.map((id) => field.book.ofProperty(id)));
  const entries = (await Promise.all(properties.map((id) => field.book.events(id)))).flat().filter(holds);
  const over = new Set(entries.map(({ body }) => body.supersedes));
  const logged = entries.filter(({ id, kind, body }) => kind === "put_on_logged" && body.load && !over.has(id))
    .map(({ body }) => body);
  const used = new Set(logged.map(({ load }) => load));
  const loads = new Map(grounds.flatMap((each) => each.extract?.loads ?? []).map((each) => [each.id, each]));
  const known = [...loads.values()].filter(({ id, batch_id: batch }) => used.has(id) || batches.has(batch));
  return [...new Set(known.map((each) => each.batch_id))].map((batch) => {
    const those = known.filter((each) => each.batch_id === batch), ids = new Set(those.map(({ id }) => id));
    return {
      batch, told: those.map((each) => each.told), loaded: sumOf(those, ({ volume_l: litres }) => litres),
      out: sumOf(logged.filter(({ load }) => ids.has(load)), ({ volume_l: litres }) => Number(litres ?? 0)),
    };
  });
}

const sumOf = (things, figureOf) => things.reduce((sum, each) => sum + figureOf(each), 0);

async function account(field, day, here, load, told) {
  const system = field.system(), unit = boxOf("volume", system), name = halfOf(field, day, "tank", load.batch);
  const half = await field.half.get(name) ?? {};
  const shown = (litres) => withUnit(number(convert(litres, "L", unit), 3), unit);
  const before = told.filter((each) => each.batch === load.batch);
  const state = el("p", { role: "status" }), said = el("p", { class: "said doubt", role: "status" });
  const box = (each, words, more = {}) => el("label", { class: "names" }, words,
    el("input", { name: each, maxlength: LONGEST, autocomplete: "off", value: half[each] ?? "", ...more }));
  const form = el("form", { class: "visit log", novalidate: true }, load.told.map((each) => el("h2", {}, each)),
    el("p", {}, say("field.tank.loaded", { loaded: shown(load.loaded), out: shown(load.out) })),
    KINDS.map((each) => box(each, `${say(`field.tank.${each}`)}, ${unitLabel(unit)}`, { inputmode: "decimal" })),
    box("where", say("field.tank.where")), state, said,
    el("div", { class: "keys" }, el("button", { class: "weld" }, say("field.tank.keep"))));
  const typed = () => Object.fromEntries([...KINDS, "where"].map((each) => [each, form.elements[each].value]));
  const balance = () => {
    const amounts = KINDS.map((each) => quietly(typed()[each], system));
    const elsewhere = sumOf([...amounts, ...before.map((each) => Number(each.volume_l))], (litres) => litres);
    const missing = load.loaded - load.out - elsewhere;
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
