// A whole look that was entered under the wrong tree: all of it is corrected to the right one, in one stroke.

import { newId } from "./canonical.js";
import { el, put } from "./dom.js";
import { once } from "./look_choices.js";
import { reading as bodyOf } from "./saving.js";
import { say } from "./words.js";

export function moveKeys({ field, ground, reading, said }) {
  const from = treeOf(ground, reading.of);
  if (!from) return el("p", {}, say("field.move.only_trees"));
  const all = movable(ground, reading, from);
  const others = ground.trees.filter((tree) => tree.id !== from);
  const move = async (tree) => {
    await field.book.keep({ property: reading.property, events: moved(all, ground, from, tree), photos: [] });
    put(said, say("field.move.done", { count: all.length, tree: tree.label }));
    field.go("tree", reading.property, tree.id);
  };
  const ask = (tree) => put(host, el("p", { class: "caution" }, say("field.move.sure", { count: all.length, tree: tree.label })),
    el("div", { class: "keys" }, el("button", { type: "button", class: "weld", on: { click: once(move, tree, said) } }, say("field.move.key", { count: all.length, tree: tree.label }))));
  const host = el("section", {}, el("h2", {}, say("field.move.which", { count: all.length })),
    others.length ? "" : el("p", {}, say("field.move.no_other")), el("div", { class: "names" }, others.map((tree) => el("button", { type: "button", on: { click: () => ask(tree) } }, tree.label))),
    el("p", { class: "help" }, say("field.move.elsewhere")),
    el("div", { class: "keys" }, el("a", { class: others.length ? "key" : "key weld", href: `#/trees/${reading.property}/new` }, say("field.move.new_tree"))));
  return host;
}

const treeOf = (ground, of) => (ground.trees.some((tree) => tree.id === of) ? of : ground.pits.find((pit) => pit.id === of)?.tree_id);

// What this visit read at that tree and its pits.
const movable = (ground, reading, from) => ground.readings.filter((each) => each.stands && each.visit_id === reading.visit_id && treeOf(ground, each.of) === from);

// As corrections: they stay what their observer read on that day, whoever moves them.
function moved(all, ground, from, tree) {
  const pits = new Map([...new Set(all.map((each) => each.of))].filter((of) => of !== from).map((of) => [of, newId()]));
  const opened = [...pits].map(([, pit], at) => ({
    kind: "pit_opened", body: { slot: newId(), pit, label: freeLabel(ground, tree, at), tree: tree.id },
  }));
  const reason = say("field.move.reason", { tree: tree.label });
  const corrected = all.map((each) => {
    const more = { slot: each.slot, supersedes: each.id, reason };
    return { kind: "reading_corrected", body: bodyOf({ ...each, of: pits.get(each.of) ?? tree.id }, "", each.visit_id, more) };
  });
  return [...opened, ...corrected];
}

function freeLabel(ground, tree, at) {
  const taken = new Set(ground.pits.map((pit) => pit.label.toLowerCase()));
  const free = Array.from({ length: ground.pits.length + at + 1 }, (_, number) => say("field.spot", { tree: tree.label, number: number + 1 })).filter((label) => !taken.has(label.toLowerCase()));
  return free[at];
}
