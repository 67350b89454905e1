// Two people at one property: who takes what. It is kept on this phone only; nothing is shared but readings.

import { el, put } from "./dom.js";
import { treeNow } from "./forms.js";
import { othersTold } from "./screen_walk.js";
import { say } from "./words.js";

const WAYS = ["all", "crowns", "pits", "odd", "even"];

export async function show(main, [property, tree], field) {
  const look = await treeNow(field, property, tree);
  field.head(look.tree.label, say("field.divide.title"));
  const mine = field.self.settings?.divide?.[property];
  const now = mine?.day === field.day() ? mine.takes : "all";
  const take = async (takes) => {
    const { settings = {} } = await field.book.self();
    field.self = await field.book.setSelf({ settings: { ...settings, divide: { ...settings.divide, [property]: { day: field.day(), takes } } } });
    return show(main, [property, tree], field);
  };
  put(main, el("h1", { class: "finding" }, say("field.divide.who")), othersTold(field, look),
    el("div", { class: "names" }, WAYS.map((way) => el("button", { type: "button", "aria-pressed": String(way === now), on: { click: () => take(way) } }, say(`field.divide.way.${way}`)))),
    listOf(look, now), el("p", { class: "help" }, say("field.divide.here_only")), el("p", { class: "help" }, say("field.divide.same_tree")),
    el("div", { class: "keys lower" }, el("a", { class: "key weld", href: `#/walk/${property}/${tree}` }, say("field.walk.title"))));
}

// Odd and even by the number in a tree's name; what has none is for both.
function listOf(look, way) {
  if (!["odd", "even"].includes(way)) return "";
  const mine = look.ground.trees.filter((each) => {
    const number = Number(/(\d+)\D*$/.exec(each.label)?.[1] ?? NaN);
    return Number.isNaN(number) || number % 2 === (way === "odd" ? 1 : 0);
  });
  return el("ul", { class: "list" }, mine.map((each) => el("li", {}, el("a", { href: `#/walk/${look.property}/${each.id}` }, each.label))));
}
