// One reading: as typed, by whom, when, what stood before it; Correct, Take back, Move to another tree, and the choice
// between the corrections of two phones.

import { byWords, choiceRow } from "./choice_row.js";
import { announce, button, el, key, put, tell } from "./dom.js";
import { depthTold } from "./forms.js";
import { thingIn } from "./here.js";
import { stateTold } from "./look_saved.js";
import { moveKeys, treeOf } from "./move.js";
import { once } from "./once.js";
import { pad } from "./pad.js";
import { choiceKeys } from "./question.js";
import { correct, takeBack } from "./saving.js";
import { codeTold, readingTold } from "./told.js";
import { readValue } from "./typed.js";
import { show as written } from "./units.js";
import { dayTold, say } from "./words.js";

const REASONS = ["slip", "wrong_tree", "again"];
const NUMBERS = ["number", "integer", "share", "count", "profile"];
const PARTS = { correct: correctPart, back: backPart, move: moveKeys };

export async function show(main, [property, id, action = ""], field, words = "") {
  const ground = await field.book.ofProperty(property);
  const reading = ground.readings.find((each) => each.id === id) ?? earlier(ground, id);
  if (!reading) throw new Error(say("field.reading.none"));
  const kind = field.kinds[reading.kind], of = thingIn(ground, reading.of);
  const tree = ground.trees.find((each) => [of?.id, of?.tree_id].includes(each.id));
  field.head(tree?.label ?? ground.property.name, kind?.label ?? reading.kind, tree && `#/tree/${property}/${tree.id}`);
  const said = el("p", { class: "count", role: "status" }, words);
  const done = async (told) => {
    announce(told);
    const now = standingOf(await field.book.ofProperty(property), reading);
    await show(main, [property, now?.id ?? id], field, told);
  };
  const around = { field, ground, reading: { ...reading, property }, kind, said, done };
  put(main, el("h1", { class: reading.stands ? "finding" : "finding struck" }, readingTold(reading)), said,
    told(around), rivals(around), reading.stands ? (PARTS[action] ?? mainKeys)(around) : instead(around),
    before(around), used(around));
}

const standingOf = ({ readings }, { slot }) => readings.find((each) => each.slot === slot && each.stands);

// What others told before, as far as the ground came with it: its words alone.
function earlier({ readings }, id) {
  const nothing = {
    value: null, choice: null, nothing: null, doubts: [], before: [], rivals: [], own: false, stands: false,
  };
  for (const each of readings) {
    const told = [...(each.before ?? []), ...(each.rivals ?? [])].find((one) => one.id === id);
    if (told) return { ...each, ...told, ...nothing };
  }
  return null;
}

function instead({ ground, reading }) {
  const now = standingOf(ground, reading);
  if (!now) return el("p", {}, say("field.reading.out"));
  const words = say("field.reading.newer", { value: readingTold(now) });
  return key(`#/reading/${reading.property}/${now.id}`, words, "weld");
}

function told({ field, reading, kind }) {
  const { value, choice, observer, day, depth_from_m: from, depth_to_m: to, growth_year: year, attributes } = reading;
  const system = field.system(), isSized = value != null && kind?.si_unit && kind.si_unit !== "year";
  const beside = Object.entries(attributes ?? {}).filter(([name]) => name !== "photo");
  const rows = {
    value: isSized && written(kind, value, system, { both: true }), meaning: kind?.choices?.[choice],
    by: observer || say("quantity.not_known"), day: day && dayTold(day),
    depth: from != null && depthTold(system, [from, to ?? from]), year,
    with: beside.map((pair) => pair.map(codeTold).join(": ")).join(", "),
  };
  const shown = Object.entries(rows).filter(([, text]) => text);
  return [el("dl", { class: "about-reading" }, shown.map(([name, text]) =>
    [el("dt", {}, say(`field.reading.${name}`)), el("dd", {}, String(text))])),
  reading.own ? stateTold(reading.state, reading.id) : "",
  (reading.doubts ?? []).map((doubt) => el("p", { class: "said doubt" }, doubt))];
}

// Two phones corrected one reading: both stay, one is chosen.
function rivals({ field, reading, kind, said, done }) {
  if (!reading.rivals?.length) return null;
  const all = [reading, ...reading.rivals];
  const named = ({ typed }) => typed || say("field.reading.taken_back");
  const choose = (one) => once(async () => {
    if (one.typed) await correct(field, reading, entryOf(kind, one, field), say("field.reading.chosen"));
    else await takeBack(field, reading, say("field.reading.chosen"));
    await done(say("field.reading.both_stay"));
  }, said);
  const values = all.map(named).join(say("field.and"));
  return el("section", { class: "caution" }, el("p", {}, say("field.reading.rivals", { values })),
    el("div", { class: "keys" }, all.map((one) =>
      button(choose(one), say("field.reading.is_right", { value: named(one) })))));
}

// A rival tells what was typed alone: a choice by its code, a number by the units of this phone's page.
function entryOf(kind, one, field) {
  const { typed } = one;
  if ("value" in one) return { typed, value: one.value, choice: one.choice, nothing: one.nothing, sign: one.sign };
  const code = Object.keys(kind.choices ?? {}).find((each) => codeTold(each) === typed || each === typed);
  if (code || !NUMBERS.includes(kind.value_type)) return { typed, choice: code ?? typed };
  return readValue(kind, typed, field.system());
}

function mainKeys({ ground, reading: { property, id, of } }) {
  const actions = Object.keys(PARTS).filter((each) => each !== "move" || treeOf(ground, of));
  return el("div", { class: "keys" }, actions.map((action) => key(
    `#/reading/${property}/${id}/${action}`, say(`field.reading.key.${action}`), action === "correct" ? "weld" : "")));
}

function correctPart(around) {
  const { field, reading, kind, said, done } = around;
  const host = el("div", { class: "look form" });
  if (kind.value_type === "photo") return put(host, markOfPhoto(around));
  const missing = () => (reasons.chosen() ? "" : say("field.reading.reason"));
  const store = async (found) => {
    if (missing()) return tell(said, missing());
    await correct(field, reading, { doubts: [], ...found }, say(`field.reading.why.${reasons.chosen()}`));
    const now = readingTold({ ...found, kind: kind.kind }), was = readingTold(reading);
    return done(say("field.reading.corrected", { now, was }));
  };
  const isNumber = NUMBERS.includes(kind.value_type);
  const reasons = choiceRow(byWords(REASONS, (each) => say(`field.reading.why.${each}`)),
    { changed: () => entry?.refresh() });
  const why = el("fieldset", { class: "beside-number" }, el("legend", {}, say("field.reading.reason")), reasons.keys);
  const entry = isNumber ? pad(host, {
    kind, system: field.tape(reading.property), label: kind.label, day: field.day(), between: [why],
    calibration: field.self.settings?.px_per_mm, ready: missing, askFor: reasons.point, onSave: store,
    onNext: () => (entry.typed() ? leaving(field, said, entry.typed()) : field.back()),
  }) : null;
  return entry ? host : put(host, why, el("div", { class: "names" }, otherWords(around, store)));
}

// What is typed is not thrown away without a word.
const leaving = (field, said, typed) => put(said, say("field.reading.not_saved", { typed }), " ",
  button(field.back, say("field.reading.leave")));

function otherWords({ kind, reading, said }, store) {
  if (kind.choices) return choiceKeys(kind, (choice) => once(() => store({ choice, typed: codeTold(choice) }), said));
  const input = el("input", { maxlength: 200, "aria-label": kind.label, value: reading.choice ?? "" });
  const keep = once(async () => {
    const typed = input.value.trim();
    if (typed) await store({ choice: typed, typed });
  }, said);
  return [input, button(keep, say("field.form.save"), "weld")];
}

// A picture stays; the mark it was taken from can be said afterwards.
function markOfPhoto({ field, reading, said, done }) {
  const { choice, typed, attributes } = reading;
  const input = el("input", { maxlength: 120, autocomplete: "off", value: attributes?.mark ?? "" });
  const store = once(async () => {
    const mark = input.value.trim();
    if (!mark) return tell(said, say("field.photo_frame.no_mark"));
    const entry = { choice, typed, doubts: [], attributes: { ...attributes, mark } };
    await correct(field, reading, entry, say("field.photo_frame.said_later"));
    return done(say("field.photo_frame.mark_saved", { mark }));
  }, said);
  return [el("label", {}, say("field.photo_frame.mark"), input), button(store, say("field.form.save"), "weld")];
}

function backPart({ field, reading, said, done }) {
  const why = el("input", { maxlength: 200, autocomplete: "off", "aria-label": say("field.reading.why_back") });
  const store = once(async () => {
    if (!why.value.trim()) return put(said, say("field.reading.say_why"));
    await takeBack(field, reading, why.value.trim());
    return done(say("field.reading.taken"));
  }, said);
  return el("section", { class: "flow" }, el("label", {}, say("field.reading.why_back"), why),
    button(store, say("field.reading.key.back"), "weld"));
}

// All that was told of it, oldest first: what this phone kept, and what came with the ground.
function before({ ground, reading }) {
  const all = ground.readings.filter((each) => each.slot === reading.slot);
  const others = all.flatMap((each) => [...(each.before ?? []), ...(each.rivals ?? [])]);
  const told = new Map([...others, ...all].map((each) => [each.id, each]));
  told.delete(reading.id);
  if (!told.size) return "";
  const old = [...told.values()].toSorted((one, other) => (one.made_at < other.made_at ? -1 : 1));
  return el("ul", { class: "list" }, old.map((each) => el("li", {},
    el(each.stands ? "b" : "del", {}, readingTold(each)), el("span", { class: "beside" }, each.reason ?? ""))));
}

// As far as the phone knows: a signed plan keeps its number, whatever is corrected.
function used({ ground: { yardsticks = [], sheet }, reading }) {
  const told = yardsticks.filter((each) => each.tree_ids?.includes(reading.of))
    .map(({ label }) => say("field.reading.in_yardstick", { label }));
  if (sheet) told.push(say("field.reading.in_plan", { signed: sheet.signed }));
  return el("div", { class: "help" }, [...told, say("field.reading.desk_knows")].map((words) => el("p", {}, words)));
}
