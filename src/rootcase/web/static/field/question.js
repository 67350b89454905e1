// One question of a form: a number by the pad, a choice, a text, or one of those with a page of their own.
//
// q: {field, look, ask (as askNow tells it), of, spot, depth, tell(nodes), again(), onward()}.

import { byWords, choiceRow } from "./choice_row.js";
import { button, el, key, put } from "./dom.js";
import { depthTold, formOf, lacking, ringTold } from "./forms.js";
import { halfName } from "./half_typed.js";
import { savedRows, tellSaved, undoKey } from "./look_saved.js";
import { once } from "./once.js";
import { pad } from "./pad.js";
import { photoQuestion } from "./photo_frame.js";
import { coversQuestion, yearsQuestion } from "./question_rows.js";
import { save, visitNow } from "./saving.js";
import { tallyQuestion } from "./tally.js";
import { codeTold, nothingWords, readingTold } from "./told.js";
import { besideTyped, wordsFor } from "./units.js";
import { say } from "./words.js";

const BESIDE = { probe_depth: "probe_stop" };
const OWN = { shoot_length_by_year: yearsQuestion, cover_share_by_ring: coversQuestion };
const BY_TYPE = { choice: choiceQuestion, text: textQuestion, photo: photoQuestion, count: tallyQuestion };
const ROWS = 4;

export function question(host, section, q) {
  (OWN[q.ask.kind.kind] ?? BY_TYPE[q.ask.kind.value_type] ?? numberQuestion)(host, section, q);
}

// Kept in one stroke; then what is still wanted beside it is asked for, and the walk goes on.
export async function keep(q, entries, photos = []) {
  const { kind } = q.ask;
  const of = kind.of === "visit" ? await visitNow(q.field, q.look.property) : q.of;
  const [from, to] = q.depth && kind.of === "pit" ? q.depth : [];
  const at = from === undefined ? {} : { depth_from_m: Number(from), depth_to_m: Number(to) };
  const common = { kind: kind.kind, series: String(q.ask.count + 1), ...at };
  const kept = await save(q.field, {
    property: q.look.property, of, half: q.half, photos,
    entries: entries.map((entry) => ({ ...common, ...entry, ...noted(q, entry) })),
  });
  q.tell(wanting(q, { ...kept[0], ...at, day: q.field.day() }, entries));
  return kept;
}

const noted = ({ note }, { attributes }) => (note ? { attributes: { ...attributes, note } } : {});

// What was just kept beside it is no longer wanting.
function wanting(q, reading, entries) {
  const beside = new Set(entries.map((each) => each.kind));
  const { property, tree, system } = q.look;
  return lacking(q.look, reading).filter((each) => !beside.has(each.kind)).map(({ kind, without }) => {
    const { label } = q.field.kinds[kind], form = formOf(kind);
    const text = kind === "soil_moisture_feel" && q.depth
      ? say("field.form.until_moisture", { depth: depthTold(system, q.depth) }) : say(`field.form.until_${without}`);
    const at = form && `#/form/${property}/${tree.id}/${form.name}/${kind}/${q.spot || "-"}/${q.step ?? "-"}`;
    return el("p", { class: "caution" }, text, " ", form ? key(at, label) : `${label}.`);
  });
}

export const goOn = (q, saved) => {
  const at = q.ask.count + 1;
  tellSaved(saved, at, Math.max(at, q.ask.times));
  return at >= q.ask.times ? q.onward() : q.again();
};

// The question, how it is read, what is kept of it already.
export function heading(q, section, ...more) {
  const { kind, readings, count, times, noted: hasNote } = q.ask, { system } = q.look;
  const saved = el("p", { class: "count" });
  const rows = readings.filter((each) => each.day === q.field.day()).slice(-ROWS).map((each) => rowOf(q, each));
  const which = times > 1 ? ` ${say("field.form.which", { at: Math.min(count + 1, times), of: times })}` : "";
  section.append(...[
    el("h1", {}, wordsFor(system, kind.label), which ? el("span", { class: "which" }, which) : null),
    el("p", { class: "hint" }, wordsFor(system, kind.method)), rows.length ? savedRows(rows) : null,
    undoKey(q.field, rows, q.again), saved, hasNote ? noteLine(q) : null, ...more,
  ].filter(Boolean));
  return saved;
}

function rowOf(q, reading) {
  const { cover } = reading.attributes ?? {};
  const told = [readingTold(reading), cover, cover && ringTold(reading.series, q.look.system)];
  const other = [besideTyped(q.ask.kind, reading, q.field.system()), reading.own ? "" : reading.observer];
  return { told: told.filter(Boolean).join(", "), other: other.filter(Boolean).join(", "), readings: [reading] };
}

// Where the method sends something to the note there is one; it is kept with the reading.
const noteLine = (q) => el("label", { class: "note" }, say("field.form.note"), el("input", {
  maxlength: 200, autocomplete: "off", on: { input: ({ target }) => { q.note = target.value.trim(); } },
}));

// Looked and not there, nobody looked, could not be read: three different things. The pad has its own Not read.
export function nothingKeys(q, saved, but = []) {
  return q.ask.nothing.filter((each) => !but.includes(each)).map((nothing) => {
    const keeping = once(async () => {
      await keep(q, [{ nothing, typed: nothing }]);
      await q.onward();
    }, saved);
    return button(keeping, nothingWords(nothing), "unread");
  });
}

function numberQuestion(host, section, q) {
  const { field, look, ask } = q, beside = field.kinds[BESIDE[ask.kind.kind]];
  const saved = heading(q, section);
  const choices = beside && choiceRow(byWords(Object.keys(beside.choices), codeTold),
    { meanings: beside.choices, changed: () => entry.refresh() });
  const entry = pad(host, {
    kind: ask.kind, system: look.system, label: ask.kind.label, top: section, day: field.day(), onNext: q.onward,
    calibration: field.self.settings?.px_per_mm,
    between: [choices && el("fieldset", { class: "beside-number" }, el("legend", {}, beside.label), choices.keys),
      el("div", { class: "nothing" }, nothingKeys(q, saved, ["not read"]))].filter(Boolean),
    ready: () => (!choices || choices.chosen() ? "" : beside.label), askFor: choices?.point,
    onSave: async (found) => {
      const choice = choices?.chosen();
      const whole = choice === "rod_end" && found.value != null ? { sign: ">" } : {};
      const why = choice && !found.nothing ? [{ kind: beside.kind, choice, typed: codeTold(choice) }] : [];
      await keep(q, [{ ...found, ...whole }, ...why]);
      return found.nothing ? q.onward() : goOn(q, saved);
    },
  });
}

function choiceQuestion(host, section, q) {
  const { kind } = q.ask, saved = heading(q, section);
  const choose = (choice) => once(async () => {
    await keep(q, [{ choice, typed: codeTold(choice) }]);
    await goOn(q, saved);
  }, saved);
  host.append(el("div", { class: "names" }, choiceKeys(kind, choose)), lastKeys(q, nothingKeys(q, saved)));
}

// The choices of a kind one under the other, each with what it means.
export const choiceKeys = ({ choices }, choose) => Object.entries(choices).map(([code, meaning]) =>
  button(choose(code), [el("b", {}, codeTold(code)), el("small", {}, meaning)]));

export const lastKeys = (q, keys, main = null) =>
  el("div", { class: "last wide" }, keys, button(() => leave(q), say("field.pad.next")), main);

async function leave(q) {
  if (q.half) await q.field.half.drop(q.half);
  return q.onward();
}

function textQuestion(host, section, q) {
  const { field } = q, { kind } = q.ask, hint = kind.note || kind.pattern;
  const saved = heading(q, section, hint ? el("p", { class: "hint" }, wordsFor(q.look.system, hint)) : null);
  if (kind.kind === "species") {
    const to = `#/look/${q.look.property}/${q.look.tree.id}/species`;
    return host.append(el("div", { class: "keys" }, key(to, say("field.look.species"), "weld")), lastKeys(q, []));
  }
  q.half = halfName(field, "form", q.of, kind.kind);
  const typed = () => input.value.trim();
  const halfTyped = () => (typed() ? field.half.put(q.half, input.value) : field.half.drop(q.half));
  const input = el("input", {
    maxlength: 200, autocomplete: "off", "aria-label": kind.label, on: { input: halfTyped },
  });
  field.half.get(q.half).then((text) => { input.value ||= text ?? ""; });
  const store = once(async () => {
    if (!typed()) return put(saved, say("field.pad.nothing"));
    await keep(q, [{ choice: typed(), typed: typed() }]);
    return goOn(q, saved);
  }, saved);
  return host.append(el("p", {}, input),
    lastKeys(q, nothingKeys(q, saved), button(store, say("field.form.save"), "weld")));
}
