// What is missing at a tree: what somebody wants read, what says nothing yet without its companion, what would narrow
// the answer, and the rest; each can be taken, or said not to have been looked at.

import { el, put } from "./dom.js";
import { formNow, formOf, isUnderground, lacking, treeNow, visitNow } from "./forms.js";
import { once } from "./look_choices.js";
import { save } from "./saving.js";
import { wordsFor } from "./units.js";
import { say } from "./words.js";

export async function show(main, [property, id], field) {
  const look = await treeNow(field, property, id), { walk } = field.catalogue;
  field.head(look.tree.label, say("field.missing.title"));
  const open = walk.forms.flatMap((form) => formNow(field, look, form).left.map((ask) => ({ ...ask, form })));
  const wanted = new Set((look.ground.wanted ?? []).filter((each) => each.tree_id === id).map((each) => each.kind));
  const explains = new Set(walk.explains), said = el("p", { class: "count", role: "status" });
  const again = () => show(main, [property, id], field);
  const part = (key, asks) => (asks.length ? [el("h2", {}, say(`field.missing.${key}`)), el("ul", { class: "list" }, asks.map((ask) => row(field, look, ask, said, again)))] : []);
  const [first, rest] = [open.filter((ask) => wanted.has(ask.kind.kind)), open.filter((ask) => !wanted.has(ask.kind.kind))];
  put(main, el("h1", { class: "finding" }, open.length ? say("field.missing.count", { count: open.length }) : say("field.walk.done")), said,
    silent(field, look), part("wanted", first), part("narrows", rest.filter((ask) => explains.has(ask.kind.kind))),
    part("beside", rest.filter((ask) => !explains.has(ask.kind.kind))), el("p", { class: "help" }, say("field.missing.help")),
    el("div", { class: "keys lower" }, el("a", { class: "key weld", href: `#/walk/${property}/${id}` }, say("field.missing.leave"))));
}

const to = (look, form, code, spot = "-") => (isUnderground(form) && spot === "-" ? `#/pit/${look.property}/${look.tree.id}/${form.name}` : `#/form/${look.property}/${look.tree.id}/${form.name}/${code}/${spot}`);

// Readings of today that say nothing until another is in.
function silent(field, look) {
  const mine = new Set([look.tree.id, ...look.pits.map((pit) => pit.id)]);
  const found = new Map();
  for (const reading of look.standing.filter((each) => each.day === field.day() && mine.has(each.of))) {
    for (const each of lacking(look, reading)) found.set(`${reading.kind} ${each.kind}`, { reading, each });
  }
  return [...found.values()].map(({ reading, each }) => el("p", { class: "caution" }, say(`field.missing.without_${each.without}`, { what: field.kinds[reading.kind].label }), " ",
    formOf(each.kind) ? el("a", { class: "key", href: to(look, formOf(each.kind), each.kind, field.kinds[each.kind].of === "pit" ? reading.of : "-") }, field.kinds[each.kind].label) : `${field.kinds[each.kind].label}.`));
}

function row(field, look, ask, said, again) {
  const of = { tree: look.tree.id, place: look.tree.place_id }[ask.kind.of];
  const leave = once(async () => {
    await save(field, { property: look.property, of: of ?? await visitNow(field, look.property), entries: [{ kind: ask.kind.kind, nothing: "not looked", typed: "not looked" }] });
    await again();
  }, null, said);
  const may = ask.nothing.includes("not looked") && ["tree", "place", "visit"].includes(ask.kind.of);
  return el("li", { class: "gap" }, el("a", { href: to(look, ask.form, ask.kind.kind) }, wordsFor(look.system, ask.kind.label)), el("span", { class: "beside" }, say("field.answer.minutes", { count: Math.ceil(ask.minutes) })),
    may ? el("button", { type: "button", class: "unread", on: { click: leave } }, say("field.nothing.not_looked")) : "");
}
