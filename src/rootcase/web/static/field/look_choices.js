// The two cards of one tap: what covers the ground, and what the root flare looks like.

import { el, put } from "./dom.js";
import { askedLine, savedRows, tellSaved, typedTold } from "./look_saved.js";
import { save } from "./saving.js";
import { glyph } from "./section.js";
import { say } from "./words.js";

export const groundCard = (host, question, look) => choiceCard(host, question, look, "ground_under_crown");
export const flareCard = (host, question, look) => choiceCard(host, question, look, "root_flare_state");

function choiceCard(host, question, look, code) {
  const { field } = look;
  const kind = field.kinds[code], saved = el("p", { class: "count" });
  const read = look.read(code).map((reading) => ({ told: typedTold(reading), other: "", readings: [reading] }));
  put(question, el("h1", {}, say(`field.look.${look.card}`)), read.length ? savedRows(read) : null, saved,
    el("p", { class: "hint" }, kind.method));
  const choose = async (choice) => {
    await save(field, { property: look.property, of: look.tree.id, entries: [{ kind: code, choice, typed: say(`field.choice.${code}.${choice}`) }] });
    await tellSaved(saved, 1, 1);
    await look.onward();
  };
  host.append(askedLine(look, say("field.look.one_tap"), read), el("div", { class: "pictures" }, Object.keys(kind.choices).map((choice) => el("button", {
    type: "button", class: choice === "not_looked" ? "unread" : "", title: kind.choices[choice], on: { click: once(choose, choice, saved) },
  }, glyph(code, choice), el("span", {}, say(`field.choice.${code}.${choice}`))))),
  el("div", { class: "last" }, el("button", { type: "button", on: { click: look.onward } }, say("field.pad.next"))));
}

// A form is sent once: `then` returns true where it is kept and another screen comes; else it may be sent again.
export function sentOnce(then, told) {
  let over = false;
  return async (event) => {
    event.preventDefault();
    if (over) return;
    over = true;
    try {
      over = Boolean(await then());
    } catch (error) {
      over = false;
      if (!error.say) throw error;
      put(told, say(error.say));
    }
  };
}

// A second tap while the first is being kept is the same tap; what could not be kept is said.
export function once(then, given, told) {
  return async ({ currentTarget }) => {
    if (currentTarget.disabled) return;
    currentTarget.disabled = true;
    try {
      await then(given);
    } catch (error) {
      if (!error.say) throw error;
      put(told, say(error.say));
    } finally {
      currentTarget.disabled = false;
    }
  };
}
