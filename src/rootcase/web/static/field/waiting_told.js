// What is on this phone only, in a few words: for the head of every page, and for its own.

import { say } from "./words.js";

export function toldHere({ readings, others, photos, sealed, needsYou, ofOthers }) {
  const parts = [
    readings > 0 && say("field.waiting.readings", { count: readings }),
    others > 0 && say("field.waiting.others", { count: others }),
    photos > 0 && say("field.waiting.photos", { count: photos }),
    sealed > 0 && say("field.waiting.packs", { count: sealed }),
    ofOthers > 0 && say("field.waiting.of_others", { count: ofOthers }),
  ].filter(Boolean);
  const here = parts.length ? say("field.waiting.here_only", { what: parts.join(", ") }) : say("field.all_sent");
  return needsYou ? say("field.waiting.and_needs", { here, count: needsYou }) : here;
}

/** How many things are on this phone only. */
export function held({ readings, others, photos, sealed, ofOthers }) {
  return readings + others + photos + sealed + ofOthers;
}
