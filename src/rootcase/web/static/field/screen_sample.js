// Samples of a tree: those that are known, and a new one by what is put into the bag.

import { newId } from "./canonical.js";
import { el, put } from "./dom.js";
import { codeTold, locate } from "./forms.js";
import { once } from "./look_choices.js";
import { save } from "./saving.js";
import { say } from "./words.js";

export function samplesOf(main, look, field) {
  const { property, tree } = look, kind = field.kinds.sample_matrix, said = el("p", { class: "count", role: "status" });
  field.head(tree.label, say("field.form_name.sample"));
  const open = async (choice) => {
    const { id, before } = newSample(look);
    await save(field, { property, of: id, before, entries: [{ kind: kind.kind, choice, typed: codeTold(choice) }] });
    location.hash = to(id);
  };
  const to = (id) => `#/form/${property}/${tree.id}/sample/-/${id}`;
  const known = look.ground.samples.filter((sample) => sample.tree_id === tree.id);
  const read = (id) => look.standing.filter((each) => each.of === id && each.day === field.day()).length;
  // A corer meets a line as a spade does.
  const digs = locate(field, look).valid ? "" : el("p", { class: "caution" }, say("field.pit.no_lines"), " ", el("a", { class: "key", href: `#/pit/${property}/${tree.id}` }, say("field.pit.title")));
  put(main, el("h1", { class: "finding" }, say("field.sample.which")), said,
    el("ul", { class: "list" }, known.map(({ id, label }) => el("li", {}, el("a", { href: to(id) }, label), el("span", { class: "beside" }, say("field.trees.read_today", { count: read(id) }))))),
    el("h2", {}, say("field.sample.new")), el("p", { class: "hint" }, kind.method), digs, el("div", { class: "names" }, Object.entries(kind.choices).filter(([code]) => code !== "soil" || !digs).map(([code, meaning]) =>
      el("button", { type: "button", on: { click: once(open, code, said) } }, el("b", {}, meaning)))),
    el("div", { class: "keys lower" }, el("a", { class: "key", href: `#/walk/${property}/${tree.id}` }, say("field.walk.title"))));
}

function newSample(look) {
  const labels = new Set(look.ground.samples.map((sample) => sample.label.toLowerCase()));
  const named = (number) => say("field.sample.label", { tree: look.tree.label, number });
  let number = 1;
  while (labels.has(named(number).toLowerCase())) number += 1;
  const id = newId();
  return { id, before: [{ kind: "sample_opened", body: { slot: newId(), sample: id, label: named(number), tree: look.tree.id } }] };
}
