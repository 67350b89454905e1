// One reading: as typed, by whom, when, what stood before it; Correct, Take back, Move to another tree, and the choice
// between the corrections of two phones.

import { announce, el, put } from "./dom.js";
import { codeTold, depthTold, readingTold } from "./forms.js";
import { once } from "./look_choices.js";
import { stateTold, typedTold } from "./look_saved.js";
import { moveKeys } from "./move.js";
import { pad } from "./pad.js";
import { choiceRow } from "./question.js";
import { correct, takeBack } from "./saving.js";
import { readValue } from "./typed.js";
import { show as written } from "./units.js";
import { dayTold, say } from "./words.js";

const REASONS = ["slip", "wrong_tree", "again"];
const NUMBERS = ["number", "integer", "share", "count", "profile"];

export async function show(main, [property, id, action = ""], field, words = "") {
  const ground = await field.book.ofProperty(property);
  const reading = ground.readings.find((each) => each.id === id) ?? earlier(ground, id);
  if (!reading) throw new Error(say("field.reading.none"));
  const kind = field.kinds[reading.kind], standing = ground.readings.find((each) => each.slot === reading.slot && each.stands);
  const of = ["trees", "pits", "samples", "places", "visits"].flatMap((list) => ground[list] ?? []).find((each) => each.id === reading.of);
  const tree = ground.trees.find((each) => [of?.id, of?.tree_id].includes(each.id));
  field.head(tree?.label ?? ground.property.name, kind?.label ?? reading.kind, tree && `#/tree/${property}/${tree.id}`);
  const said = el("p", { class: "count", role: "status" }, words);
  const done = async (told) => {
    announce(told);
    await show(main, [property, (await newest(field, property, reading.slot)) ?? id], field, told);
  };
  const around = { field, ground, reading: { ...reading, property }, kind, said, of, done };
  put(main, el("h1", { class: reading.stands ? "finding" : "finding struck" }, valueTold(reading)), said, ...told(around), rivals(around),
    reading.stands ? (PARTS[action] ?? mainKeys)(around) : standing ? el("a", { class: "key weld", href: `#/reading/${property}/${standing.id}` }, say("field.reading.newer", { value: valueTold(standing) })) : el("p", {}, say("field.reading.out")),
    before(around), used(around));
}

// What others told before, as far as the ground came with it: its words alone.
function earlier(ground, id) {
  for (const each of ground.readings) {
    const told = [...(each.before ?? []), ...(each.rivals ?? [])].find((one) => one.id === id);
    if (told) return { ...each, ...told, value: null, choice: null, nothing: null, doubts: [], before: [], rivals: [], own: false, stands: false };
  }
  return null;
}

const PARTS = { correct: correctPart, back: backPart, move: moveKeys };
const valueTold = (reading) => (reading.nothing ? typedTold(reading) : readingTold(reading));
const newest = async (field, property, slot) => (await field.book.ofProperty(property)).readings.find((each) => each.slot === slot && each.stands)?.id;

function told({ field, reading, kind }) {
  const both = reading.value != null && kind?.si_unit && kind.si_unit !== "year" ? written(kind, reading.value, field.system(), { both: true }) : "";
  const depth = reading.depth_from_m == null ? "" : depthTold(field.system(), [reading.depth_from_m, reading.depth_to_m ?? reading.depth_from_m]);
  const rows = [["value", both], ["meaning", kind?.choices?.[reading.choice]], ["by", reading.observer || say("quantity.not_known")], ["day", reading.day && dayTold(reading.day)],
    ["depth", depth], ["year", reading.growth_year], ["with", Object.entries(reading.attributes ?? {}).filter(([name]) => name !== "photo").map((pair) => pair.map(codeTold).join(": ")).join(", ")]];
  return [el("dl", { class: "about-reading" }, rows.filter(([, value]) => value).flatMap(([name, value]) => [el("dt", {}, say(`field.reading.${name}`)), el("dd", {}, String(value))])),
    reading.own ? stateTold(reading.state, reading.id) : "", ...(reading.doubts ?? []).map((doubt) => el("p", { class: "said doubt" }, doubt))];
}

// Two phones corrected one reading: both stay, one is chosen.
function rivals({ field, reading, kind, said, done }) {
  if (!reading.rivals?.length) return null;
  const all = [{ id: reading.id, typed: reading.typed }, ...reading.rivals];
  const choose = (one) => once(async () => {
    if (one.typed) await correct(field, reading, entryOf(kind, one.id === reading.id ? reading : one, field), say("field.reading.chosen"));
    else await takeBack(field, reading, say("field.reading.chosen"));
    await done(say("field.reading.both_stay"));
  }, null, said);
  return el("section", { class: "caution" }, el("p", {}, say("field.reading.rivals", { values: all.map((each) => each.typed || say("field.reading.taken_back")).join(say("field.and")) })),
    el("div", { class: "keys" }, all.map((one) => el("button", { type: "button", on: { click: choose(one) } }, say("field.reading.is_right", { value: one.typed || say("field.reading.taken_back") })))));
}

// A rival tells what was typed alone: a choice by its code, a number by the units of this phone's page.
function entryOf(kind, one, field) {
  if ("value" in one) return { typed: one.typed, value: one.value, choice: one.choice, nothing: one.nothing, sign: one.sign };
  const code = Object.keys(kind.choices ?? {}).find((each) => codeTold(each) === one.typed || each === one.typed);
  if (code || !NUMBERS.includes(kind.value_type)) return { typed: one.typed, choice: code ?? one.typed };
  const { typed, value, sign, nothing, doubts } = readValue(kind, one.typed, field.system());
  return { typed, value, sign, nothing, doubts };
}

function mainKeys({ field, reading }) {
  const here = `#/reading/${reading.property}/${reading.id}`;
  return el("div", { class: "keys" }, [["correct", "weld"], ["back", ""], ["move", ""]].map(([action, more]) => el("a", { class: `key ${more}`, href: `${here}/${action}` }, say(`field.reading.key.${action}`))));
}

function reasonKeys(changed = null) {
  return choiceRow({ choices: Object.fromEntries(REASONS.map((each) => [say(`field.reading.why.${each}`), ""])) }, changed);
}

function correctPart(around) {
  const { field, reading, kind, said, done } = around, reasons = reasonKeys(() => entry?.refresh());
  let entry = null;
  const store = async (found) => {
    if (!reasons.chosen()) return announce(put(said, say("field.reading.reason")).textContent);
    await correct(field, reading, { doubts: [], ...found }, reasons.chosen());
    return done(say("field.reading.corrected", { now: found.nothing ? typedTold(found) : found.typed, was: valueTold(reading) }));
  };
  const host = el("div", { class: "look form" }), why = el("fieldset", { class: "beside-number" }, el("legend", {}, say("field.reading.reason")), reasons.keys);
  if (kind.value_type === "photo") return put(host, markOfPhoto(around));
  if (!NUMBERS.includes(kind.value_type)) return put(host, why, el("div", { class: "names" }, otherWords(around, store)));
  entry = pad(host, {
    kind, system: field.tape(reading.property), label: kind.label, day: field.day(), between: [why], calibration: field.self.settings?.px_per_mm,
    ready: () => (reasons.chosen() ? "" : say("field.reading.reason")), onSave: store,
    onNext: () => (entry.typed() ? leaving(field, said, entry.typed()) : field.back()),
  });
  return host;
}

// What is typed is not thrown away without a word.
const leaving = (field, said, typed) => put(said, say("field.reading.not_saved", { typed }), " ",
  el("button", { type: "button", on: { click: field.back } }, say("field.reading.leave")));

function otherWords({ kind, reading, said }, store) {
  if (kind.choices) {
    return Object.entries(kind.choices).map(([code, meaning]) => el("button", { type: "button", on: { click: once(store, { choice: code, typed: codeTold(code) }, said) } },
      el("b", {}, codeTold(code)), el("small", {}, meaning)));
  }
  const input = el("input", { maxlength: 200, "aria-label": kind.label, value: reading.choice ?? "" });
  return [input, el("button", { type: "button", class: "weld", on: { click: once(async () => input.value.trim() && store({ choice: input.value.trim(), typed: input.value.trim() }), null, said) } }, say("field.form.save"))];
}

// A picture stays; the mark it was taken from can be said afterwards.
function markOfPhoto({ field, reading, said, done }) {
  const mark = el("input", { maxlength: 120, autocomplete: "off", value: reading.attributes?.mark ?? "" });
  const store = once(async () => {
    if (!mark.value.trim()) return announce(put(said, say("field.photo_frame.no_mark")).textContent);
    const { choice, typed, attributes } = reading;
    await correct(field, reading, { choice, typed, doubts: [], attributes: { ...attributes, mark: mark.value.trim() } }, say("field.photo_frame.said_later"));
    return done(say("field.photo_frame.mark_saved", { mark: mark.value.trim() }));
  }, null, said);
  return [el("label", {}, say("field.photo_frame.mark"), mark), el("button", { type: "button", class: "weld", on: { click: store } }, say("field.form.save"))];
}

function backPart({ field, reading, said, done }) {
  const why = el("input", { maxlength: 200, autocomplete: "off", "aria-label": say("field.reading.why_back") });
  const store = once(async () => {
    if (!why.value.trim()) return put(said, say("field.reading.say_why"));
    await takeBack(field, reading, why.value.trim());
    return done(say("field.reading.taken"));
  }, null, said);
  return el("section", { class: "flow" }, el("label", {}, say("field.reading.why_back"), why), el("button", { type: "button", class: "weld", on: { click: store } }, say("field.reading.key.back")));
}

// All that was told of it, oldest first: what this phone kept, and what came with the ground.
function before({ ground, reading }) {
  const all = ground.readings.filter((each) => each.slot === reading.slot);
  const told = [...all, ...all.flatMap((each) => [...(each.rivals ?? []), ...(each.before ?? [])])].filter((each) => each.id !== reading.id);
  const old = [...new Map(told.toReversed().map((each) => [each.id, each])).values()].toSorted((one, other) => (one.made_at < other.made_at ? -1 : 1));
  return old.length ? el("ul", { class: "list" }, old.map((each) => el("li", {}, each.stands ? el("b", {}, valueTold(each)) : el("del", {}, valueTold(each)), el("span", { class: "beside" }, each.reason ?? "")))) : "";
}

// As far as the phone knows: a signed plan keeps its number, whatever is corrected.
function used({ ground, reading }) {
  const compared = (ground.yardsticks ?? []).filter((each) => each.tree_ids?.includes(reading.of));
  return el("div", { class: "help" }, compared.map((each) => el("p", {}, say("field.reading.in_yardstick", { label: each.label }))),
    ground.sheet ? el("p", {}, say("field.reading.in_plan", { signed: ground.sheet.signed })) : "", el("p", {}, say("field.reading.desk_knows")));
}
