// One tree: what was read last, and what can be read now.

import { SCREENS } from "./screens.js";
import { el, put } from "./dom.js";
import { stateTold, typedTold } from "./look_saved.js";
import { lookAt, nextCard } from "./screen_look.js";
import { dayTold, say } from "./words.js";

const WAYS = ["walk", "yardstick", "missing"];

export async function show(main, [property, id], field) {
  const look = await lookAt(field, property, id);
  const card = nextCard(look);
  field.head(look.tree.label, look.ground.property.name);
  const concern = look.all.find((each) => each.kind === "structural_concern" && each.choice === "seen");
  const yardstick = (look.ground.yardsticks ?? []).find((each) => each.tree_ids.includes(id));
  put(main, concern ? el("p", { class: "caution" }, say("field.tree.concern", { tree: look.tree.label })) : null,
    yardstick ? el("p", {}, say("field.tree.yardstick", { label: yardstick.label })) : null,
    el("h1", { class: "finding" }, card ? say("field.tree.to_look") : say("field.tree.looked")),
    el("div", { class: "keys" }, card ? key(`#/look/${property}/${id}`, say("field.tree.look"), "weld") : key(`#/answer/${property}/${id}`, say("field.tree.answer"), "weld"),
      WAYS.filter((name) => name in SCREENS).map((name) => key(`#/${name}/${property}/${id}`, say(`field.tree.${name}_key`)))),
    el("h2", {}, say("field.tree.readings")), readings(field, look));
}

const key = (href, words, more = "") => el("a", { class: `key ${more}`, href }, words);

// The newest of each kind, and how many there are; those of this phone with their state.
function readings(field, look) {
  const newest = new Map();
  for (const each of look.all.toSorted((one, other) => (one.day === other.day ? 0 : one.day < other.day ? 1 : -1))) {
    newest.set(each.kind, [...(newest.get(each.kind) ?? []), each]);
  }
  if (!newest.size) return el("p", {}, say("field.tree.nothing"));
  return el("ul", { class: "list read" }, [...newest.values()].map(([each, ...more]) => el("li", {},
    el("a", { href: "reading" in SCREENS ? `#/reading/${look.property}/${each.id}` : null }, field.kinds[each.kind]?.label ?? each.kind),
    el("b", {}, choiceTold(each)), each.own ? stateTold(each.state) : el("small", {}, each.day ? dayTold(each.day) : ""),
    more.length ? el("small", {}, say("field.tree.more", { count: more.length })) : null)));
}

const choiceTold = (reading) => (reading.value == null && reading.choice && !reading.typed ? reading.choice : typedTold(reading));
