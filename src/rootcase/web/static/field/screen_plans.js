// Plans: the properties whose signed plan is on this phone, read only.

import { el, put } from "./dom.js";
import { say } from "./words.js";

export async function show(main, args, field) {
  field.head(say("web.place.plans"));
  const signed = (await field.book.grounds()).filter((each) => each.sheet);
  put(main, el("h1", { class: "finding" }, say(signed.length ? "field.plans.signed" : "field.plans.none")),
    signed.length ? el("ul", { class: "list" }, signed.map((each) => el("li", {}, el("a", { href: `#/job/${each.id}` }, each.property.name),
      el("small", {}, each.sheet.signed)))) : el("p", {}, say("field.plans.needs_signal")));
}
