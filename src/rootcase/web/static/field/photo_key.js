// A photo at any card: one tap, by the phone's own camera; it is kept in one stroke with the reading that names it.

import { markOf } from "./canonical.js";
import { announce, el } from "./dom.js";
import { save } from "./saving.js";
import { say } from "./words.js";

// The next picture is taken from the same mark: of one that has none it is asked.
export function photoKey(field, look, again) {
  const input = el("input", { type: "file", accept: "image/*", capture: "environment", class: "unseen", "aria-label": say("field.photo") });
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (!file) return;
    try {
      await keepPhoto(field, look.property, look.tree.id, file);
      announce(say("field.photo_saved"));
      await again();
    } catch (error) {
      if (!error.say) throw error;
      announce(say(error.say));
    }
  });
  const unmarked = look.today.findLast((each) => each.kind === "tree_photo" && each.of === look.tree.id && each.own && each.attributes.photo && !each.attributes.mark);
  return [unmarked ? el("a", { class: "key photo", href: `#/reading/${look.property}/${unmarked.id}/correct` }, say("field.photo_frame.say_mark")) : null,
    el("label", { class: "key photo" }, say("field.photo"), input)];
}

export async function keepPhoto(field, property, tree, file) {
  const photo = await markOf(await file.arrayBuffer());
  await save(field, {
    property, of: tree, photos: [{ blob: file, of: tree }],
    entries: [{ kind: "tree_photo", typed: file.name, choice: file.name, attributes: { photo } }],
  });
}
