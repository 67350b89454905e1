// A photo from the same mark: last year's picture stands as a grey outline, and over what was just taken before it is
// kept.

import { markOf } from "./canonical.js";
import { button, el, put } from "./dom.js";
import { newest } from "./forms.js";
import { once } from "./once.js";
import { heading, keep, lastKeys, nothingKeys } from "./question.js";
import { dayTold, say } from "./words.js";

const WIDE = 320, EDGE = 18, GREY = 90;

export async function photoQuestion(host, section, q) {
  const { look, ask } = q, before = lastYears(q);
  const stand = before ? say("field.photo_frame.stand", {
    mark: before.attributes.mark || say("field.photo_frame.no_mark"), day: dayTold(before.day),
  }) : say("field.photo_frame.first");
  const saved = heading(q, section, el("p", { class: "still" }, stand));
  const frame = el("canvas", {
    class: "frame", role: "img", "aria-label": say("field.photo_frame.outline"), hidden: true,
  });
  const mark = el("input", {
    maxlength: 120, autocomplete: "off", "aria-label": say("field.photo_frame.mark"),
    placeholder: say("field.photo_frame.mark"), value: before?.attributes.mark ?? "",
  });
  const outline = before && await outlineOf(q.field, look.property, before);
  if (before && !outline) section.append(el("p", { class: "hint" }, say("field.photo_frame.elsewhere")));
  if (outline) await drawn(frame, null, outline);
  let taken = null;
  const store = async () => {
    const photo = await markOf(await taken.arrayBuffer());
    const attributes = { photo, ...(mark.value.trim() ? { mark: mark.value.trim() } : {}) };
    const picture = { choice: taken.name, typed: taken.name, attributes };
    await keep(q, [picture], [{ blob: taken, of: q.of }]);
    await q.onward();
  };
  const key = button(once(store, saved), say("field.photo_frame.save"), "weld");
  key.hidden = true;
  const take = async ([file]) => {
    const picture = await createImageBitmap(file).catch(() => null);
    if (!picture) return put(saved, say("field.photo_frame.unreadable"));
    taken = file;
    key.hidden = false;
    return drawn(frame, picture, outline);
  };
  const camera = el("input", {
    type: "file", accept: "image/*", capture: "environment", class: "unseen",
    "aria-label": say("field.photo_frame.take"), on: { change: once(() => take(camera.files), saved) },
  });
  host.append(el("div", {}, frame), el("label", { class: "key photo" }, say("field.photo_frame.take"), camera),
    ask.kind.required ? el("p", {}, mark) : "", lastKeys(q, nothingKeys(q, saved), key));
}

const lastYears = ({ field, look, ask, spot }) => newest(look.read(ask.kind.kind, { spot })
  .filter((each) => each.attributes?.photo && each.day < field.day()));

const outlineOf = (field, property, reading) => frameOf(field, property, reading)
  .then((blob) => blob && createImageBitmap(blob)).catch(() => null);

// The new picture with the old one's edges over it; alone, the edges on white.
async function drawn(frame, picture, outline) {
  const size = picture ?? outline;
  Object.assign(frame, { width: WIDE, height: Math.round((WIDE * size.height) / size.width), hidden: false });
  const context = frame.getContext("2d", { willReadFrequently: true });
  if (outline) {
    context.drawImage(outline, 0, 0, frame.width, frame.height);
    const edges = edgesOf(context.getImageData(0, 0, frame.width, frame.height));
    context.clearRect(0, 0, frame.width, frame.height);
    if (picture) context.drawImage(picture, 0, 0, frame.width, frame.height);
    context.drawImage(await createImageBitmap(edges), 0, 0);
  } else context.drawImage(picture, 0, 0, frame.width, frame.height);
}

// Where brightness changes at once there is an edge: grey; elsewhere clear.
function edgesOf({ data, width, height }) {
  const edges = new ImageData(width, height);
  const bright = (at) => (data[at] * 3 + data[at + 1] * 6 + data[at + 2]) / 10;
  for (let y = 0; y < height - 1; y += 1) {
    for (let x = 0; x < width - 1; x += 1) {
      const at = 4 * (y * width + x);
      const change = Math.abs(bright(at) - bright(at + 4)) + Math.abs(bright(at) - bright(at + 4 * width));
      edges.data.set([GREY, GREY, GREY, change > EDGE ? 255 : 0], at);
    }
  }
  return edges;
}

const frameName = (reading) => `frame/${reading.id}`;

// A picture this phone took, or one that came with the walk.
const frameHere = async ({ book }, reading) =>
  await book.photo(reading.attributes.photo) ?? await book.sheet(frameName(reading)) ?? null;

const frameOf = async (field, property, reading) =>
  await frameHere(field, reading) ?? fetchFrame(field, property, reading);

// Kept beside the sheets, so that it stands at the tree without signal and goes with them.
async function fetchFrame(field, property, reading) {
  try {
    const answer = await fetch(`/properties/${property}/photos/${reading.id}`);
    if (!answer.ok || !answer.headers.get("content-type")?.startsWith("image/")) return null;
    const blob = await answer.blob();
    await field.book.takeSheet(frameName(reading), blob);
    return blob;
  } catch (error) {
    if (!(error instanceof TypeError)) throw error; // no network is normal
    return null;
  }
}

// Last year's pictures of a tree and its pits come along while there is signal.
export async function framesAhead(field, look) {
  if (navigator.onLine === false) return;
  for (const code of ["tree_photo", "pit_photo"]) {
    const last = look.read(code).filter((each) => each.attributes?.photo).at(-1);
    if (last) await frameOf(field, look.property, last);
  }
}
