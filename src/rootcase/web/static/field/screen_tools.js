// The tools on the truck: what is not on it is not asked for.

import { el, put } from "./dom.js";
import { say } from "./words.js";

export async function show(main, [property, tree], field) {
  const tools = [...new Set(field.catalogue.walk.forms.flatMap((form) => form.asks.map((ask) => ask.tool)))].filter(Boolean);
  field.head(say("field.tools.title"));
  const off = new Set(field.self.settings?.tools_off ?? []);
  const set = async ({ currentTarget }) => {
    const code = currentTarget.name;
    off[currentTarget.checked ? "delete" : "add"](code);
    const { settings } = await field.book.self();
    field.self = await field.book.setSelf({ settings: { ...settings, tools_off: [...off] } });
  };
  put(main, el("h1", { class: "finding" }, say("field.tools.which")),
    el("ul", { class: "list" }, tools.map((code) => el("li", {}, el("label", { class: "tool" }, el("input", { type: "checkbox", name: code, checked: !off.has(code), on: { change: set } }), say(`field.tool.${code}`))))),
    el("div", { class: "keys lower" }, el("a", { class: "key weld", href: tree ? `#/walk/${property}/${tree}` : "#/settings" }, say("field.walk.title"))));
}
