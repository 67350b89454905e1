// What is on this phone only, since when and why; what needs somebody, and the keys for it.

import { announce, el, put } from "./dom.js";
import { letGo } from "./letting_go.js";
import { isSending, onSending, sendNow, whyNotSent } from "./sending.js";
import { saveFile } from "./unsent.js";
import { held, toldHere } from "./waiting_told.js";
import { dayTold, say } from "./words.js";

const LONG_MS = 3 * 86_400_000;

export async function show(main, _, field) {
  field.head(say("field.waiting.title"));
  let looked = false;
  const draw = async () => {
    if (main.querySelector("input:focus")?.value) return;  // somebody is typing why
    const [waiting, needing] = await Promise.all([field.book.waiting(), field.book.needing()]);
    put(main, state(waiting), looked && held(waiting) > 0 && await lookedThrough(field), needing.length > 0 && asking(needing, field));
  };
  const stop = [field.book.onChange(draw), onSending(draw)];
  addEventListener("hashchange", () => stop.forEach((each) => each()), { once: true });
  await draw();

  function state(waiting) {
    if (!held(waiting)) return el("section", {}, el("h1", { class: "finding" }, say("field.all_sent")));
    const why = isSending() ? "trying" : whyNotSent();
    const said = el("p", { role: "status" });
    const file = async () => announce(put(said, say("field.phone.saved_file", { name: await saveFile(field.book) })).textContent);
    const look = () => { looked = true; return draw(); };
    return el("section", {},
      el("h1", { class: "finding" }, toldHere(waiting)),
      waiting.since && el("p", {}, since(waiting.since)),
      waiting.sealed > 0 && el("p", {}, say("field.waiting.sealed", { count: waiting.sealed })),
      why && el("p", { class: "notice" }, say(`field.sending.${why}`)),
      el("p", { class: "keys" },
        field.start.who ? el("button", { class: "key weld", type: "button", on: { click: sendNow } }, say("field.waiting.send"))
          : el("a", { class: "key weld", href: "/sign-in" }, say("field.today.sign_in")),
        el("button", { class: "key", type: "button", on: { click: file } }, say("field.waiting.file")),
        !looked && el("button", { class: "key", type: "button", on: { click: look } }, say("field.waiting.look"))), said);
  }
}

// What waits, each with what it was read of; the newest first.
async function lookedThrough(field) {
  const { events, photos } = await field.book.unsent();
  const grounds = new Map();
  for (const { property_id: id } of events) if (!grounds.has(id)) grounds.set(id, await field.book.ofProperty(id));
  const row = ({ id, kind, body, property_id: property }) => {
    const told = JSON.parse(body), ground = grounds.get(property), reading = ground.readings.find((each) => each.id === id);
    const of = ["trees", "pits", "samples", "places", "visits"].flatMap((list) => ground[list] ?? []).find((each) => each.id === told.of);
    return el("li", {}, reading ? el("a", { href: `#/reading/${property}/${id}` }, entryTold({ kind, body: told }, field)) : el("span", {}, entryTold({ kind, body: told }, field)),
      el("span", { class: "beside" }, [of?.label ?? of?.name, ground.property?.name].filter(Boolean).join(", ")));
  };
  return el("section", {}, el("h2", {}, say("field.waiting.what")), el("ul", { class: "list" }, events.toReversed().map(row)),
    photos.length ? el("p", {}, say("field.waiting.photos", { count: photos.length })) : "");
}

function entryTold({ kind, body }, field) {
  if (kind === "photo") return say("field.waiting.a_photo");
  if (kind === "reading_taken_back") return `${say("field.reading.taken_back")}: ${body.reason}`;
  return kind.startsWith("reading_") ? `${field.kinds[body.kind]?.label ?? body.kind ?? ""} ${body.typed ?? ""}` : body.label ?? body.name ?? kind;
}

function since(made) {
  const day = dayTold(made);
  const long = Date.now() - Date.parse(made) > LONG_MS;
  return say(long ? "field.waiting.long" : "field.waiting.since", { day });
}

function asking(needing, field) {
  return el("section", {}, el("h2", {}, say("field.state.needs")),
    el("ul", { class: "list" }, needing.map((each) => el("li", {}, ...one(each, field)))));
}

function one(entry, field) {
  const { id, kind, body, property, why, sent } = entry;
  const reason = el("input", { type: "text", "aria-label": say("field.waiting.reason"), placeholder: say("field.waiting.reason") });
  const said = el("p", { class: "beside", role: "status" });
  const drop = async () => {
    if (!reason.value.trim()) return reason.focus();
    reason.blur();
    return await letGo(field.book, entry, reason.value.trim()) || put(said, say("field.waiting.let_go_later"));
  };
  const isPhoto = kind === "photo";
  const key = (words, click) => el("button", { class: "key", type: "button", on: { click } }, words);
  const reading = kind.startsWith("reading_");
  return [
    el("p", {}, entryTold(entry, field)),
    el("p", { class: "beside" }, why.error || say("field.waiting.conflict"), why.right ? ` ${why.right}` : ""),
    el("p", { class: "beside" }, say(sent ? "field.waiting.at_desk" : "field.waiting.not_there")),
    el("p", { class: "keys" },
      reading && body.typed !== undefined && key(say("field.waiting.mend"), () => field.go("reading", property, id)),
      key(say("field.waiting.again"), () => field.book.mark(isPhoto ? { photosAgain: [id] } : { again: [id] }).then(sendNow))),
    el("p", { class: "keys" }, reason, key(say("field.waiting.let_go"), drop)), said,
  ];
}
