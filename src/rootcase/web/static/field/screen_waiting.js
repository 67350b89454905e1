// What is on this phone only, since when and why; what needs somebody, and the keys for it.

import { button, el, key, put, tell } from "./dom.js";
import { thingIn } from "./here.js";
import { letGo } from "./letting_go.js";
import { isSending, onSending, sendNow, whyNotSent } from "./sending.js";
import { saveFile } from "./unsent.js";
import { held, toldHere } from "./waiting_told.js";
import { dayTold, say } from "./words.js";

const LONG_MS = 3 * 86_400_000;

export async function show(main, _, field) {
  field.head(say("field.waiting.title"));
  let isLooked = false;
  const look = () => {
    isLooked = true;
    return draw();
  };
  const draw = async () => {
    if (main.querySelector("input:focus")?.value) return;  // somebody is typing why
    const [waiting, needing] = await Promise.all([field.book.waiting(), field.book.needing()]);
    put(main, held(waiting) ? stateOf(waiting, field, isLooked ? null : look) : allSent(),
      isLooked && held(waiting) > 0 && await lookedThrough(field), needing.length > 0 && asking(needing, field));
  };
  const stop = [field.book.onChange(draw), onSending(draw)];
  addEventListener("hashchange", () => stop.forEach((each) => each()), { once: true });
  await draw();
}

const allSent = () => el("section", {}, el("h1", { class: "finding" }, say("field.all_sent")));

function stateOf(waiting, field, look) {
  const why = isSending() ? "trying" : whyNotSent();
  const said = el("p", { role: "status" });
  const file = async () => tell(said, say("field.phone.saved_file", { name: await saveFile(field.book) }));
  return el("section", {},
    el("h1", { class: "finding" }, toldHere(waiting)),
    waiting.since && el("p", {}, since(waiting.since)),
    waiting.sealed > 0 && el("p", {}, say("field.waiting.sealed", { count: waiting.sealed })),
    why && el("p", { class: "notice" }, say(`field.sending.${why}`)),
    el("p", { class: "keys" },
      field.start.who ? button(sendNow, say("field.waiting.send"), "key weld")
        : key("/sign-in", say("field.today.sign_in"), "weld"),
      button(file, say("field.waiting.file"), "key"), look && button(look, say("field.waiting.look"), "key")), said);
}

// What waits, each with what it was read of; the newest first.
async function lookedThrough(field) {
  const { events, photos } = await field.book.unsent();
  const grounds = new Map();
  for (const { property_id: id } of events) if (!grounds.has(id)) grounds.set(id, await field.book.ofProperty(id));
  const row = ({ id, kind, body, property_id: property }) => {
    const read = JSON.parse(body), ground = grounds.get(property), told = entryTold({ kind, body: read }, field);
    const of = thingIn(ground, read.of), isReading = ground.readings.some((each) => each.id === id);
    return el("li", {}, isReading ? el("a", { href: `#/reading/${property}/${id}` }, told) : el("span", {}, told),
      el("span", { class: "beside" }, [of?.label ?? of?.name, ground.property.name].filter(Boolean).join(", ")));
  };
  return el("section", {}, el("h2", {}, say("field.waiting.what")),
    el("ul", { class: "list" }, events.toReversed().map(row)),
    photos.length ? el("p", {}, say("field.waiting.photos", { count: photos.length })) : "");
}

function entryTold({ kind, body }, { kinds }) {
  if (kind === "photo") return say("field.waiting.a_photo");
  if (kind === "reading_taken_back") return `${say("field.reading.taken_back")}: ${body.reason}`;
  if (!kind.startsWith("reading_")) return body.label ?? body.name ?? kind;
  return `${kinds[body.kind]?.label ?? body.kind ?? ""} ${body.typed ?? ""}`;
}

function since(made) {
  const isLong = Date.now() - Date.parse(made) > LONG_MS;
  return say(isLong ? "field.waiting.long" : "field.waiting.since", { day: dayTold(made) });
}

function asking(needing, field) {
  return el("section", {}, el("h2", {}, say("field.state.needs")),
    el("ul", { class: "list" }, needing.map((each) => el("li", {}, needTold(each, field)))));
}

function needTold(entry, field) {
  const { id, kind, body, property, why, sent } = entry;
  const words = say("field.waiting.reason"), said = el("p", { class: "beside", role: "status" });
  const reason = el("input", { type: "text", "aria-label": words, placeholder: words });
  const drop = async () => {
    if (!reason.value.trim()) return reason.focus();
    reason.blur();
    return await letGo(field.book, entry, reason.value.trim()) || put(said, say("field.waiting.let_go_later"));
  };
  const again = async () => {
    await field.book.mark(kind === "photo" ? { photosAgain: [id] } : { again: [id] });
    await sendNow();
  };
  const isTyped = kind.startsWith("reading_") && body.typed !== undefined;
  const mend = () => field.go("reading", property, id);
  return [
    el("p", {}, entryTold(entry, field)),
    el("p", { class: "beside" }, why.error || say("field.waiting.conflict"), why.right ? ` ${why.right}` : ""),
    el("p", { class: "beside" }, say(sent ? "field.waiting.at_desk" : "field.waiting.not_there")),
    el("p", { class: "keys" }, isTyped && button(mend, say("field.waiting.mend"), "key"),
      button(again, say("field.waiting.again"), "key")),
    el("p", { class: "keys" }, reason, button(drop, say("field.waiting.let_go"), "key")), said,
  ];
}
