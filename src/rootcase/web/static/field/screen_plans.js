// Plans: the properties whose signed plan is on this phone, read only.

import { el, put } from "./dom.js";
import { say } from "./words.js";

export async function show(main, args, field) {
  field.head(say("web.place.plans"));
  const signed = (await field.book.grounds()).filter((each) => each.sheet);
  const row = ({ id, property, sheet }) => el("li", {}, el("a", { href: `#/job/${id}` }, property.name),
    el("small", {}, sheet.signed));
  put(main, el("h1", { class: "finding" }, say(signed.length ? "field.plans.signed" : "field.plans.none")),
    signed.length ? el("ul", { class: "list" }, signed.map(row)) : el("p", {}, say("field.plans.needs_signal")));
}
