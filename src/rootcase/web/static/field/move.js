// A whole look that was entered under the wrong tree: all of it is corrected to the right one, in one stroke.

import { newId } from "./canonical.js";
import { button, el, key, put } from "./dom.js";
import { once } from "./once.js";
import { pitLabels } from "./opening.js";
import { reading as bodyOf } from "./saving.js";
import { say } from "./words.js";

export function moveKeys({ field, ground, reading, said }) {
  const from = treeOf(ground, reading.of);
  const all = movable(ground, reading, from), count = all.length;
  const others = ground.trees.filter((tree) => tree.id !== from);
  const move = async (tree) => {
    await field.book.keep({ property: reading.property, events: moved(all, ground, from, tree) });
    put(said, say("field.move.done", { count, tree: tree.label }));
    field.go("tree", reading.property, tree.id);
  };
  const ask = (tree) => {
    const told = { count, tree: tree.label };
    put(host, el("p", { class: "caution" }, say("field.move.sure", told)),
      el("div", { class: "keys" }, button(once(() => move(tree), said), say("field.move.key", told), "weld")));
  };
  const host = el("section", {}, el("h2", {}, say("field.move.which", { count })),
    others.length ? "" : el("p", {}, say("field.move.no_other")),
    el("div", { class: "names" }, others.map((tree) => button(() => ask(tree), tree.label))),
    el("p", { class: "help" }, say("field.move.elsewhere")),
    el("div", { class: "keys" },
      key(`#/trees/${reading.property}/new`, say("field.move.new_tree"), others.length ? "" : "weld")));
  return host;
}

export function treeOf(ground, of) {
  return ground.trees.some((tree) => tree.id === of) ? of : ground.pits.find((pit) => pit.id === of)?.tree_id;
}

// What this visit read at that tree and its pits.
const movable = (ground, reading, from) => ground.readings.filter((each) =>
  each.stands && each.visit_id === reading.visit_id && treeOf(ground, each.of) === from);

// As corrections: they stay what their observer read on that day, whoever moves them.
function moved(all, ground, from, tree) {
  const old = [...new Set(all.map((each) => each.of))].filter((of) => of !== from);
  const labels = pitLabels(ground, tree, old.length);
  const pits = new Map(old.map((of) => [of, newId()]));
  const opened = old.map((of, at) => ({
    kind: "pit_opened", body: { slot: newId(), pit: pits.get(of), label: labels[at], tree: tree.id },
  }));
  const reason = say("field.move.reason", { tree: tree.label });
  const corrected = all.map((each) => {
    const more = { slot: each.slot, supersedes: each.id, reason };
    const body = bodyOf({ ...each, of: pits.get(each.of) ?? tree.id }, "", each.visit_id, more);
    return { kind: "reading_corrected", body };
  });
  return [...opened, ...corrected];
}
