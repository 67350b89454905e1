// Samples of a tree: those that are known, and a new one by what is put into the bag.

import { button, el, key, put } from "./dom.js";
import { locate } from "./forms.js";
import { once } from "./once.js";
import { newSample } from "./opening.js";
import { save } from "./saving.js";
import { codeTold } from "./told.js";
import { say } from "./words.js";

export function samplesOf(main, look, field) {
  const { property, tree } = look, kind = field.kinds.sample_matrix, at = `${property}/${tree.id}`;
  const said = el("p", { class: "count", role: "status" });
  field.head(tree.label, say("field.form_name.sample"));
  const to = (id) => `#/form/${at}/sample/-/${id}`;
  const open = (choice) => once(async () => {
    const { id, before } = newSample(look);
    await save(field, { property, of: id, before, entries: [{ kind: kind.kind, choice, typed: codeTold(choice) }] });
    location.hash = to(id);
  }, said);
  const row = ({ id, label }) => el("li", {}, el("a", { href: to(id) }, label),
    el("span", { class: "beside" }, say("field.trees.read_today", { count: look.countToday(id) })));
  const known = look.ground.samples.filter((sample) => sample.tree_id === tree.id);
  const mayDig = locate(field, look).valid;
  const bags = Object.entries(kind.choices).filter(([code]) => mayDig || code !== "soil");
  put(main, el("h1", { class: "finding" }, say("field.sample.which")), said,
    el("ul", { class: "list" }, known.map(row)),
    el("h2", {}, say("field.sample.new")), el("p", { class: "hint" }, kind.method), mayDig ? "" : noLines(at),
    el("div", { class: "names" }, bags.map(([code, meaning]) => button(open(code), el("b", {}, meaning)))),
    el("div", { class: "keys lower" }, key(`#/walk/${at}`, say("field.walk.title"))));
}

// A corer meets a line as a spade does.
const noLines = (at) => el("p", { class: "caution" }, say("field.pit.no_lines"), " ",
  key(`#/pit/${at}`, say("field.pit.title")));
