// The place of that name on the phone: what it needs.

import { el, put } from "./dom.js";
import { say } from "./words.js";

export async function show(main, args, field) {
  field.head(say("web.place.proof"));
  put(main, el("h1", { class: "finding" }, say("field.proof.later")));
}
