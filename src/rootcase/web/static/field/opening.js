// A new pit or sample of a tree, under the first name of its series that nothing here has yet.

import { newId } from "./canonical.js";
import { say } from "./words.js";

export const newPit = ({ ground, tree }) => opened("pit", tree, freeLabels(ground.pits, spotNamed(tree))[0]);

export const newSample = ({ ground, tree }) => opened("sample", tree,
  freeLabels(ground.samples, (number) => say("field.sample.label", { tree: tree.label, number }))[0]);

/** For so many pits that come to a tree from another one. */
export const pitLabels = ({ pits }, tree, count) => freeLabels(pits, spotNamed(tree), count);

const spotNamed = (tree) => (number) => say("field.spot", { tree: tree.label, number });

function opened(what, tree, label) {
  const id = newId();
  return { id, label, before: [{ kind: `${what}_opened`, body: { slot: newId(), [what]: id, label, tree: tree.id } }] };
}

function freeLabels(things, named, count = 1) {
  const taken = new Set(things.map((each) => each.label.toLowerCase()));
  return Array.from({ length: things.length + count }, (_, at) => named(at + 1))
    .filter((label) => !taken.has(label.toLowerCase()));
}
