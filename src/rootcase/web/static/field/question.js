// One question of a form: a number by the pad, a choice, a text, or one of those with a page of their own.
//
// q: {field, look, ask (as askNow tells it), of, spot, depth, tell(nodes), again(), onward()}.

import { el, put } from "./dom.js";
import { codeTold, depthTold, formOf, lacking, readingTold, ringTold, visitNow } from "./forms.js";
import { halfName } from "./half_typed.js";
import { hold } from "./in_hand.js";
import { once } from "./look_choices.js";
import { savedRows, tellSaved, typedTold, undoKey } from "./look_saved.js";
import { pad } from "./pad.js";
import { photoQuestion } from "./photo_frame.js";
import { coversQuestion, yearsQuestion } from "./question_rows.js";
import { save } from "./saving.js";
import { tallyQuestion } from "./tally.js";
import { besideTyped, wordsFor } from "./units.js";
import { say } from "./words.js";

const BESIDE = { probe_depth: "probe_stop" };
const OWN = { shoot_length_by_year: yearsQuestion, cover_share_by_ring: coversQuestion };
const BY_TYPE = { choice: choiceQuestion, text: textQuestion, photo: photoQuestion, count: tallyQuestion };
const LEAVES = { "none seen": "none_seen", "not looked": "not_looked", "not read": "not_read" };

export function question(host, section, q) {
  (OWN[q.ask.kind.kind] ?? BY_TYPE[q.ask.kind.value_type] ?? numberQuestion)(host, section, q);
}

// Kept in one stroke; then what is still wanted beside it is asked for, and the walk goes on.
export async function keep(q, entries, more = {}) {
  const { kind } = q.ask;
  const of = kind.of === "visit" ? await visitNow(q.field, q.look.property) : q.of;
  const at = q.depth && kind.of === "pit" ? { depth_from_m: Number(q.depth[0]), depth_to_m: Number(q.depth[1]) } : {};
  const kept = await save(q.field, {
    property: q.look.property, of, half: q.half,
    entries: entries.map((entry) => ({ kind: kind.kind, series: String(q.ask.count + 1), ...at, ...entry, ...noted(q, entry) })), ...more,
  });
  q.tell(wanting(q, { ...kept[0], ...at, day: q.field.day() }, entries));
  return kept;
}

const noted = ({ note }, { attributes }) => (note ? { attributes: { ...attributes, note } } : {});

// What was just kept beside it is no longer wanting.
function wanting(q, reading, entries) {
  const beside = new Set(entries.map((each) => each.kind));
  return lacking(q.look, reading).filter((each) => !beside.has(each.kind)).map((each) => {
    const form = formOf(each.kind), words = `field.form.until_${each.without}`;
    const asked = each.kind === "soil_moisture_feel" && q.depth;
    const text = asked ? say("field.form.until_moisture", { depth: depthTold(q.look.system, q.depth) }) : say(words);
    const step = q.step ?? "-";
    const { label } = q.field.kinds[each.kind];
    return el("p", { class: "caution" }, text, " ", form ? el("a", { class: "key", href: `#/form/${q.look.property}/${q.look.tree.id}/${form.name}/${each.kind}/${q.spot || "-"}/${step}` }, label) : `${label}.`);
  });
}

export const goOn = async (q, saved) => {
  const at = q.ask.count + 1;
  await tellSaved(saved, at, Math.max(at, q.ask.times));
  return at >= q.ask.times ? q.onward() : q.again();
};

// The question, how it is read, what is kept of it already.
export function heading(q, section, ...more) {
  const { kind, readings, count, times } = q.ask;
  const saved = el("p", { class: "count" });
  const rows = readings.filter((each) => each.day === q.field.day()).slice(-4).map((reading) => ({
    told: [reading.nothing ? typedTold(reading) : readingTold(reading), reading.attributes?.cover, reading.attributes?.cover && ringTold(reading.series, q.look.system)].filter(Boolean).join(", "),
    other: [besideTyped(kind, reading, q.field.system()), reading.own ? "" : reading.observer].filter(Boolean).join(", "), readings: [reading],
  }));
  section.append(...[el("h1", {}, wordsFor(q.look.system, kind.label), times > 1 ? el("span", { class: "which" }, ` ${say("field.form.which", { at: Math.min(count + 1, times), of: times })}`) : null),
    el("p", { class: "hint" }, wordsFor(q.look.system, kind.method)), rows.length ? savedRows(rows) : null, undoKey(q.field, rows, q.again), saved, q.ask.noted ? noteLine(q) : null, ...more].filter(Boolean));
  return saved;
}

// Where the method sends something to the note there is one; it is kept with the reading.
function noteLine(q) {
  return el("label", { class: "note" }, say("field.form.note"), el("input", { maxlength: 200, autocomplete: "off", on: { input: (event) => { q.note = event.target.value.trim(); } } }));
}

// None seen, Not looked, Not read: three different things. The pad has its own Not read.
export function nothingKeys(q, saved, but = []) {
  return q.ask.nothing.filter((each) => !but.includes(each)).map((each) => el("button", {
    type: "button", class: "unread", on: { click: once(async () => {
      await keep(q, [{ nothing: each, typed: each }]);
      await q.onward();
    }, null, saved) },
  }, say(`field.nothing.${LEAVES[each]}`)));
}

function numberQuestion(host, section, q) {
  const { field } = q, code = q.ask.kind.kind, beside = BESIDE[code];
  const saved = heading(q, section);
  const choices = beside ? choiceRow(field.kinds[beside], () => entry.refresh()) : null;
  const entry = pad(host, {
    kind: q.ask.kind, system: q.look.system, label: q.ask.kind.label, top: section, day: field.day(), onNext: q.onward,
    calibration: field.self.settings?.px_per_mm,
    between: [choices && el("fieldset", { class: "beside-number" }, el("legend", {}, field.kinds[beside].label), choices.keys),
      el("div", { class: "nothing" }, nothingKeys(q, saved, ["not read"]))].filter(Boolean),
    ready: () => (!choices || choices.chosen() ? "" : field.kinds[beside].label),
    onSave: async (found) => {
      const choice = choices?.chosen();
      const whole = choice === "rod_end" && found.value != null ? { sign: ">" } : {};
      await keep(q, [{ ...found, ...whole }, ...(choice && !found.nothing ? [{ kind: beside, choice, typed: codeTold(choice) }] : [])]);
      return found.nothing ? q.onward() : goOn(q, saved);
    },
  });
}

export function choiceRow(kind, changed, first = "") {
  let chosen = first;
  const codes = Object.keys(kind.choices);
  const keys = codes.map((code) => el("button", { type: "button", title: kind.choices[code], "aria-pressed": String(code === chosen), on: { click: () => {
    chosen = code;
    keys.forEach((key, at) => key.setAttribute("aria-pressed", String(codes[at] === code)));
    hold(keys[0]);
    changed?.();
  } } }, codeTold(code)));
  return { keys: el("div", { class: "six" }, keys), chosen: () => chosen };
}

function choiceQuestion(host, section, q) {
  const { kind } = q.ask, saved = heading(q, section);
  const choose = async (choice) => {
    await keep(q, [{ choice, typed: codeTold(choice) }]);
    await goOn(q, saved);
  };
  host.append(el("div", { class: "names" }, Object.entries(kind.choices).map(([code, meaning]) => el("button", {
    type: "button", on: { click: once(choose, code, saved) } }, el("b", {}, codeTold(code)), el("small", {}, meaning)))),
  lastKeys(q, nothingKeys(q, saved)));
}

export const lastKeys = (q, keys, save = null) => el("div", { class: "last wide" }, keys,
  el("button", { type: "button", on: { click: () => leave(q) } }, say("field.pad.next")), save);

async function leave(q) {
  if (q.half) await q.field.half.drop(q.half);
  return q.onward();
}

function textQuestion(host, section, q) {
  const { field } = q, { kind } = q.ask, saved = heading(q, section, kind.note || kind.pattern ? el("p", { class: "hint" }, wordsFor(q.look.system, kind.note || kind.pattern)) : "");
  q.half = halfName(field, "form", q.of, kind.kind);
  const input = el("input", { maxlength: 200, autocomplete: "off", "aria-label": kind.label, on: {
    input: () => (input.value.trim() ? field.half.put(q.half, input.value) : field.half.drop(q.half)) } });
  field.half.get(q.half).then((text) => { input.value ||= text ?? ""; });
  const kept = once(async () => {
    if (!input.value.trim()) return put(saved, say("field.pad.nothing"));
    await keep(q, [{ choice: input.value.trim(), typed: input.value.trim() }]);
    return goOn(q, saved);
  }, null, saved);
  if (kind.kind === "species") return host.append(el("div", { class: "keys" }, el("a", { class: "key weld", href: `#/look/${q.look.property}/${q.look.tree.id}/species` }, say("field.look.species"))), lastKeys(q, []));
  return host.append(el("p", {}, input), lastKeys(q, nothingKeys(q, saved), el("button", { type: "button", class: "weld", on: { click: kept } }, say("field.form.save"))));
}
