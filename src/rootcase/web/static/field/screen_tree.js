// One tree: what was read last, and what can be read now.

import { el, icon, key, put } from "./dom.js";
import { stateTold } from "./look_saved.js";
import { CARDS, done, lookAt, nextCard } from "./screen_look.js";
import { readingTold } from "./told.js";
import { dayTold, say } from "./words.js";

const WAYS = ["walk", "yardstick", "missing"];

export async function show(main, [property, id], field) {
  const look = await lookAt(field, property, id), tree = look.tree.label;
  field.head(look.ground.property.name || say("field.unnamed"), tree);
  const isConcern = look.all.some((each) => each.kind === "structural_concern" && each.choice === "seen");
  const yardstick = (look.ground.yardsticks ?? []).find((each) => each.tree_ids.includes(id));
  put(main, isConcern ? el("p", { class: "caution" }, say("field.tree.concern", { tree })) : null,
    yardstick ? el("p", {}, say("field.tree.yardstick", { label: yardstick.label })) : null,
    lookKeys(look, tree), el("h2", {}, say("field.tree.readings")), readings(field, look));
}

function lookKeys(look, tree) {
  const at = `${look.property}/${look.tree.id}`;
  const isOver = !nextCard(look), isBegun = look.today.some((each) => each.kind !== "tree_photo");
  const count = CARDS.filter((card) => done(look, card)).length;
  const finding = isOver ? "looked" : isBegun ? "begun" : "to_look";
  return [el("h1", { class: "finding" }, say(`field.tree.${finding}`, { tree, count, all: CARDS.length })),
    el("div", { class: "keys" }, isOver ? null : key(`#/look/${at}`, say("field.tree.look"), "weld"),
      isOver || isBegun ? key(`#/answer/${at}`, say("field.tree.answer"), isOver ? "weld" : "") : null,
      WAYS.map((name) => key(`#/${name}/${at}`, say(`field.tree.${name}_key`))))];
}

const byDay = (one, other) => (one.day === other.day ? 0 : one.day < other.day ? 1 : -1);

// The newest of each kind, and the others behind a key; those of this phone with their state.
function readings({ kinds }, { all, property }) {
  const byKind = new Map();
  for (const each of all.toReversed().toSorted(byDay)) byKind.set(each.kind, [...(byKind.get(each.kind) ?? []), each]);
  if (!byKind.size) return el("p", {}, say("field.tree.nothing"));
  const link = ({ id }, words) => el("a", { href: `#/reading/${property}/${id}` }, words);
  const others = (list) => el("details", {}, el("summary", {}, say("field.tree.more", { count: list.length })),
    el("ul", { class: "list read" }, list.map((each) => el("li", {}, link(each, readingTold(each)), whenTold(each)))));
  return el("ul", { class: "list read" }, [...byKind].map(([kind, [newest, ...more]]) => el("li", {},
    link(newest, kinds[kind]?.label ?? kind), el("b", {}, readingTold(newest)), whenTold(newest),
    more.length ? others(more) : null)));
}

// Two phones corrected one reading: that stands here too, not on its own page alone.
function whenTold({ rivals, own, state, id, day }) {
  const needs = rivals?.length && el("b", { class: "state" }, icon("needs"),
    say("field.tree.rivals", { count: rivals.length + 1 }));
  return [needs || null, own ? stateTold(state, id) : el("small", {}, day ? dayTold(day) : "")];
}
