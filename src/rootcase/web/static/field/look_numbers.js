// The two cards of numbers: three shoots with where they grew, three pushes of the rod with what stopped them.

import { newId } from "./canonical.js";
import { el, put } from "./dom.js";
import { hold } from "./in_hand.js";
import { askedLine, savedRows, tellSaved, typedTold } from "./look_saved.js";
import { pad } from "./pad.js";
import { save } from "./saving.js";
import { shootDrawn } from "./section.js";
import { besideTyped } from "./units.js";
import { say } from "./words.js";

const UNKNOWN = "not_known";
const SHOOT = { kind: "shoot_length_last", beside: "shoot_position", words: "shoots" };
const PUSH = { kind: "probe_depth", beside: "probe_stop", words: "rod" };

export const shootsCard = (host, question, look) => numbersCard(host, question, look, SHOOT, {
  first: [shootDrawn(), el("p", { class: "hint" }, say("field.look.scars"))],
  chosen: carriedOver(look.read(SHOOT.beside).at(-1)), more: [UNKNOWN],
});

const carriedOver = (beside) => (beside?.nothing ? UNKNOWN : beside?.choice ?? "");

export const rodCard = (host, question, look) => numbersCard(host, question, look, PUSH, {
  first: [el("p", { class: "caution" }, say("field.look.lines"))], chosen: "", more: [],
});

// chosen: where the shoots grew carries over to the next shoot; what stopped a push does not.
function numbersCard(host, question, look, card, { first, chosen, more }) {
  const { field, times } = look;
  const kind = field.kinds[card.kind], readings = look.read(card.kind), at = readings.length + 1;
  const choices = choiceKeys(field.kinds[card.beside], more, card.beside, chosen, () => entry.refresh());
  const count = el("p", { class: "count unseen" }), entries = rows(field, look, card, readings);
  put(question, el("h1", {}, say(`field.look.${card.words}`), " ", el("span", { class: "which" }, say(`field.look.${card.words}_which`, { at, of: Math.max(times, at) }))),
    readings.length ? savedRows(entries) : first, count);
  const warned = el("p", { class: "doubt" });
  const entry = pad(host, {
    kind, system: field.tape(look.property), label: say(`field.look.${card.words}`), top: question, day: field.day(),
    calibration: field.self.settings?.px_per_mm, onNext: look.onward,
    between: [el("div", { class: "beside-number", role: "group", "aria-labelledby": "beside" },
      askedLine(look, say(`field.look.${card.beside}`), entries, "beside"), choices.keys), warned],
    ready: () => (choices.chosen() ? "" : say(`field.look.${card.beside}`)), askFor: choices.point,
    onSave: async (found) => {
      await keep(look, card, found, choices.chosen(), String(at));
      await tellSaved(count, at, times);
      return at >= times ? look.onward() : look.again();
    },
  });
  question.append(carried(look, card));
  choices.watch((choice) => put(warned, warning(choice)));
}

const warning = (choice) => ({ gave_up: say("field.look.too_dry"), rod_end: say("field.look.whole_rod"), lower: say("field.look.lower") })[choice] ?? "";

const carried = (look, card) => el("p", { class: "still" }, card === PUSH ? say("field.look.still", { spot: spotOf(look).label }) : "");

function choiceKeys(kind, more, code, first, changed) {
  let chosen = first, watcher = () => {};
  const all = [...Object.keys(kind.choices), ...more];
  const keys = all.map((choice) => el("button", {
    type: "button", "aria-pressed": String(choice === chosen), title: kind.choices[choice],
    on: { click: () => choose(choice) },
  }, choice === UNKNOWN ? say("quantity.not_known") : say(`field.choice.${code}.${choice}`)));
  const box = el("div", { class: "six" }, keys);
  const choose = (choice) => {
    chosen = choice;
    keys.forEach((key, at) => key.setAttribute("aria-pressed", String(all[at] === choice)));
    box.classList.remove("asked-for");
    hold(keys[0]);
    watcher(choice);
    changed();
  };
  const point = () => {
    box.classList.add("asked-for");
    keys[0].focus();
    box.scrollIntoView({ block: "nearest" });
  };
  return { keys: box, chosen: () => chosen, watch: (then) => { watcher = then; }, point };
}

// A push goes to the spot that was probed today at this tree, else to a new one.
function spotOf(look) {
  const today = new Set(look.today.map((each) => each.of));
  const known = look.pits.find((pit) => today.has(pit.id));
  if (known) return { id: known.id, label: known.label, before: [] };
  const labels = new Set(look.ground.pits.map((pit) => pit.label.toLowerCase()));
  let n = 1;
  while (labels.has(say("field.spot", { tree: look.tree.label, number: n }).toLowerCase())) n += 1;
  const id = newId(), label = say("field.spot", { tree: look.tree.label, number: n });
  return { id, label, before: [{ kind: "pit_opened", body: { slot: newId(), pit: id, label, tree: look.tree.id } }] };
}

async function keep(look, card, found, choice, series) {
  const spot = card === PUSH ? spotOf(look) : { id: look.tree.id, before: [] };
  const atLeast = card === PUSH && choice === "rod_end" && found.value != null && found.sign === "=";
  const number = { ...found, kind: card.kind, series, ...(atLeast ? { sign: ">" } : {}) };
  const told = choice === UNKNOWN ? { nothing: "not read", typed: "not read" } : { choice, typed: choice && say(`field.choice.${card.beside}.${choice}`) };
  const beside = { kind: card.beside, series, ...told };
  await save(look.field, {
    property: look.property, of: spot.id, before: spot.before, entries: choice && !found.nothing ? [number, beside] : [number],
  });
}

function rows(field, look, card, readings) {
  const kind = field.kinds[card.kind];
  return readings.map((reading) => {
    const beside = look.read(card.beside).find((each) => each.of === reading.of && each.series === reading.series);
    const other = besideTyped(kind, reading, field.system());
    const named = beside?.choice ? typedTold(beside) : "";
    return { told: typedTold(reading), other: [other, named].filter(Boolean).join(", "), readings: beside ? [reading, beside] : [reading] };
  });
}
