// Two people at one property: who takes what. It is kept on this phone only; nothing is shared but readings.

import { el, key, put } from "./dom.js";
import { treeNow } from "./forms.js";
import { othersTold } from "./screen_walk.js";
import { say } from "./words.js";

const WAYS = ["all", "crowns", "pits", "odd", "even"];

export async function show(main, [property, tree], field) {
  const look = await treeNow(field, property, tree);
  field.head(look.tree.label, say("field.divide.title"));
  const divided = field.self.settings?.divide ?? {}, mine = divided[property];
  const now = mine?.day === field.day() ? mine.takes : "all";
  const take = async (takes) => {
    await field.set({ divide: { ...divided, [property]: { day: field.day(), takes } } });
    return show(main, [property, tree], field);
  };
  const wayKey = (way) => el("button", {
    type: "button", "aria-pressed": String(way === now), on: { click: () => take(way) },
  }, say(`field.divide.way.${way}`));
  put(main, el("h1", { class: "finding" }, say("field.divide.who")), othersTold(field, look),
    el("div", { class: "names" }, WAYS.map(wayKey)), listOf(look, now),
    el("p", { class: "help" }, say("field.divide.here_only")),
    el("p", { class: "help" }, say("field.divide.same_tree")),
    el("div", { class: "keys lower" }, key(`#/walk/${property}/${tree}`, say("field.walk.title"), "weld")));
}

// Odd and even by the number in a tree's name; what has none is for both.
function listOf({ property, ground }, way) {
  if (!["odd", "even"].includes(way)) return "";
  const rest = way === "odd" ? 1 : 0;
  const mine = ground.trees.filter(({ label }) => {
    const number = /(\d+)\D*$/.exec(label)?.[1];
    return number === undefined || Number(number) % 2 === rest;
  });
  return el("ul", { class: "list" }, mine.map(({ id, label }) =>
    el("li", {}, el("a", { href: `#/walk/${property}/${id}` }, label))));
}
