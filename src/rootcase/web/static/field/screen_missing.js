// What is missing at a tree: what somebody wants read, what says nothing yet without its companion, what would narrow
// the answer, and the rest; each can be taken, or said not to have been looked at.

import { button, el, key, put } from "./dom.js";
import { formNow, formOf, isUnderground, lacking, treeNow } from "./forms.js";
import { once } from "./once.js";
import { save, visitNow } from "./saving.js";
import { wordsFor } from "./units.js";
import { say } from "./words.js";

export async function show(main, [property, id], field) {
  const look = await treeNow(field, property, id), { walk } = field.catalogue;
  field.head(look.tree.label, say("field.missing.title"));
  const open = walk.forms.flatMap((form) => formNow(field, look, form).left.map((ask) => ({ ...ask, form })));
  const wanted = new Set((look.ground.wanted ?? []).filter((each) => each.tree_id === id).map((each) => each.kind));
  const partOf = ({ kind }) => {
    if (wanted.has(kind.kind)) return "wanted";
    return walk.explains.includes(kind.kind) ? "narrows" : "beside";
  };
  const said = el("p", { class: "count", role: "status" });
  const leave = (ask) => once(async () => {
    await notLooked(field, look, ask);
    await show(main, [property, id], field);
  }, said);
  const part = (name) => {
    const asks = open.filter((ask) => partOf(ask) === name);
    return asks.length ? [el("h2", {}, say(`field.missing.${name}`)),
      el("ul", { class: "list" }, asks.map((ask) => row(look, ask, leave(ask))))] : [];
  };
  const finding = open.length ? say("field.missing.count", { count: open.length }) : say("field.walk.done");
  put(main, el("h1", { class: "finding" }, finding), said, silent(field, look),
    part("wanted"), part("narrows"), part("beside"), el("p", { class: "help" }, say("field.missing.help")),
    el("div", { class: "keys lower" }, key(`#/walk/${property}/${id}`, say("field.missing.leave"), "weld")));
}

function to({ property, tree }, form, code, spot = "-") {
  const at = `${property}/${tree.id}/${form.name}`;
  return isUnderground(form) && spot === "-" ? `#/pit/${at}` : `#/form/${at}/${code}/${spot}`;
}

// Readings of today that say nothing until another is in.
function silent({ kinds, day }, look) {
  const mine = new Set([look.tree.id, ...look.pits.map((pit) => pit.id)]);
  const found = new Map();
  for (const reading of look.standing.filter((each) => each.day === day() && mine.has(each.of))) {
    for (const each of lacking(look, reading)) found.set(`${reading.kind} ${each.kind}`, { reading, ...each });
  }
  return [...found.values()].map(({ reading, kind, without }) => {
    const { label, of } = kinds[kind], form = formOf(kind);
    const text = say(`field.missing.without_${without}`, { what: kinds[reading.kind].label });
    const link = form && key(to(look, form, kind, of === "pit" ? reading.of : "-"), label);
    return el("p", { class: "caution" }, text, " ", link ?? `${label}.`);
  });
}

async function notLooked(field, { property, tree }, { kind }) {
  const of = { tree: tree.id, place: tree.place_id }[kind.of] ?? await visitNow(field, property);
  await save(field, { property, of, entries: [{ kind: kind.kind, nothing: "not looked", typed: "not looked" }] });
}

function row(look, { kind, form, minutes, nothing }, leave) {
  const mayLeave = nothing.includes("not looked") && ["tree", "place", "visit"].includes(kind.of);
  return el("li", { class: "gap" },
    el("a", { href: to(look, form, kind.kind) }, wordsFor(look.system, kind.label)),
    el("span", { class: "beside" }, say("field.answer.minutes", { count: Math.ceil(minutes) })),
    mayLeave ? button(leave, say("field.nothing.not_looked"), "unread") : "");
}
