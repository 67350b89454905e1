// The two cards of one tap: what covers the ground, and what the root flare looks like.

import { button, el, put } from "./dom.js";
import { askedLine, savedRows, tellSaved } from "./look_saved.js";
import { once } from "./once.js";
import { save } from "./saving.js";
import { glyph } from "./section.js";
import { choiceTold, readingTold } from "./told.js";
import { say } from "./words.js";

export const groundCard = (host, question, look) => choiceCard(host, question, look, "ground_under_crown");
export const flareCard = (host, question, look) => choiceCard(host, question, look, "root_flare_state");

function choiceCard(host, question, look, code) {
  const { choices, method } = look.field.kinds[code];
  const saved = el("p", { class: "count" });
  const read = look.read(code).map((reading) => ({ told: readingTold(reading), other: "", readings: [reading] }));
  put(question, el("h1", {}, say(`field.look.${look.card}`)), read.length ? savedRows(read) : null, saved,
    el("p", { class: "hint" }, method));
  const choose = async (choice) => {
    const entries = [{ kind: code, choice, typed: choiceTold(code, choice) }];
    await save(look.field, { property: look.property, of: look.tree.id, entries });
    tellSaved(saved, 1, 1);
    await look.onward();
  };
  const key = ([choice, meaning]) => el("button", {
    type: "button", class: choice === "not_looked" ? "unread" : "", title: meaning,
    on: { click: once(() => choose(choice), saved) },
  }, glyph(choice), el("span", {}, choiceTold(code, choice)));
  host.append(askedLine(look, say("field.look.one_tap"), read),
    el("div", { class: "pictures" }, Object.entries(choices).map(key)),
    el("div", { class: "last" }, button(look.onward, say("field.pad.next"))));
}
