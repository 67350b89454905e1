// The two cards of numbers: three shoots with where they grew, three pushes of the rod with what stopped them.

import { byWords, choiceRow } from "./choice_row.js";
import { el, put } from "./dom.js";
import { askedLine, savedRows, tellSaved } from "./look_saved.js";
import { newPit } from "./opening.js";
import { pad } from "./pad.js";
import { save } from "./saving.js";
import { shootDrawn } from "./section.js";
import { choiceTold, readingTold } from "./told.js";
import { besideTyped } from "./units.js";
import { say } from "./words.js";

const UNKNOWN = "not_known";
const SHOOT = { kind: "shoot_length_last", beside: "shoot_position", words: "shoots" };
const PUSH = { kind: "probe_depth", beside: "probe_stop", words: "rod" };
const WARNINGS = { gave_up: "too_dry", rod_end: "whole_rod", lower: "lower" };

export const shootsCard = (host, question, look) => numbersCard(host, question, look, SHOOT, {
  first: [shootDrawn(), el("p", { class: "hint" }, say("field.look.scars"))],
  chosen: carriedOver(look.read(SHOOT.beside).at(-1)), more: { [UNKNOWN]: say("quantity.not_known") },
});

const carriedOver = (beside) => (beside?.nothing ? UNKNOWN : beside?.choice ?? "");

export const rodCard = (host, question, look) => numbersCard(host, question, look, PUSH, {
  first: [el("p", { class: "caution" }, say("field.look.lines"))], chosen: "", more: {},
});

// chosen: where the shoots grew carries over to the next shoot; what stopped a push does not.
function numbersCard(host, question, look, card, { first, chosen, more }) {
  const { field, times } = look;
  const kind = field.kinds[card.kind], readings = look.read(card.kind), at = readings.length + 1;
  const asked = say(`field.look.${card.beside}`), warned = el("p", { class: "doubt" });
  const count = el("p", { class: "count unseen" }), entries = rows(field, look, card, readings);
  const choices = besideKeys(field.kinds[card.beside], more, chosen, (choice) => {
    put(warned, choice in WARNINGS ? say(`field.look.${WARNINGS[choice]}`) : "");
    entry.refresh();
  });
  const which = say(`field.look.${card.words}_which`, { at, of: Math.max(times, at) });
  put(question,
    el("h1", {}, say(`field.look.${card.words}`), " ", el("span", { class: "which" }, which)),
    readings.length ? savedRows(entries) : first, count);
  const entry = pad(host, {
    kind, system: field.tape(look.property), label: say(`field.look.${card.words}`), top: question, day: field.day(),
    calibration: field.self.settings?.px_per_mm, onNext: look.onward,
    between: [el("div", { class: "beside-number", role: "group", "aria-labelledby": "beside" },
      askedLine(look, asked, entries, "beside"), choices.keys), warned],
    ready: () => (choices.chosen() ? "" : asked), askFor: choices.point,
    onSave: async (found) => {
      await keep(look, card, found, choices.chosen(), String(at));
      tellSaved(count, at, times);
      return at >= times ? look.onward() : look.again();
    },
  });
  question.append(el("p", { class: "still" },
    card === PUSH ? say("field.look.still", { spot: spotOf(look).label }) : ""));
}

const besideKeys = ({ kind, choices }, more, chosen, changed) => choiceRow(
  { ...byWords(Object.keys(choices), (choice) => choiceTold(kind, choice)), ...more },
  { chosen, meanings: choices, changed });

// A push goes to the spot that was probed today at this tree, else to a new one.
function spotOf(look) {
  const today = new Set(look.today.map((each) => each.of));
  const known = look.pits.find((pit) => today.has(pit.id));
  return known ? { ...known, before: [] } : newPit(look);
}

async function keep(look, card, found, choice, series) {
  const spot = card === PUSH ? spotOf(look) : { id: look.tree.id, before: [] };
  const isWholeRod = card === PUSH && choice === "rod_end" && found.value != null && found.sign === "=";
  const number = { ...found, kind: card.kind, series, ...(isWholeRod ? { sign: ">" } : {}) };
  const told = choice === UNKNOWN ? { nothing: "not read", typed: "not read" }
    : { choice, typed: choice && choiceTold(card.beside, choice) };
  const entries = choice && !found.nothing ? [number, { kind: card.beside, series, ...told }] : [number];
  await save(look.field, { property: look.property, of: spot.id, before: spot.before, entries });
}

function rows(field, look, card, readings) {
  return readings.map((reading) => {
    const beside = look.read(card.beside).find((each) => each.of === reading.of && each.series === reading.series);
    const other = [besideTyped(field.kinds[card.kind], reading, field.system()), beside?.choice && readingTold(beside)];
    return {
      told: readingTold(reading), other: other.filter(Boolean).join(", "), readings: [reading, beside].filter(Boolean),
    };
  });
}
