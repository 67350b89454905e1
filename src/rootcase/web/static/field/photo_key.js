// A photo at any card: one tap, by the phone's own camera; it is kept in one stroke with the reading that names it.

import { markOf } from "./canonical.js";
import { announce, el, key } from "./dom.js";
import { whyNotKept } from "./once.js";
import { save } from "./saving.js";
import { say } from "./words.js";

// The next picture is taken from the same mark: of one that has none it is asked.
export function photoKey(field, { property, tree, today }, again) {
  const take = async () => {
    const [file] = input.files;
    if (!file) return;
    try {
      await keepPhoto(field, property, tree.id, file);
      announce(say("field.photo_saved"));
      await again();
    } catch (error) {
      announce(whyNotKept(error));
    }
  };
  const input = el("input", {
    type: "file", accept: "image/*", capture: "environment", class: "unseen", "aria-label": say("field.photo"),
    on: { change: take },
  });
  const unmarked = today.findLast((each) => each.kind === "tree_photo" && each.of === tree.id && each.own
    && each.attributes.photo && !each.attributes.mark);
  const to = unmarked && `#/reading/${property}/${unmarked.id}/correct`;
  return [unmarked ? key(to, say("field.photo_frame.say_mark"), "photo") : null,
    el("label", { class: "key photo" }, say("field.photo"), input)];
}

async function keepPhoto(field, property, tree, file) {
  const photo = await markOf(await file.arrayBuffer());
  await save(field, {
    property, of: tree, photos: [{ blob: file, of: tree }],
    entries: [{ kind: "tree_photo", typed: file.name, choice: file.name, attributes: { photo } }],
  });
}
