// This phone: whose it is, what is on it alone, its jobs, moving to a new one, signing out.

import { button, el, key, put, tell } from "./dom.js";
import { asked } from "./hearing.js";
import { leave, sendSealed } from "./seal.js";
import { sendNow } from "./sending.js";
import { saveFile } from "./unsent.js";
import { say } from "./words.js";

const SENDS_FIRST_MS = 10_000;

export async function show(main, args, field) {
  const { phone, who } = field.start;
  field.head(say("field.phone.title"), phone ? say("field.phone.letters", { letters: phone.letters }) : "");
  const host = el("section", {});
  const finding = who ? say("field.phone.signed_in", { name: who.name, code: who.code }) : say("field.phone.nobody");
  put(main, el("h1", { class: "finding" }, finding),
    who ? null : el("div", { class: "keys" }, key("/sign-in", say("field.today.sign_in"), "weld")),
    host, jobs(field), await others(field), await signingOut(field),
    el("p", { class: "help" }, say("field.phone.lost")));
  await tellHeld(host, field);
  const stop = field.book.onChange(() => (main.isConnected ? tellHeld(host, field) : stop()));
}

// The words that let somebody wipe a phone stand only where nothing is on it alone.
async function tellHeld(host, field) {
  const { readings, others: more, photos, sealed, ofOthers } = await field.book.waiting();
  const held = readings + more + photos;
  const why = (await field.book.sealedPacks()).map((pack) => pack.why).find(Boolean);
  const notices = [
    held && say("field.phone.only_here", { readings: readings + more, photos }),
    sealed && say("field.phone.locked", { count: sealed }),
    why && say("field.phone.pack_refused", { what: why.error, right: why.right }),
    ofOthers && say("field.phone.of_others", { count: ofOthers }),
    await mayBeCleared() && say("field.phone.may_be_cleared"),
  ];
  const keys = [
    field.start.who && button(() => sendAll(field), say("field.phone.send"), "weld"),
    button(() => save(host, field), say("field.phone.save")),
  ];
  put(host, el("h2", {}, say("field.phone.moving")),
    notices.filter(Boolean).map((words) => el("p", { class: "notice" }, words)),
    held || sealed || ofOthers ? el("div", { class: "keys" }, keys) : el("p", {}, say("field.phone.may_wipe")));
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
  const said = el("p", { role: "status" });
  host.append(said);
  tell(said, say("field.phone.saved_file", { name: await saveFile(field.book) }));
}

function jobs({ start: { properties = [] } }) {
  const row = ({ id, name, trees }) => el("li", {}, el("a", { href: `#/trees/${id}` }, name),
    el("small", {}, say("field.phone.trees", { count: trees })));
  return el("section", {}, el("h2", {}, say("field.phone.jobs")), properties.length
    ? el("ul", { class: "list" }, properties.map(row)) : el("p", {}, say("field.phone.no_jobs")));
}

// Who assigns jobs may put any property on their own phone, where there is signal.
async function others(field) {
  if (!field.start.who?.may.includes("assign_jobs")) return null;
  const found = (await asked(field, "/api/field/properties"))?.others ?? [];
  if (!found.length) return null;
  const take = (id) => async ({ currentTarget: taking }) => {
    const isDone = await asked(field, `/api/field/properties/${id}/take-on`, "text", "POST") !== null;
    if (isDone) location.reload();
    else taking.after(el("p", { class: "notice" }, say("field.phone.no_signal")));
  };
  const row = ({ id, name }) => el("li", {}, el("span", {}, name), button(take(id), say("field.phone.take_on")));
  return el("section", {}, el("h2", {}, say("field.phone.others")), el("ul", { class: "list" }, found.map(row)));
}

const patience = () => new Promise((done) => setTimeout(done, SENDS_FIRST_MS));

async function signingOut(field) {
  if (!field.start.who) return null;
  const said = el("p", { class: "help" }, say("field.phone.leave_explains"));
  const half = await field.half.any() ? el("p", { class: "notice" }, say("field.phone.half")) : null;
  let isAsked = false;
  const go = async ({ currentTarget: leaving }) => {
    const { readings, others: more, photos } = await field.book.waiting();
    if (!isAsked && readings + more + photos) {
      isAsked = true;
      put(leaving, say("field.phone.leave_locked"));
      return tell(said, say("field.phone.leave_asks", { readings: readings + more, photos }));
    }
    leaving.disabled = true;
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
    el("div", { class: "keys" }, button(go, say("field.phone.leave_key"))));
}
