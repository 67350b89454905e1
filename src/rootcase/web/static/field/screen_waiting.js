// What is on this phone only, since when and why; what needs somebody, and the keys for it.

import { el, put } from "./dom.js";
import { letGo } from "./letting_go.js";
import { onSending, sendNow, whyNotSent } from "./sending.js";
import { saveFile } from "./unsent.js";
import { held, toldHere } from "./waiting_told.js";
import { dayTold, say } from "./words.js";

const LONG_MS = 3 * 86_400_000;

export async function show(main, _, field) {
  field.head(say("field.waiting.title"));
  const draw = async () => {
    if (main.querySelector("input:focus")?.value) return;  // somebody is typing why
    const [waiting, needing] = await Promise.all([field.book.waiting(), field.book.needing()]);
    put(main, state(waiting), needing.length > 0 && asking(needing, field));
  };
  const stop = [field.book.onChange(draw), onSending(draw)];
  addEventListener("hashchange", () => stop.forEach((each) => each()), { once: true });
  await draw();

  function state(waiting) {
    if (!held(waiting)) return el("section", {}, el("h1", { class: "finding" }, say("field.all_sent")));
    const why = whyNotSent();
    return el("section", {},
      el("h1", { class: "finding" }, toldHere(waiting)),
      waiting.since && el("p", {}, since(waiting.since)),
      waiting.sealed > 0 && el("p", {}, say("field.waiting.sealed", { count: waiting.sealed })),
      why && el("p", { class: "notice" }, say(`field.sending.${why}`)),
      el("p", { class: "keys" },
        el("button", { class: "key weld", type: "button", on: { click: sendNow } }, say("field.waiting.send")),
        el("button", { class: "key", type: "button", on: { click: () => saveFile(field.book) } }, say("field.waiting.file"))));
  }
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
    el("p", {}, reading ? `${field.kinds[body.kind]?.label ?? body.kind ?? ""} ${body.typed ?? ""}` : isPhoto ? say("field.waiting.a_photo") : body.label ?? body.name ?? kind),
    el("p", { class: "beside" }, why.error || say("field.waiting.conflict"), why.right ? ` ${why.right}` : ""),
    el("p", { class: "beside" }, say(sent ? "field.waiting.at_desk" : "field.waiting.not_there")),
    el("p", { class: "keys" },
      reading && body.typed !== undefined && key(say("field.waiting.mend"), () => field.go("reading", property, id)),
      key(say("field.waiting.again"), () => field.book.mark(isPhoto ? { photosAgain: [id] } : { again: [id] }).then(sendNow))),
    el("p", { class: "keys" }, reason, key(say("field.waiting.let_go"), drop)), said,
  ];
}
