// A stop, one page: what stops it, gate and people, the ground, what to do, what soil and place say, then its clock.

import { choiceRow } from "./choice_row.js";
import { announce, button, el, icon, key, put } from "./dom.js";
import { locate, treeNow } from "./forms.js";
import { keepSqueeze, stopping } from "./gate.js";
import { halfOf } from "./half_typed.js";
import { once } from "./once.js";
import { photoKey } from "./photo_key.js";
import { clockOf, isAllLogged, jobAt, loggedAt, momentNow, roundsHere, stopsOf } from "./round.js";
import { arriving } from "./screen_job.js";
import { linesTold } from "./screen_pit.js";
import { dayTold, say } from "./words.js";

const TICK_MS = 15_000, MS_PER_MIN = 60_000;

/** The stop of this day and id with all that is known of it here; null where the round has it no more. */
export async function stopNow(field, day, id) {
  const here = await roundsHere(field);
  const step = here.rounds.filter((each) => each.day === day).flatMap(stopsOf).find((each) => each.id === id);
  if (!step) return null;
  // Under each of its jobs, so that another order of the stop leaves its clock.
  const names = step.tasks.map((task) => halfOf(field, day, "stop", jobAt(step, task.id)));
  const [halves, ground, logged] = await Promise.all([
    Promise.all(names.map((name) => field.half.get(name))),
    field.book.ofProperty(step.property_id), loggedAt(field, step)]);
  const looks = await Promise.all(step.tasks.map(({ tree_id: tree }) =>
    treeNow(field, step.property_id, tree).catch(() => null)));
  return { day, here, step, names, seen: halves.find(Boolean) ?? {}, ground, logged, looks };
}

const keepSeen = (field, { names, seen }) => Promise.all(names.map((name) => field.half.put(name, seen)));

/** Why a job of it may not be done now. */
export const stopped = (field, { step, seen, looks }, task) =>
  stopping(field, { task, step, look: looks[step.tasks.indexOf(task)], seen });

export async function show(main, [day, id], field) {
  const now = await stopNow(field, day, id);
  if (!now) return noStop(main, field);
  const { step, ground } = now;
  field.head(step.place, say("field.day_now.stop_of", { number: step.number, start: step.starts, end: step.ends }));
  const said = el("p", { role: "status" }), told = el("div", { "aria-live": "polite" });
  const foot = el("div", { class: "keys lower at-foot" });
  const tasks = step.tasks.map((task) => [task, el("div", {})]);
  const redraw = () => {
    for (const [task, host] of tasks) put(host, taskKeys(field, now, task, said));
    put(told, consequences(field, now));
    put(foot, ...mainKeys(field, now, redraw, { said, foot }));
  };
  redraw();
  // A page on which somebody has begun does not move when something comes.
  const waits = !Object.keys(now.seen).length;
  put(main, el("h1", { class: "finding" }, step.work), barred(field, now), ...arriving(ground, field.day()),
    ground.heard ? null : el("p", { class: "help", "data-waits": waits }, say("field.day_now.not_theirs")),
    el("p", { class: "help" }, say("field.stop.posted")), await mapOf(field, step, waits),
    tasks.map(([task, host]) => work(task, locating(main, field, now, task), host)),
    day === field.day() ? asks(field, now, redraw, said) : null, told, said,
    el("p", { class: "help" }, say("field.job.codes_first")), foot);
  ticking(foot, now, redraw);
}

/** ahead: it is there, and of a later day. */
export function noStop(main, field, ahead = null) {
  field.head(say("field.day_now.to_round"));
  const words = say(ahead ? "field.stop.not_yet" : "field.day_now.no_stop");
  put(main, el("p", { class: "notice", "data-waits": true }, words),
    el("div", { class: "keys" }, key("#/today", say("field.day_now.to_round"), "weld")));
}

// What is known before anybody is there stands first, each thing once.
function barred(field, now) {
  const lines = now.step.tasks.filter(({ id }) => !now.logged.has(id))
    .flatMap((task) => stopped(field, { ...now, seen: {} }, task)).map(({ says }) => says);
  return [...new Set(lines)].map((line) => el("p", { class: "caution stop" }, line));
}

async function mapOf(field, { property_id: property, map, place }, waits) {
  const bytes = map && await field.book.mapOf(property, map);
  if (!bytes) return el("p", { class: "help", "data-waits": waits }, say("field.stop.no_map"));
  const address = URL.createObjectURL(new Blob([bytes], { type: "image/svg+xml" }));
  const picture = el("img", {
    src: address, alt: `${say("field.stop.map")}: ${place}`, class: "ground-map",
    on: { load: () => URL.revokeObjectURL(address) },
  });
  return el("details", { open: true }, el("summary", {}, say("field.stop.map")), picture);
}

const list = (lines) => (lines.length ? el("ul", {}, lines.map((line) => el("li", {}, line))) : null);

// Whoever has the number frees the work here, also without signal.
function locating(main, field, now, task) {
  const look = now.looks[now.step.tasks.indexOf(task)];
  if (!look || !task.bars.some(({ gate }) => gate === "locate")) return null;
  const told = el("p", { role: "status" });
  const again = () => show(main, [now.day, now.step.id], field);
  const lines = linesTold(field, look, locate(field, look), told, again);
  lines.querySelector(".weld")?.classList.remove("weld"); // the main key is the stop's
  return [lines, told];
}

function work(task, lines, host) {
  const { more_cautions: more } = task;
  return el("section", { class: "visit" }, el("h2", {}, `${task.tree}: ${task.name}`),
    task.cautions.length ? el("div", { class: "notice" }, list(task.cautions)) : null,
    more.length ? el("details", {}, el("summary", {}, say("field.job.more_cautions", { count: more.length })),
      list(more)) : null,
    el("p", {}, el("b", {}, task.dose)), task.tank_does ? el("p", {}, task.tank_does) : null,
    task.located ? el("p", {}, task.located) : null, list(task.beside), lines, host);
}

// Under each job what is done about it: logged, or its log; a photo of its tree.
function taskKeys(field, now, task, said) {
  if (now.logged.has(task.id)) return [el("p", { class: "state" }, icon("saved"), say("field.day_now.done")),
    el("div", { class: "keys" }, key(`#/log/${now.day}/${now.step.id}/${task.id}`, say("field.log.see")))];
  if (now.day > field.day()) return [];
  const look = now.looks[now.step.tasks.indexOf(task)], bars = stopped(field, now, task);
  const to = `#/log/${now.day}/${now.step.id}/${task.id}`;
  const photo = look && photoKey(field, { ...look, today: [] }, async () => put(said, say("field.photo_saved")));
  return [el("div", { class: "keys" }, key(bars.length ? `${to}/not` : to,
    say(bars.length ? "field.stop.not_done" : "field.stop.log")), photo)];
}

function asks(field, now, redraw, said) {
  const words = (codes, group) => Object.fromEntries(codes.map((code) => [code, say(`field.stop.${group}.${code}`)]));
  // The gate closes by what was seen, whether or not that can be kept; what is kept is kept one after another, so that
  // a second answer takes the place of the first.
  let before = Promise.resolve();
  const see = (told, then = () => {}) => {
    Object.assign(now.seen, told);
    redraw();
    before = before.then(() => keepSeen(field, now)).then(then)
      .catch((error) => put(said, say(error.say ?? "field.keep.failed")));
    return before;
  };
  const squeezed = (soil) => see({ soil }, async () => {
    now.seen.squeezes = await keepSqueeze(field, now.step, soil, now.seen.squeezes);
    await keepSeen(field, now);
  });
  const soil = choiceRow(words(now.here.soil, "soil"), { chosen: now.seen.soil, changed: squeezed });
  soil.keys.classList.add("pairs");
  return el("section", { class: "visit" }, el("h2", {}, say("field.stop.ask_soil")), soil.keys,
    el("h2", {}, say("field.stop.ask_around")),
    el("div", { class: "six" }, now.here.around.map((code) => toggle(now, code, see))));
}

function toggle(now, code, see) {
  const has = () => now.seen.around?.includes(code) ?? false;
  const change = () => {
    const others = (now.seen.around ?? []).filter((each) => each !== code);
    see({ around: has() ? others : [...others, code] });
    it.setAttribute("aria-pressed", has());
  };
  const it = el("button", { type: "button", "aria-pressed": has(), on: { click: change } },
    say(`field.stop.around.${code}`));
  return it;
}

// What the answers mean, each sentence once, with the work it stops.
function consequences(field, now) {
  const found = new Map();
  for (const task of now.step.tasks) {
    for (const { gate, says } of stopped(field, now, task)) {
      if (gate in task.closes) found.set(says, [...found.get(says) ?? [], `${task.tree}: ${task.name}`]);
    }
  }
  return [...found].map(([says, works]) => el("div", { class: "caution stop" }, says, list(works)));
}

function mainKeys(field, now, redraw, { said, foot }) {
  const { step, seen, logged } = now, open = step.tasks.filter(({ id }) => !logged.has(id));
  const free = open.filter((task) => !stopped(field, now, task).length);
  const to = (task, more = "") => `#/log/${now.day}/${step.id}/${task.id}${more}`;
  const tell = (told) => once(async () => {
    Object.assign(seen, told(momentNow(field).toISOString()));
    await keepSeen(field, now);
    redraw();
    announce(foot.firstChild.textContent);
  }, said);
  const wrong = key(`#/wrong/${now.day}/${step.id}/${step.property_id}`, say("field.stop.wrong"), "wrong");
  const round = key("#/today", say("field.day_now.to_round"), "weld");
  if (!open.length) return [el("p", {}, say(isAllLogged(step, logged) ? "field.stop.all_logged"
    : "field.day_now.work_gone")), wrong, round];
  if (now.day > field.day()) return [el("p", {}, say("field.stop.ahead", { day: dayTold(now.day) })), wrong, round];
  if (seen.started && !seen.ended) return [el("p", { class: "timer" }, running(field, seen)), wrong,
    button(tell((ended) => ({ ended })), say("field.stop.end"), "weld")];
  const log = key(to(free[0] ?? open[0], free.length ? "" : "/not"), say("field.stop.log"), "weld");
  if (seen.ended) return [el("p", {}, say("field.stop.worked", { start: clockOf(seen.started),
    end: clockOf(seen.ended) })), wrong, now.day === field.day()
    ? button(tell(() => ({ ended: "" })), say("field.stop.again")) : null, log].filter(Boolean);
  if (free.length && now.day < field.day()) return [wrong, log];
  if (!free.length) return [wrong, key(to(open[0], "/not"), say("field.stop.not_done"), "weld")];
  return [wrong, button(tell((started) => ({ started, ended: "" })), say("field.stop.start"), "weld")];
}

const running = (field, { started }) => say("field.stop.running", {
  at: clockOf(started), minutes: Math.max(0, Math.floor((momentNow(field) - new Date(started)) / MS_PER_MIN)),
});

function ticking(foot, now, redraw) {
  const tick = setInterval(() => {
    if (!foot.isConnected) clearInterval(tick);
    else if (!foot.contains(document.activeElement)) redraw();
  }, TICK_MS);
}
