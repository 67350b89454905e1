// One tree: what was read last, and what can be read now.

import { SCREENS } from "./screens.js";
import { el, icon, put } from "./dom.js";
import { stateTold, typedTold } from "./look_saved.js";
import { CARDS, done, lookAt, nextCard } from "./screen_look.js";
import { dayTold, say } from "./words.js";

const WAYS = ["walk", "yardstick", "missing"];

export async function show(main, [property, id], field) {
  const look = await lookAt(field, property, id), tree = look.tree.label;
  const count = CARDS.filter((card) => done(look, card)).length, card = nextCard(look);
  const begun = look.today.some((each) => each.kind !== "tree_photo");
  field.head(look.ground.property.name || say("field.unnamed"), tree);
  const concern = look.all.find((each) => each.kind === "structural_concern" && each.choice === "seen");
  const yardstick = (look.ground.yardsticks ?? []).find((each) => each.tree_ids.includes(id));
  const answer = (more) => key(`#/answer/${property}/${id}`, say("field.tree.answer"), more);
  put(main, concern ? el("p", { class: "caution" }, say("field.tree.concern", { tree })) : null,
    yardstick ? el("p", {}, say("field.tree.yardstick", { label: yardstick.label })) : null,
    el("h1", { class: "finding" }, !card ? say("field.tree.looked", { tree }) : begun ? say("field.tree.begun", { tree, count, all: CARDS.length }) : say("field.tree.to_look", { tree })),
    el("div", { class: "keys" }, card ? [key(`#/look/${property}/${id}`, say("field.tree.look"), "weld"), begun ? answer("") : null] : answer("weld"),
      WAYS.filter((name) => name in SCREENS).map((name) => key(`#/${name}/${property}/${id}`, say(`field.tree.${name}_key`)))),
    el("h2", {}, say("field.tree.readings")), readings(field, look));
}

const key = (href, words, more = "") => el("a", { class: `key ${more}`, href }, words);

// The newest of each kind, and the others behind a key; those of this phone with their state.
function readings(field, look) {
  const kinds = new Map();
  for (const each of look.all.toReversed().toSorted((one, other) => (one.day === other.day ? 0 : one.day < other.day ? 1 : -1))) {
    kinds.set(each.kind, [...(kinds.get(each.kind) ?? []), each]);
  }
  if (!kinds.size) return el("p", {}, say("field.tree.nothing"));
  const page = ({ id }) => `#/reading/${look.property}/${id}`;
  return el("ul", { class: "list read" }, [...kinds.values()].map(([each, ...more]) => el("li", {},
    el("a", { href: page(each) }, field.kinds[each.kind]?.label ?? each.kind), told(each),
    more.length ? el("details", {}, el("summary", {}, say("field.tree.more", { count: more.length })),
      el("ul", { class: "list read" }, more.map((one) => el("li", {}, el("a", { href: page(one) }, valueTold(one)), whenTold(one))))) : null)));
}

const told = (reading) => [el("b", {}, valueTold(reading)), whenTold(reading)];
const valueTold = (reading) => typedTold(reading) || reading.choice;

// Two phones corrected one reading: that stands here too, not on its own page alone.
const whenTold = (reading) => [reading.rivals?.length ? el("b", { class: "state" }, icon("needs"), say("field.tree.rivals", { count: reading.rivals.length + 1 })) : null,
  reading.own ? stateTold(reading.state, reading.id) : el("small", {}, reading.day ? dayTold(reading.day) : "")];
