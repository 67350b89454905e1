// The walk list of a tree: forms in walking order with the minutes left, what is not for today and why, and what the
// other phone has read.

import { el, key, put } from "./dom.js";
import { concern, formNow, isOfSamples, isUnderground, treeNow } from "./forms.js";
import { framesAhead } from "./photo_frame.js";
import { show as written, wordsFor } from "./units.js";
import { say } from "./words.js";

const MORE = ["missing", "divide", "tools"];

export async function show(main, [property, id], field) {
  const look = await treeNow(field, property, id), at = `${property}/${id}`;
  field.head(look.tree.label, say("field.walk.title"));
  const forms = walkOf(field, look), open = forms.filter((each) => each.open.length);
  const next = open.find((each) => each.left.length);
  const minutes = forms.reduce((sum, each) => sum + each.minutes, 0);
  const ofForm = (form) => `#/${isUnderground(form) ? "pit" : "form"}/${at}/${form.name}`;
  const ofAsk = (form, { kind }) =>
    (isUnderground(form) || isOfSamples(form) ? ofForm(form) : `${ofForm(form)}/${kind.kind}`);
  const care = concern(look) ? say("field.tree.concern", { tree: look.tree.label }) : say("field.trees.look_up");
  put(main, el("p", { class: "caution" }, care),
    el("h1", { class: "finding" }, next ? say("field.walk.left", { minutes }) : say("field.walk.done")),
    othersTold(field, look), apartTold(field, look),
    el("ul", { class: "list" }, open.map((form) => row(form, ofForm(form)))), laterKey(look, forms, ofAsk),
    el("div", { class: "keys lower" }, next ? key(ofForm(next), nextTold(next), "weld") : "",
      MORE.map((name) => key(`#/${name}/${at}`, say(`field.${name}.title`)))));
  await framesAhead(field, look);
}

// Under a tree where something could fail nothing is read but what is seen from beside it.
function walkOf(field, look) {
  const isDanger = concern(look), divided = field.self.settings?.divide?.[look.property];
  const takes = divided?.day === field.day() ? divided.takes : "all";
  return field.catalogue.walk.forms.filter((form) => !isDanger || form.outside || form.name === "tree")
    .map((form) => ({ ...formNow(field, look, form), isOthers: isOthers(form, takes) }));
}

function isOthers(form, takes) {
  return (takes === "crowns" && isUnderground(form)) || (takes === "pits" && !isUnderground(form));
}

export function nextForm(field, look, after) {
  const forms = walkOf(field, look), from = forms.findIndex((each) => each.name === after) + 1;
  return [...forms.slice(from), ...forms.slice(0, from)]
    .find((each) => each.left.length && !each.isOthers && each.name !== after);
}

export const nextTold = ({ name, minutes }) =>
  say("field.form.next", { form: say(`field.form_name.${name}`), minutes });

function row({ name, left, done, open, minutes, isOthers: isTheirs }, href) {
  const told = left.length ? say("field.walk.row", { done, of: open.length, minutes }) : say("field.walk.through");
  return el("li", { class: left.length ? "" : "through" }, el("a", { href }, say(`field.form_name.${name}`)),
    el("span", { class: "beside" }, isTheirs ? say("field.divide.theirs") : told));
}

// What season or tools do not allow: behind one key, each reading with why, and to be taken all the same.
export function laterKey({ system }, forms, to) {
  const count = forms.reduce((sum, form) => sum + form.later.length, 0);
  if (!count) return "";
  const ask = (form, each) => el("li", {}, el("a", { href: to(form, each) }, wordsFor(system, each.kind.label)),
    el("span", { class: "beside" }, each.why));
  const part = (form) => [el("h2", {}, say(`field.form_name.${form.name}`)),
    el("ul", { class: "list" }, form.later.map((each) => ask(form, each)))];
  return el("details", { class: "later" }, el("summary", { class: "key" }, say("field.walk.not_today", { count })),
    forms.filter((form) => form.later.length).map(part));
}

// Phone by phone what others read here today, and when the server told it.
export function othersTold(field, { ground, standing }) {
  const trees = new Map(ground.trees.map((tree) => [tree.id, tree.label]));
  const labels = new Map([...trees, ...ground.pits.map((pit) => [pit.id, trees.get(pit.tree_id)])]);
  const by = new Map();
  for (const { of, day, own, observer } of standing) {
    const label = day === field.day() && !own && labels.get(of);
    if (label) by.set(observer, (by.get(observer) ?? new Set()).add(label));
  }
  const heard = ground.heard ? new Date(ground.heard).toTimeString().slice(0, 5) : say("quantity.not_known");
  return [...by].map(([observer, read]) => el("p", { class: "still" }, say("field.divide.others", {
    who: observer || say("field.divide.somebody"), trees: [...read].join(", "), heard,
  })));
}

// Two shares of one thing on one day that differ by more than two observers do.
function apartTold(field, look) {
  return Object.entries(field.catalogue.walk.apart).flatMap(([code, wide]) => {
    const read = look.today(code).filter((each) => each.of === look.tree.id && each.value != null)
      .toSorted((one, other) => one.value - other.value);
    const [low, high] = [read[0], read.at(-1)];
    if (!low || low.observer === high.observer || high.value - low.value <= wide) return [];
    const kind = field.kinds[code], told = ({ value }) => written(kind, value, field.system());
    const words = say("field.divide.apart", { what: kind.label, low: told(low), high: told(high) });
    return [el("p", { class: "caution" }, words)];
  });
}
