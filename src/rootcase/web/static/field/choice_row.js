// Some keys of which one is chosen; it is kept with something else.

import { el } from "./dom.js";
import { hold } from "./in_hand.js";

/** words: of each code; meanings: what it stands for, where that is said; changed: is given what was chosen. */
export function choiceRow(words, { chosen = "", meanings = {}, changed = () => {} } = {}) {
  const keys = Object.entries(words).map(([code, said]) => [code, el("button", {
    type: "button", title: meanings[code], "aria-pressed": String(code === chosen), on: { click: () => choose(code) },
  }, said)]);
  const box = el("div", { class: "six" }, keys.map(([, key]) => key));
  const choose = (code) => {
    chosen = code;
    for (const [its, key] of keys) key.setAttribute("aria-pressed", String(its === code));
    box.classList.remove("asked-for");
    hold(keys[0][1]);
    changed(code);
  };
  const point = () => {
    box.classList.add("asked-for");
    keys[0][1].focus();
    box.scrollIntoView({ block: "nearest" });
  };
  return { keys: box, chosen: () => chosen, point };
}

export const byWords = (codes, worded) => Object.fromEntries(codes.map((code) => [code, worded(code)]));
