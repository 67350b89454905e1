// The log of one job of a stop: the whole record, prefilled from plan, load and clock, each line corrected by hand;
// kept whatever it lacks.

import { newId, numberText } from "./canonical.js";
import { announce, button, el, key, put } from "./dom.js";
import { halfOf } from "./half_typed.js";
import { hoursTold } from "./log_hours.js";
import { between, boxOf, figure, meantOtherwise } from "./meter.js";
import { sentOnce } from "./once.js";
import { clockOf, dayOf, jobAt, logsOf, momentNow } from "./round.js";
import { noStop, stopNow, stopped } from "./screen_stop.js";
import { Refused } from "./typed.js";
import { convert, number, unitLabel, withUnit } from "./units.js";
import { dayTold, say } from "./words.js";

const LONGEST = 400; // as ground/length.py, of a line
const FIGURES = ["volume", "mass", "area"];
const INTO = { volume: "volume_l", mass: "mass_kg", area: "area_m2" };
const LABELLED = ["product", "registration", "licence", "site"];
const TICKS = ["no_helper", "restricted"];
const PUT_ON = [...FIGURES, "amount", "load", "before", "after"];

/** more: `not` for what was not done, the slot of what is corrected, or nothing. */
export async function show(main, [day, id, job, more], field) {
  const now = await stopNow(field, day, id);
  const task = now?.step.tasks.find((each) => each.id === job);
  if (!task || day > field.day()) return noStop(main, field, task);
  field.head(task.tree, now.step.place);
  const not = more === "not", logs = await logsOf(field, now.step, job);
  const old = logs.find(({ body }) => body.slot === more);
  const isRest = not && !logs.some(({ body }) => body.not_done);
  if (now.logged.has(job) && !old && !isRest) return showKept(main, { field, now, task }, logs);
  // By hand is what somebody typed here: what the clock and the gate say later still comes into the other lines.
  const name = halfOf(field, day, "log", jobAt(now.step, job), ...old ? [more] : []);
  const byHand = { ...old ? asTyped(field, old.body) : {}, ...await field.half.get(name) };
  const typed = old ? byHand : { ...prefilled(field, now, task, not), ...byHand };
  const slot = old ? { slot: more, supersedes: old.id } : { slot: newId() };
  const form = { field, now, task, name, byHand, typed, slot, not: old ? Boolean(old.body.not_done) : not };
  put(main, el("h1", { class: "finding" }, `${task.tree}: ${task.name}`), el("p", { class: "help" }, task.dose),
    drawn(form));
}

// A job is logged once: who comes back sees what was kept, corrects it, or says what of it was not done.
function showKept(main, { field, now, task }, logs) {
  const { step } = now, to = `#/log/${now.day}/${step.id}/${task.id}`;
  const linesOf = ({ amount, area, started, ended, not_done: why, note }) => [
    why && `${say("field.log.not_done")}: ${why}`, amount, area,
    started && `${say("field.log.started")}: ${clockOf(started)}`,
    ended && `${say("field.log.ended")}: ${clockOf(ended)}`,
    ended && started && dayOf(ended) !== dayOf(started) && `${say("field.log.ended_on")}: ${dayTold(dayOf(ended))}`,
    note].filter(Boolean).map((each) => el("li", {}, each));
  put(main, el("h1", { class: "finding" }, `${task.tree}: ${task.name}`), el("p", {}, say("field.log.is_logged")),
    logs.map(({ body }) => el("section", { class: "visit" }, el("ul", {}, linesOf(body)),
      el("div", { class: "keys" }, key(`${to}/${body.slot}`, say("field.log.correct"))))),
    logs.length ? null : el("p", {}, say("field.log.at_desk")),
    el("div", { class: "keys lower" },
      logs.length && !logs.some(({ body }) => body.not_done) ? key(`${to}/not`, say("field.log.rest")) : null,
      key(`#/stop/${now.day}/${step.id}`, say("field.log.to_stop"), "weld")));
}

const boxed = (what, si, value, system) =>
  (value == null ? "" : String(Number(convert(value, si, boxOf(what, system)).toPrecision(4))));

// What was kept, as it was typed.
function asTyped(field, body) {
  const { volume_l: litres, mass_kg: mass, amount = "" } = body, isWet = litres != null, isWeighed = mass != null;
  const texts = ["load", "soil", "weather", "method", "note", "not_done", ...LABELLED];
  return {
    volume: isWet ? amount : "", mass: isWet ? boxed("mass", "kg", mass, field.system()) : isWeighed ? amount : "",
    amount: isWet || isWeighed ? "" : amount, area: boxed("area", "m2", body.area_m2, field.system()),
    helpers: (body.helpers ?? []).join(" "),
    ...Object.fromEntries(["started", "ended"].map((each) => [each, body[each] ? clockOf(body[each]) : ""])),
    ended_on: body.ended ? dayOf(body.ended) : body.day,
    ...Object.fromEntries(texts.map((each) => [each, body[each] ?? ""])),
    ...Object.fromEntries(TICKS.map((each) => [each, Boolean(body[each])])),
  };
}

// The load, where only one can be meant; where none has come to this phone, the record names the batch.
function fromTank(field, { ground, step, seen }) {
  const { batch_id: batch } = step.extract, at = seen.started || momentNow(field).toISOString();
  const those = (ground.extract?.loads ?? []).filter((each) => each.batch_id === batch && each.filled <= at);
  return those.length === 1 ? { load: those[0].id } : {};
}

// What plan, load, clock and gate have said, as it would be typed.
function prefilled(field, now, task, not) {
  const system = field.system(), { seen } = now;
  const inBox = (what, si, value) => boxed(what, si, value, system);
  const [bar] = stopped(field, now, task);
  const around = (seen.around ?? []).map((code) => say(`field.stop.around.${code}`)).join(", ");
  return {
    volume: inBox("volume", "L", task.litres), mass: inBox("mass", "kg", task.mass_kg),
    area: inBox("area", "m2", task.area_m2), amount: task.amount,
    ...task.extract && now.step.extract ? fromTank(field, now) : {},
    started: seen.started ? clockOf(seen.started) : "", ended: seen.ended ? clockOf(seen.ended) : "",
    ended_on: seen.ended ? dayOf(seen.ended) : now.day,
    soil: seen.soil ? field.kinds.soil_state_at_work.choices[seen.soil] : "", weather: around,
    licence: now.here.licence, not_done: not && bar ? firstSentence(bar.says) : "",
  };
}

const firstSentence = (text) => text.split(/(?<=\.) /)[0];

function drawn(form) {
  const { field, task, typed, name } = form, system = field.system();
  const said = el("p", { role: "status" }), meant = el("div", { "aria-live": "assertive" });
  const box = (each, words = say(`field.log.${each}`), more = {}) => el("label", { class: "names" }, words,
    el("input", { name: each, maxlength: LONGEST, autocomplete: "off", value: typed[each] ?? "", ...more }),
    el("span", { class: "said doubt", "data-wrong": each }));
  const measured = (each) => box(each, `${say(`field.log.${each}`)}, ${unitLabel(boxOf(each, system))}`,
    { inputmode: "decimal" });
  const tick = (each) => el("label", { class: "tool" }, el("input", {
    type: "checkbox", name: each, checked: Boolean(typed[each]) }), say(`field.log.${each}`));
  const plan = task.litres && el("p", { class: "help" }, say("field.log.plan_says", {
    planned: withUnit(number(convert(task.litres, "L", boxOf("volume", system)), 3), boxOf("volume", system)),
  }));
  const wants = { volume: task.litres || !(task.mass_kg || task.amount), mass: task.mass_kg, amount: task.amount };
  const host = el("form", { class: "visit log", novalidate: true },
    form.not ? box("not_done") : null, loads(form),
    wants.volume ? [plan, measured("volume"), meterOf(box, system, typed), meant] : null,
    wants.mass ? measured("mass") : null, wants.amount ? box("amount") : null, measured("area"),
    box("started"), box("ended"), box("ended_on", undefined, { type: "date" }),
    el("p", {}, say("field.log.by", { by: field.start.who?.code ?? "" })),
    box("helpers"), tick("no_helper"), box("method"), box("weather"), box("soil"),
    el("details", {}, el("summary", {}, say("field.log.labelled")),
      el("p", { class: "notice" }, say("field.log.label")),
      box("product"), box("registration"), tick("restricted"), box("licence"), box("site")),
    form.not ? null : box("not_done"), box("note"), said,
    el("div", { class: "keys lower" }, el("button", { class: "weld" }, say("field.log.keep"))));
  const read = () => {
    Object.assign(typed, Object.fromEntries([...host.elements].filter((each) => each.name).map((each) =>
      [each.name, each.type === "checkbox" ? each.checked : each.value])));
    const not = typed.not_done?.trim();
    put(host.querySelector(".keys .weld"), say(not ? "field.log.keep_not" : "field.log.keep"));
  };
  host.addEventListener("input", ({ target }) => {
    const ofMeter = ["before", "after"].includes(target.name);
    if (ofMeter) byMeter(host, system);
    read();
    for (const each of [target.name, ...ofMeter ? ["volume"] : []]) form.byHand[each] = typed[each];
    field.half.put(name, form.byHand);
  });
  host.addEventListener("submit", sentOnce(() => (read(), save(form, host, meant)), said));
  read();
  return host;
}

function loads({ task, typed, now }) {
  const told = now.ground.extract?.loads ?? [];
  if (!task.extract) return null;
  const gone = typed.load && told.every(({ id }) => id !== typed.load);
  const load = el("select", { name: "load" }, el("option", { value: "" }, say("field.job.no_load")),
    [...told, ...gone ? [{ id: typed.load, told: say("field.job.gone_load") }] : []].map(({ id, told: words }) =>
      el("option", { value: id }, words)));
  load.value = typed.load ?? "";
  // A narrow box cuts its words; what forbids the load stands at their end.
  const whole = el("span", { class: "help" });
  const ofBatch = now.step.extract ? say("field.log.of_batch", { named: now.step.extract.named }) : "";
  const shown = () => put(whole, load.value ? load.selectedOptions[0].text : ofBatch);
  load.addEventListener("change", shown);
  shown();
  return el("label", { class: "names" }, say("field.log.load"), load, whole,
    el("span", { class: "said doubt", "data-wrong": "load" }));
}

const meterOf = (box, system, typed) => el("details", { open: Boolean(typed.before || typed.after) },
  el("summary", {}, say("field.log.meter")), ["before", "after"].map((each) =>
    box(each, `${say(`field.log.${each}`)}, ${unitLabel(boxOf("volume", system))}`, { inputmode: "decimal" })));

// Before and after give the amount; while they give none, none stands there that could be taken for theirs.
function byMeter(host, system) {
  const { before, after, volume } = host.elements, wrong = {};
  if (!before.value.trim() || !after.value.trim()) return;
  const litres = between({ before: before.value, after: after.value }, system, wrong);
  for (const each of ["before", "after"]) put(host.querySelector(`[data-wrong=${each}]`), wrong[each] ?? "");
  volume.value = litres === null ? "" : String(Number(convert(litres, "L", boxOf("volume", system)).toPrecision(6)));
}

// The other unit is asked about before anything is kept; both answers are as big.
function asked(form, host, meant) {
  const { field, task, now, typed } = form, system = field.system();
  const found = typed.not_done?.trim() ? null : meantOtherwise(typed.volume ?? "", task.litres, system, now.here);
  if (!found) return put(meant) && false;
  const meter = typed.volume.trim(), { unit, other } = found;
  const told = (litres) => withUnit(number(convert(litres, "L", unit), 3), unit);
  const choose = (chosen) => button(() => {
    host.elements.volume.value = `${meter} ${unitLabel(chosen)}`;
    put(meant);
    host.requestSubmit();
  }, say(chosen === other ? "field.log.change" : "field.log.right", { meter, unit: unitLabel(chosen) }));
  put(meant, el("div", { class: "notice" }, el("p", {}, say("field.log.meant", {
    planned: told(task.litres), meter, other_unit: unitLabel(other), told: told(found.litres),
    other: say(other === "L" ? "field.log.litres" : "field.log.gallons"),
  })), el("div", { class: "keys" }, choose(other), choose(unit))));
  meant.querySelector("button").focus();
  return true;
}

function readAll({ field, typed, now }, wrong) {
  const system = field.system(), found = {};
  between(typed, system, wrong);
  for (const what of FIGURES) {
    try {
      found[what] = figure(what, typed[what] ?? "", system);
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      wrong[what] = say("field.log.not_a_number", { typed: typed[what] });
    }
  }
  return { ...found, ...hoursTold({ ...now, today: field.day() }, typed, wrong) };
}

// What somebody wrote that went on does not fall away because the rest was not done.
const wentOn = ({ byHand }) => Object.fromEntries(PUT_ON.filter((each) => byHand[each]?.trim()).map((each) =>
  [each, say("field.log.went_on")]));

async function save(form, host, meant) {
  const { field, now, name } = form, wrong = {};
  const found = readAll(form, wrong);
  if (form.typed.not_done?.trim()) Object.assign(wrong, wentOn(form));
  for (const each of host.querySelectorAll("[data-wrong]")) put(each, wrong[each.dataset.wrong] ?? "");
  const [first] = Object.keys(wrong);
  if (first) host.elements[first]?.focus();
  if (first || asked(form, host, meant)) return false;
  await field.book.keep({
    property: now.step.property_id, half: name,
    events: [{ kind: "put_on_logged", body: bodyOf(form, found) }],
  });
  announce(say("field.log.kept"));
  field.go("stop", now.day, now.step.id);
  return true;
}

// What is empty is left out, as everywhere; of what was not done no amount of the plan is told, and of work without a
// label no license that nobody typed.
function bodyOf({ field, now, task, typed, byHand, slot }, found) {
  const not = typed.not_done?.trim(), text = (each) => typed[each]?.trim() ?? "";
  const amounts = FIGURES.filter((what) => found[what] && !not)
    .map((what) => [INTO[what], numberText(found[what].value)]);
  const isLabelled = text("product") || text("registration") || typed.restricted;
  const labelled = LABELLED.filter((each) => isLabelled || byHand[each]);
  const told = {
    amount: not ? "" : found.volume?.typed ?? found.mass?.typed ?? text("amount"), area: not ? "" : found.area?.typed,
    load: not ? "" : typed.load, batch: not || typed.load || !task.extract ? "" : now.step.extract?.batch_id,
    part: now.step.part, started: found.started, ended: found.ended, not_done: not,
    time_zone: found.started || found.ended ? zoneOf(now.ground) : "",
    helpers: text("helpers").split(/[\s,]+/).filter(Boolean), ...Object.fromEntries(amounts),
    ...Object.fromEntries(["method", "weather", "soil", "note", ...labelled].map((each) => [each, text(each)])),
    ...Object.fromEntries(TICKS.map((each) => [each, Boolean(typed[each])])),
  };
  const isTold = ([, value]) => (Array.isArray(value) ? value.length : Boolean(value));
  return {
    ...slot, tree: task.tree_id, remedy: task.remedy, day: now.day, by: field.start.who?.code ?? "",
    plan: task.plan, jobs: [task.id], ...Object.fromEntries(Object.entries(told).filter(isTold)),
  };
}

const zoneOf = ({ property }) => property?.time_zone || Intl.DateTimeFormat().resolvedOptions().timeZone;
