// The tools on the truck: what is not on it is not asked for.

import { el, key, put } from "./dom.js";
import { treeNow } from "./forms.js";
import { say } from "./words.js";

export async function show(main, [property, id], field) {
  const { tree } = await treeNow(field, property, id);
  const asks = field.catalogue.walk.forms.flatMap((form) => form.asks);
  const tools = [...new Set(asks.map((ask) => ask.tool))].filter(Boolean);
  field.head(tree.label, say("field.tools.title"));
  const off = new Set(field.self.settings?.tools_off ?? []);
  const set = ({ currentTarget: { name, checked } }) => {
    off[checked ? "delete" : "add"](name);
    return field.set({ tools_off: [...off] });
  };
  const row = (name) => el("li", {}, el("label", { class: "tool" },
    el("input", { type: "checkbox", name, checked: !off.has(name), on: { change: set } }), say(`field.tool.${name}`)));
  put(main, el("h1", { class: "finding" }, say("field.tools.which")), el("ul", { class: "list" }, tools.map(row)),
    el("div", { class: "keys lower" }, key(`#/walk/${property}/${id}`, say("field.walk.title"), "weld")));
}
