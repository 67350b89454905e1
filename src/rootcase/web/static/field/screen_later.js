// The places that are not on the phone: what they need.

import { el, put } from "./dom.js";
import { say } from "./words.js";

const later = (place) => ({
  async show(main, args, field) {
    field.head(say(`web.place.${place}`));
    put(main, el("h1", { class: "finding" }, say(`field.${place}.later`)));
  },
});

export const make = later("make");
export const proof = later("proof");
