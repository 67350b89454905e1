// The walk list of a tree: forms in walking order with the minutes left, what is not for today and why, and what the
// other phone has read.

import { el, put } from "./dom.js";
import { concern, formNow, isOfSamples, isUnderground, treeNow } from "./forms.js";
import { fetchFrame, holdsFrame } from "./photo_frame.js";
import { show as written, wordsFor } from "./units.js";
import { say } from "./words.js";

export async function show(main, [property, id], field) {
  const look = await treeNow(field, property, id);
  field.head(look.tree.label, say("field.walk.title"));
  const forms = walkOf(field, look), danger = concern(look);
  const minutes = forms.reduce((sum, each) => sum + each.minutes, 0);
  const open = forms.filter((each) => each.open.length), next = open.find((each) => each.left.length);
  put(main, danger ? el("p", { class: "caution" }, say("field.tree.concern", { tree: look.tree.label })) : el("p", { class: "caution" }, say("field.trees.look_up")),
    el("h1", { class: "finding" }, next ? say("field.walk.left", { minutes }) : say("field.walk.done")), othersTold(field, look), apartTold(field, look),
    el("ul", { class: "list" }, open.map((form) => row(look, form))),
    laterKey(look, forms, (form, ask) => (isUnderground(form) || isOfSamples(form) ? to(look, form) : `${to(look, form)}/${ask.kind.kind}`)),
    el("div", { class: "keys lower" }, next ? el("a", { class: "key weld", href: to(look, next) }, say("field.form.next", { form: say(`field.form_name.${next.name}`), minutes: next.minutes })) : "",
      ["missing", "divide", "tools"].map((name) => el("a", { class: "key", href: `#/${name}/${property}/${id}` }, say(`field.${name}.title`)))));
  await framesAhead(field, look);
}

// Under a tree where something could fail nothing is read but what is seen from beside it.
function walkOf(field, look) {
  const danger = concern(look), mine = field.self.settings?.divide?.[look.property];
  return field.catalogue.walk.forms.filter((form) => (!danger || form.outside || form.name === "tree"))
    .map((form) => ({ ...formNow(field, look, form), others: isOthers(form, mine, field.day()) }));
}

const isOthers = (form, mine, day) => mine?.day === day && ((mine.takes === "crowns" && isUnderground(form)) || (mine.takes === "pits" && !isUnderground(form)));
const to = (look, form) => (isUnderground(form) ? `#/pit/${look.property}/${look.tree.id}/${form.name}` : `#/form/${look.property}/${look.tree.id}/${form.name}`);

export const nextForm = (field, look, after) => {
  const forms = walkOf(field, look), from = forms.findIndex((each) => each.name === after) + 1;
  return [...forms.slice(from), ...forms.slice(0, from)].find((each) => each.left.length && !each.others && each.name !== after);
};

const row = (look, form) => el("li", { class: form.left.length ? "" : "through" }, el("a", { href: to(look, form) }, say(`field.form_name.${form.name}`)),
  el("span", { class: "beside" }, form.others ? say("field.divide.theirs") : form.left.length
    ? say("field.walk.row", { done: form.done, of: form.open.length, minutes: form.minutes }) : say("field.walk.through")));

// What season or tools do not allow: behind one key, each reading with why, and to be taken all the same.
export function laterKey({ system }, forms, where) {
  const count = forms.reduce((sum, form) => sum + form.later.length, 0);
  const part = (form) => [el("h2", {}, say(`field.form_name.${form.name}`)), el("ul", { class: "list" }, form.later.map((ask) => el("li", {},
    el("a", { href: where(form, ask) }, wordsFor(system, ask.kind.label)), el("span", { class: "beside" }, ask.why))))];
  return count ? el("details", { class: "later" }, el("summary", { class: "key" }, say("field.walk.not_today", { count })),
    forms.filter((form) => form.later.length).map(part)) : "";
}

// Phone by phone what others read here today, and when the server told it.
export function othersTold(field, look) {
  const trees = new Map(look.ground.trees.map((tree) => [tree.id, tree.label]));
  const tree = new Map(look.ground.pits.map((pit) => [pit.id, trees.get(pit.tree_id)]));
  const by = new Map();
  for (const each of look.standing) {
    const label = trees.get(each.of) ?? tree.get(each.of);
    if (each.day === field.day() && !each.own && label) by.set(each.observer, (by.get(each.observer) ?? new Set()).add(label));
  }
  return [...by].map(([who, labels]) => el("p", { class: "still" }, say("field.divide.others", {
    who: who || say("field.divide.somebody"), trees: [...labels].join(", "), heard: heardTold(look.ground.heard) })));
}

const heardTold = (heard) => (heard ? new Date(heard).toTimeString().slice(0, 5) : say("quantity.not_known"));

// Two shares of one thing on one day that differ by more than two observers do.
function apartTold(field, look) {
  const wide = field.catalogue.walk.apart;
  return Object.keys(wide).flatMap((code) => {
    const read = look.today(code).filter((each) => each.of === look.tree.id && each.value != null).toSorted((a, b) => a.value - b.value);
    const [low, high] = [read[0], read.at(-1)];
    if (!low || low.observer === high.observer || high.value - low.value <= wide[code]) return [];
    const kind = field.kinds[code];
    return [el("p", { class: "caution" }, say("field.divide.apart", { what: kind.label, low: written(kind, low.value, field.system()), high: written(kind, high.value, field.system()) }))];
  });
}

// Last year's pictures come along while there is signal.
async function framesAhead(field, look) {
  if (navigator.onLine === false) return;
  for (const code of ["tree_photo", "pit_photo"]) {
    const newest = look.read(code).filter((each) => each.attributes?.photo).at(-1);
    if (newest && !await holdsFrame(field, newest)) await fetchFrame(field, look.property, newest);
  }
}
