// This phone: whose it is, what is on it alone, its jobs, moving to a new one, signing out.

import { announce, el, put } from "./dom.js";
import { leave, sendSealed } from "./seal.js";
import { sendNow } from "./sending.js";
import { saveFile } from "./unsent.js";
import { say } from "./words.js";

const SENDS_FIRST_MS = 10_000;

export async function show(main, args, field) {
  const { phone, who } = field.start;
  field.head(say("field.phone.title"), phone ? say("field.phone.letters", { letters: phone.letters }) : "");
  const host = el("section", {});
  put(main, el("h1", { class: "finding" }, who ? say("field.phone.signed_in", { name: who.name, code: who.code }) : say("field.phone.nobody")),
    who ? null : el("div", { class: "keys" }, el("a", { class: "key weld", href: "/sign-in" }, say("field.today.sign_in"))),
    host, jobs(field), await others(field), await signingOut(field), el("p", { class: "help" }, say("field.phone.lost")));
  await tellHeld(host, field);
  const stop = field.book.onChange(() => (main.isConnected ? tellHeld(host, field) : stop()));
}

// The words that let somebody wipe a phone stand only where nothing is on it alone.
async function tellHeld(host, field) {
  const { readings, others, photos, sealed, ofOthers } = await field.book.waiting();
  const held = readings + others + photos;
  const why = (await field.book.sealedPacks()).map((pack) => pack.why).find(Boolean);
  put(host, el("h2", {}, say("field.phone.moving")),
    held ? el("p", { class: "notice" }, say("field.phone.only_here", { readings: readings + others, photos })) : null,
    sealed ? el("p", { class: "notice" }, say("field.phone.locked", { count: sealed })) : null,
    why ? el("p", { class: "notice" }, say("field.phone.pack_refused", { what: why.error, right: why.right })) : null,
    ofOthers ? el("p", { class: "notice" }, say("field.phone.of_others", { count: ofOthers })) : null,
    await mayBeCleared() ? el("p", { class: "notice" }, say("field.phone.may_be_cleared")) : null,
    held || sealed || ofOthers ? el("div", { class: "keys" },
      field.start.who ? el("button", { type: "button", class: "weld", on: { click: () => sendAll(field) } }, say("field.phone.send")) : null,
      el("button", { type: "button", on: { click: () => save(host, field) } }, say("field.phone.save")))
      : el("p", {}, say("field.phone.may_wipe")));
}

// Whether the system has not granted that what is kept here stays.
async function mayBeCleared() {
  return Boolean(navigator.storage?.persisted) && !await navigator.storage.persisted();
}

async function sendAll(field) {
  await sendNow();
  await sendSealed(field.book, true).catch(console.error); // what is not taken stays, and is told by its count
}

async function save(host, field) {
  const name = await saveFile(field.book);
  host.append(el("p", { role: "status" }, say("field.phone.saved_file", { name })));
  announce(say("field.phone.saved_file", { name }));
}

function jobs(field) {
  const found = field.start.properties ?? [];
  return el("section", {}, el("h2", {}, say("field.phone.jobs")),
    found.length ? el("ul", { class: "list" }, found.map((each) => el("li", {}, el("a", { href: `#/trees/${each.id}` }, each.name),
      el("small", {}, say("field.phone.trees", { count: each.trees })))))
      : el("p", {}, say("field.phone.no_jobs")));
}

// Who assigns jobs may put any property on their own phone, where there is signal.
async function others(field) {
  if (!field.start.who?.may.includes("assign_jobs")) return null;
  const { phone } = await field.book.self();
  const headers = { "Rootcase-Phone": phone };
  try {
    const answer = await fetch("/api/field/properties", { headers });
    const found = answer.ok ? (await answer.json()).others : [];
    if (!found.length) return null;
    const take = async (event, id) => {
      const button = event.currentTarget;
      const done = await fetch(`/api/field/properties/${id}/take-on`, { method: "POST", headers }).catch(() => null);
      if (done?.ok) location.reload();
      else button.after(el("p", { class: "notice" }, say("field.phone.no_signal")));
    };
    return el("section", {}, el("h2", {}, say("field.phone.others")), el("ul", { class: "list" }, found.map(({ id, name }) =>
      el("li", {}, el("span", {}, name), el("button", { type: "button", on: { click: (event) => take(event, id) } }, say("field.phone.take_on"))))));
  } catch {
    return null; // no signal is normal
  }
}

const patience = () => new Promise((done) => setTimeout(done, SENDS_FIRST_MS));

async function signingOut(field) {
  if (!field.start.who) return null;
  const said = el("p", { class: "help" }, say("field.phone.leave_explains"));
  const half = await field.half.any() ? el("p", { class: "notice" }, say("field.phone.half")) : null;
  let asked = false;
  const go = async (event) => {
    const button = event.currentTarget, { readings, others: more, photos } = await field.book.waiting();
    if (!asked && readings + more + photos) {
      asked = true;
      put(button, say("field.phone.leave_locked"));
      return announce(put(said, say("field.phone.leave_asks", { readings: readings + more, photos })).textContent);
    }
    button.disabled = true;
    try {
      await Promise.race([sendNow(), patience()]); // what can be sent need not be locked
      await leave(field.book);
      location.reload();
    } catch (error) {
      put(said, say("field.phone.not_locked", { what: error.message }));
      said.className = "notice";
      console.error(error);
    }
  };
  return el("section", {}, el("h2", {}, say("field.phone.leave")), said, half,
    el("div", { class: "keys" }, el("button", { type: "button", on: { click: go } }, say("field.phone.leave_key"))));
}
